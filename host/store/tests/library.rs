//! The built-in movement library: large enough, every pattern filled, and made from the files of this crate.

use std::collections::BTreeSet;

use classwright_store::{PATTERNS, library, read_built_in};
use classwright_training::{LoadKind, Movement, MovementIx, MovementLibrary, Region};

/// The kinds of kit that are built in.
const KIT: [&str; 29] = [
    "barbell",
    "rack",
    "bench",
    "dumbbell",
    "kettlebell",
    "rig",
    "rings",
    "jump-box",
    "medicine-ball",
    "row-machine",
    "bike-machine",
    "ski-machine",
    "run-lane",
    "skip-rope",
    "band",
    "mat",
    "sled",
    "sandbag",
    "climbing-rope",
    "parallettes",
    "plate",
    "chair",
    "wall",
    "slam-ball",
    "carry-lane",
    "dip-bars",
    "trap-bar",
    "landmine",
    "roller",
];

fn named<'l>(library: &'l MovementLibrary, kit: &str) -> Vec<&'l str> {
    let kit = library.find_kit(kit).expect("it is built in");
    let needs = |m: &&Movement| m.needs.iter().any(|need| need.kit == kit);
    library.movements().iter().filter(needs).map(|m| m.id.as_str()).collect()
}

#[test]
fn it_can_be_read_and_is_large() {
    let library = read_built_in().unwrap_or_else(|errors| {
        let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
        panic!("{}", lines.join("\n"))
    });
    assert!(library.movements().len() >= 250, "{}", library.movements().len());
}

#[test]
fn every_pattern_holds_movements_and_no_other_pattern_does() {
    let library = library();
    assert_eq!(library.patterns(), PATTERNS);
    for (at, pattern) in PATTERNS.iter().enumerate() {
        assert!(library.with_pattern(at as u32).len() >= 5, "{pattern}");
    }
}

#[test]
fn the_kinds_of_kit_are_all_there_and_all_are_used() {
    let library = library();
    let ids: Vec<&str> = library.kit_kinds().iter().map(|kind| kind.id.as_str()).collect();
    assert_eq!(ids, KIT);
    for kit in KIT {
        assert!(!named(&library, kit).is_empty(), "no movement needs {kit}");
    }
}

#[test]
fn something_can_be_done_with_nothing_at_all() {
    let library = library();
    let free = library.movements().iter().filter(|m| m.needs.is_empty() && m.skill == 1).count();
    assert!(free >= 50, "{free}");
}

#[test]
fn a_bar_load_needs_a_bar_and_two_implements_need_two() {
    let library = library();
    for movement in library.movements() {
        let needs = |ids: &[&str]| ids.iter().any(|id| movement.needs.iter().any(|n| library.kit(n.kit).id == *id));
        match movement.load_kind {
            LoadKind::Bar => assert!(needs(&["barbell", "trap-bar"]), "{}", movement.id),
            LoadKind::Pair => assert!(movement.needs.iter().any(|need| need.count == 2), "{}", movement.id),
            LoadKind::Band => assert!(needs(&["band"]), "{}", movement.id),
            LoadKind::Machine => {
                assert!(needs(&["row-machine", "bike-machine", "ski-machine"]), "{}", movement.id);
            }
            LoadKind::None | LoadKind::Single | LoadKind::Added => {}
        }
    }
}

#[test]
fn an_easier_movement_asks_for_no_more_skill() {
    let library = library();
    for movement in library.movements() {
        for &MovementIx(at) in &movement.regressed_to {
            let easier = &library.movements()[at as usize];
            assert!(easier.skill <= movement.skill, "{} falls back on {}", movement.id, easier.id);
        }
    }
}

#[test]
fn every_region_is_loaded_by_some_movement_and_spared_by_most_patterns() {
    let library = library();
    for region in Region::ALL {
        assert!(library.movements().iter().any(|m| m.demand_on(region) >= 1), "{}", region.id());
        let sparing: BTreeSet<u32> =
            library.movements().iter().filter(|m| m.demand_on(region) == 0).flat_map(|m| m.patterns.clone()).collect();
        assert!(sparing.len() >= PATTERNS.len() / 2, "{}: {}", region.id(), sparing.len());
    }
}

/// Whether one of the words stands in the movement's id. A jump box is kit, not a jump.
fn says(movement: &Movement, words: &[&str]) -> bool {
    movement.id.replace("jump-box", "").split('-').any(|word| words.contains(&word))
}

fn within(library: &MovementLibrary, movement: &Movement, patterns: &[&str]) -> bool {
    movement.patterns.iter().any(|&at| patterns.contains(&library.patterns()[at as usize].as_str()))
}

/// Checks that `chosen` movements, of which there are `at_least` so many, ask these grades or more.
fn asks(chosen: impl Fn(&MovementLibrary, &Movement) -> bool, at_least: usize, grades: &[(Region, u8)]) {
    let library = library();
    let chosen: Vec<&Movement> = library.movements().iter().filter(|m| chosen(&library, m)).collect();
    assert!(chosen.len() >= at_least, "only {} of {at_least}", chosen.len());
    let low = |m: &&&Movement| grades.iter().any(|&(region, grade)| m.demand_on(region) < grade);
    let low: Vec<&str> = chosen.iter().filter(low).map(|m| m.id.as_str()).collect();
    assert!(low.is_empty(), "graded too low for {grades:?}: {low:?}");
}

/// Policies know ids only and print them with spaces; cards print names.
#[test]
fn an_id_is_the_words_of_its_name() {
    for movement in library().movements() {
        assert_eq!(movement.id, movement.name.to_lowercase().replace(' ', "-"));
    }
}

/// What stays on the floor, or comes down no harder than a step.
const NO_LANDING: [&str; 9] = ["step", "march", "walk", "climb", "touch", "tap", "raise", "bounce", "reach"];

fn lands(library: &MovementLibrary, movement: &Movement) -> bool {
    says(movement, &["jump", "jumping", "hop", "skip", "run", "sprint", "jog", "landing"])
        || within(library, movement, &["jump", "rope", "run"]) && !says(movement, &NO_LANDING)
}

#[test]
fn a_landing_asks_much_of_knee_and_ankle_and_a_jump_something_of_the_lower_back() {
    let feet = [(Region::Knee, 2), (Region::Ankle, 2)];
    asks(|library, m| lands(library, m) && m.load_kind != LoadKind::Machine, 40, &feet);
    let jump = |library: &MovementLibrary, m: &Movement| lands(library, m) && within(library, m, &["jump"]);
    asks(jump, 25, &[(Region::LowerBack, 1)]);
}

#[test]
fn a_box_jump_that_must_spare_the_knee_becomes_a_step() {
    let library = library();
    let boxes = named(&library, "jump-box");
    let jumps = library.movements().iter().filter(|m| boxes.contains(&m.id.as_str()) && within(&library, m, &["jump"]));
    for jump in jumps.filter(|m| lands(&library, m)) {
        let easier = jump.regressed_to.iter().map(|&at| library.movement(at));
        let sparing: Vec<&Movement> = easier.filter(|m| m.demand_on(Region::Knee) < 2).collect();
        assert!(!sparing.is_empty(), "{} has none", jump.id);
        assert!(sparing.iter().all(|m| says(m, &["step"])), "{}: {sparing:?}", jump.id);
    }
}

#[test]
fn weight_on_the_hands_asks_something_of_shoulder_and_wrist() {
    let hands = [(Region::Shoulder, 1), (Region::Wrist, 1)];
    let pressed = |library: &MovementLibrary, m: &Movement| {
        within(library, m, &["horizontal-press"]) && matches!(m.load_kind, LoadKind::None | LoadKind::Added)
    };
    asks(pressed, 20, &hands);
    let held = ["handstand", "climber", "burpee", "crab", "inchworm", "out", "bear", "get"];
    asks(|library, m| within(library, m, &["whole-body", "trunk", "vertical-press"]) && says(m, &held), 20, &hands);
    let crawl = |_: &MovementLibrary, m: &Movement| says(m, &["crawl", "crab"]) && !says(m, &["standing"]);
    asks(crawl, 3, &[(Region::Shoulder, 2), (Region::Wrist, 1)]);
}

#[test]
fn hanging_asks_much_of_the_shoulder() {
    let hangs = |library: &MovementLibrary, m: &Movement| {
        within(library, m, &["vertical-pull", "trunk"]) && named(library, "rig").contains(&m.id.as_str())
    };
    asks(hangs, 15, &[(Region::Shoulder, 2), (Region::Elbow, 1), (Region::Wrist, 1)]);
}

#[test]
fn weight_in_hanging_hands_asks_something_of_shoulder_and_wrist() {
    let hands = [(Region::Shoulder, 1), (Region::Wrist, 1)];
    let pulled = |library: &MovementLibrary, m: &Movement| {
        within(library, m, &["hinge", "swing", "clean", "snatch"])
            && matches!(m.load_kind, LoadKind::Bar | LoadKind::Pair | LoadKind::Single)
            && !says(m, &["thrust", "bridge"])
    };
    asks(pulled, 60, &hands);
    let at_the_sides = |library: &MovementLibrary, m: &Movement| {
        within(library, m, &["squat", "lunge", "jump", "calf", "carry"]) && m.load_kind == LoadKind::Pair
    };
    asks(at_the_sides, 15, &hands);
}

#[test]
fn an_easier_movement_asks_no_more_of_any_region() {
    let library = library();
    for movement in library.movements() {
        for easier in movement.regressed_to.iter().map(|&at| library.movement(at)) {
            let more = Region::ALL.into_iter().find(|&region| easier.demand_on(region) > movement.demand_on(region));
            assert!(more.is_none(), "{} falls back on {}: {more:?}", movement.id, easier.id);
        }
    }
}
