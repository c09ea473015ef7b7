//! A small movement library with every trait the notation depends on.

use classwright_training::library::{KitKind, MovementEntry};
use classwright_training::{LoadKind, Movement, MovementLibrary, Pace, Sides};

const PACE: Pace = Pace { typical_ms: 3000, least_ms: 2000, most_ms: 5000 };

/// Name, aliases, what it can be measured in: `r`epetitions, `m`etres, `c`alories, `t`ime.
const MOVEMENTS: &[(&str, &[&str], &str)] = &[
    ("back squat", &["barbell squat"], "r"),
    ("front squat", &[], "r"),
    ("squat to press", &[], "r"),
    ("dumbbell squat to press", &[], "r"),
    ("clean", &[], "r"),
    ("clean pull", &[], "r"),
    ("hang power clean", &[], "r"),
    ("clean and jerk", &[], "r"),
    ("strict press", &[], "r"),
    ("goblet squat", &[], "r"),
    ("dumbbell snatch", &[], "r"),
    ("dumbbell swing", &[], "r"),
    ("alternating dumbbell swing", &[], "r"),
    ("step-up", &[], "r"),
    ("reverse lunge", &[], "r"),
    ("push-up", &["press-up"], "r"),
    ("pull-up", &[], "r"),
    ("ring row", &[], "r"),
    ("ring dip", &[], "r"),
    ("bar dip", &[], "r"),
    ("band pull-apart", &[], "r"),
    ("side plank", &[], "t"),
    ("plank", &[], "t"),
    ("run", &[], "mt"),
    ("row machine", &["row"], "mct"),
    ("burpee with a hop over the bar or line", &[], "r"),
    ("90/90 hip switch", &[], "rt"),
];

const KIT: &[(&str, &str, &[&str])] = &[
    ("barbell", "barbell", &["bar"]),
    ("row-machine", "row machine", &["rower"]),
    ("jump-box", "jump box", &[]),
    ("rings", "rings", &["gymnastic rings"]),
];

/// The library.
pub(crate) fn small() -> MovementLibrary {
    let strings = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect::<Vec<_>>();
    let kit =
        KIT.iter().map(|&(id, name, aliases)| KitKind { id: id.into(), name: name.into(), aliases: strings(aliases) });
    let entries = MOVEMENTS.iter().map(|&(name, aliases, measures)| {
        let pace = |sign| measures.contains(sign).then_some(PACE);
        let movement = Movement {
            id: name.replace([' ', '/'], "-"),
            name: name.into(),
            aliases: strings(aliases),
            patterns: Vec::new(),
            demand: [0; 9],
            needs: Vec::new(),
            load_kind: LoadKind::None,
            sides: Sides::Both,
            rep: pace('r'),
            metre: pace('m'),
            calorie: pace('c'),
            timed: measures.contains('t'),
            skill: 1,
            progressed_from: Vec::new(),
            regressed_to: Vec::new(),
            cues: Vec::new(),
            faults: Vec::new(),
        };
        MovementEntry {
            movement,
            patterns: vec!["any".into()],
            needs: Vec::new(),
            progressed_from: Vec::new(),
            regressed_to: Vec::new(),
        }
    });
    MovementLibrary::new(kit.collect(), entries.collect()).expect("the small library is sound")
}
