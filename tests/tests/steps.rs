//! The host's own steps, without any policy: the written column, percents, the coach's lines, loads from the plates
//! there are, bouts and claims. Sessions are text; movements are the built-in ones.

use std::sync::Arc;

use classwright_planning::{Class, Plan, plan};
use classwright_training::floor::FloorRules;
use classwright_training::{
    Athlete, Bar, BarType, Best, Kit, Limitation, Load, Mass, MovementLibrary, Place, PlateStock, Region, Severity,
    Side, Stock, notation,
};

struct Gym {
    library: Arc<MovementLibrary>,
    athletes: Vec<Athlete>,
    kit: Kit,
    home: Kit,
}

fn kg(kg: f64) -> Mass {
    Mass::from_kg(kg)
}

/// Two people on the floor, one at home with a pair of 10 kg dumbbells. Two 20 kg bars, a 15 kg bar; no row machine.
fn gym() -> Gym {
    let library = Arc::new(classwright_store::library());
    let kit_ix = |id: &str| library.find_kit(id).expect("built in");
    let stock = |id: &str, load: f64, count| Stock { kit: kit_ix(id), load: kg(load), count };
    let athlete = |id: &str, column, skill, place| Athlete {
        id: id.into(),
        name: id.into(),
        column,
        skill,
        training_share_permille: 900,
        bests: Vec::new(),
        limitations: Vec::new(),
        place,
        return_week: None,
        age_years: None,
        body_mass: None,
        bar_type: None,
        tags: Vec::new(),
    };
    let bar = |id: &str, bar_type| Bar { id: id.into(), bar_type };
    let bar_type = |id: &str, mass| BarType { id: id.into(), name: id.into(), mass: kg(mass) };
    let pairs = |mass, pairs| PlateStock { mass: kg(mass), pairs };
    Gym {
        athletes: vec![
            athlete("ada", 0, 5, Place::Floor),
            athlete("ben", 1, 2, Place::Floor),
            athlete("cy", 0, 3, Place::Home(0)),
        ],
        kit: Kit {
            bar_types: vec![bar_type("bar-20", 20.0), bar_type("bar-15", 15.0)],
            bars: vec![bar("A1", 0), bar("A2", 0), bar("B1", 1)],
            plates: vec![pairs(20.0, 2), pairs(10.0, 1), pairs(5.0, 1)],
            collar: Mass::ZERO,
            collar_pairs: None,
            stock: vec![
                stock("barbell", 0.0, 3),
                stock("rack", 0.0, 3),
                stock("rig", 0.0, 2),
                stock("rings", 0.0, 2),
                stock("kettlebell", 16.0, 2),
                stock("kettlebell", 24.0, 1),
            ],
        },
        home: Kit { stock: vec![stock("dumbbell", 10.0, 2)], ..Kit::default() },
        library,
    }
}

const RULES: FloorRules = FloorRules {
    coach_span: 12,
    max_heats: 4,
    start_step_s: 1,
    setup_fixed_s: 20,
    setup_pair_s: 10,
    between_parts_s: 60,
    effort: 0,
};

fn run(gym: &Gym, parts: &str) -> Plan {
    let text = format!("# Try\n- length: 60 min\n\n{parts}\n");
    let session = notation::parse(&text, &gym.library).unwrap_or_else(|errors| panic!("{errors:?}"));
    let home_kits = [gym.home.clone()];
    plan(&Class {
        session: &session,
        library: &gym.library,
        athletes: &gym.athletes,
        floor_kit: &gym.kit,
        home_kits: &home_kits,
        rules: &RULES,
        shelf: &[],
        unloaded: &[],
    })
}

fn loads(plan: &Plan, athlete: usize, piece: usize) -> Vec<f64> {
    plan.cards[athlete].made[piece].iter().map(|made| made.total.kg()).collect()
}

fn movement<'a>(gym: &'a Gym, plan: &Plan, athlete: usize, piece: usize) -> &'a str {
    &gym.library.movement(plan.cards[athlete].card.pieces[piece].movement).id
}

#[test]
fn each_follows_their_written_column() {
    let gym = gym();
    let plan = run(&gym, "## Strength: 3 sets\n- 5 deadlift @ 60/40 kg");
    assert_eq!((loads(&plan, 0, 0), loads(&plan, 1, 0)), (vec![60.0], vec![40.0]));
    let pounds = run(&gym, "## Strength: 3 sets\n- 5 deadlift @ 135 lb");
    // 135 lb is 61.235 kg: the nearest not above that these plates make is 60 kg.
    assert_eq!(loads(&pounds, 0, 0), [60.0]);
}

#[test]
fn percents_are_taken_of_the_training_share_of_the_best() {
    let mut gym = gym();
    let squat = gym.library.find("back-squat").expect("built in");
    gym.athletes[0].bests.push(Best { movement: squat, load: kg(100.0), tested: true });
    let plan = run(&gym, "## Strength: 3 sets\n- 5 back squat @ build 50-100%");
    // 90 % of 100 kg is 90 kg: 45, 67.5 and 90 kg, made from pairs of 20, 20, 10 and 5 kg.
    assert_eq!(loads(&plan, 0, 0), [40.0, 60.0, 90.0]);
    assert!(matches!(plan.cards[1].card.pieces[0].load, Load::Ask(_)), "ben has no best");
    assert!(plan.cards[1].needs_coach[0].contains("no best for back squat"), "{:?}", plan.cards[1].needs_coach);
    assert!(plan.cards[0].needs_coach.is_empty());
}

#[test]
fn no_load_is_ever_rounded_up() {
    let gym = gym();
    for written in [21, 29, 31, 49, 57, 63, 75, 99, 119, 121] {
        let plan = run(&gym, &format!("## Strength: 3 sets\n- 5 deadlift @ {written} kg"));
        let made = loads(&plan, 0, 0)[0];
        assert!(made <= f64::from(written), "{made} from {written}");
    }
}

#[test]
fn a_load_under_the_lightest_bar_is_asked_about() {
    let gym = gym();
    let lighter = run(&gym, "## Strength: 3 sets\n- 5 deadlift @ 16 kg");
    assert_eq!(loads(&lighter, 0, 0), [15.0], "the lighter bar will do");
    let none = run(&gym, "## Strength: 3 sets\n- 5 deadlift @ 12 kg");
    assert!(none.cards[0].needs_coach[0].contains("12 kg cannot be made here, the nearest is 15 kg"));
}

#[test]
fn an_effort_with_a_best_gives_a_load_by_the_chart() {
    let mut gym = gym();
    gym.athletes[0].training_share_permille = 1000;
    let deadlift = gym.library.find("deadlift").expect("built in");
    gym.athletes[0].bests.push(Best { movement: deadlift, load: kg(100.0), tested: true });
    let plan = run(&gym, "## Strength: 3 sets\n- 5 deadlift @ RPE 8");
    // 5 repetitions with 2 left are 7: 83 % by the NSCA Training Load Chart (TRADE-FACTS, section 2): 83 kg -> 80 kg.
    assert_eq!(loads(&plan, 0, 0), [80.0]);
}

#[test]
fn the_coachs_line_for_ability_is_for_those_below_the_skill() {
    let gym = gym();
    let plan = run(&gym, "## Skill: 3 sets\n- 5 pull-up or 8 ring row");
    assert_eq!((movement(&gym, &plan, 0, 0), movement(&gym, &plan, 1, 0)), ("pull-up", "ring-row"));
    assert_eq!(plan.cards[1].card.pieces[0].amount.high, 8);
    assert_eq!(plan.cards[1].trace[0].rule, "coach-line");
}

#[test]
fn the_coachs_line_for_a_limitation_holds_from_its_severity_on() {
    let mut gym = gym();
    let limited = |severity| Limitation { region: Region::Shoulder, side: Side::Left, severity };
    gym.athletes[0].limitations = vec![limited(Severity::Mild)];
    gym.athletes[1].limitations = vec![limited(Severity::Severe)];
    let plan = run(&gym, "## Strength: 3 sets\n- 5 push press @ 40 kg\n  - moderate shoulder: 10 bodyweight squat");
    assert_eq!((movement(&gym, &plan, 0, 0), movement(&gym, &plan, 1, 0)), ("push-press", "bodyweight-squat"));
    let out = run(&gym, "## Strength: 3 sets\n- 5 push press @ 40 kg\n  - sore shoulder: leave out");
    assert!(out.cards[0].card.pieces[0].off && out.cards[1].card.pieces[0].off && !out.cards[2].card.pieces[0].off);
}

#[test]
fn the_coachs_line_for_missing_kit_is_for_the_place_that_lacks_it() {
    let gym = gym();
    let plan =
        run(&gym, "## Strength: 3 sets\n- 5 deadlift @ 60 kg\n  - no barbell: dumbbell deadlift, +10 reps @ 12 kg");
    assert_eq!((movement(&gym, &plan, 0, 0), movement(&gym, &plan, 2, 0)), ("deadlift", "dumbbell-deadlift"));
    assert_eq!(plan.cards[2].card.pieces[0].amount.high, 15);
    assert_eq!(loads(&plan, 2, 0), [10.0], "12 kg written, 10 kg at home");
}

#[test]
fn the_coachs_line_does_not_load_a_limited_region_more() {
    let mut gym = gym();
    gym.athletes[2].limitations = vec![Limitation { region: Region::Knee, side: Side::Both, severity: Severity::Mild }];
    let plan =
        run(&gym, "## Conditioning: 3 rounds for time\n- 10 strict press @ 30 kg\n  - no barbell: 10 bodyweight squat");
    assert_eq!(movement(&gym, &plan, 2, 0), "strict-press", "the line was not applied");
    assert!(plan.cards[2].needs_coach[0].contains("no barbell"), "{:?}", plan.cards[2].needs_coach);
}

#[test]
fn a_part_wide_line_is_for_the_items_that_need_the_kit() {
    let gym = gym();
    let plan = run(
        &gym,
        "## Conditioning: 3 rounds for time\n- 10 deadlift @ 40 kg\n- 10 bodyweight squat\n- no barbell: 12 burpee",
    );
    assert_eq!((movement(&gym, &plan, 2, 0), movement(&gym, &plan, 2, 1)), ("burpee", "bodyweight-squat"));
    assert_eq!(movement(&gym, &plan, 0, 0), "deadlift");
}

#[test]
fn kit_that_nothing_stands_in_for_needs_the_coach() {
    let gym = gym();
    let plan = run(&gym, "## Conditioning: 3 rounds for time\n- 500 m row machine");
    assert!(plan.cards.iter().all(|card| card.needs_coach[0].contains("no row machine here")));
}

#[test]
fn a_complex_has_one_bar_with_its_lightest_load() {
    let gym = gym();
    let plan = run(&gym, "## Strength: every 2:00 x 3\n- 1 power clean + 1 front squat + 1 push press @ 60/40 kg");
    assert_eq!(plan.cards[0].card.pieces.len(), 3);
    assert!((0..3).all(|piece| loads(&plan, 0, piece) == [60.0]));
}

#[test]
fn a_bout_holds_one_bar_and_the_rack_and_rests_by_the_clock() {
    let gym = gym();
    let plan = run(&gym, "## Strength: every 2:00 x 3\n- 3 back squat @ 40, 60, 80 kg");
    let floor = &plan.floor.floor;
    let own: Vec<_> = floor.bouts.iter().filter(|bout| bout.athlete == 0).collect();
    assert_eq!(own.len(), 3);
    for bout in &own {
        assert_eq!(bout.claims.len(), 1, "the rack");
        assert!(bout.bar.is_some());
        assert_eq!(bout.watch, 1);
    }
    assert_eq!(own[0].duration_s + own[0].rest_least_s, 120);
    let plates = |bout: usize| floor.loadings[own[bout].bar.expect("a bar").1 as usize].len();
    assert_eq!((plates(0), plates(1), plates(2)), (1, 1, 2), "10; 20; 20 + 10 a side");
}

#[test]
fn partners_share_one_machine_and_one_heat() {
    let mut gym = gym();
    let row = gym.library.find_kit("row-machine").expect("built in");
    gym.kit.stock.push(Stock { kit: row, load: Mass::ZERO, count: 1 });
    let plan = run(&gym, "## Conditioning: as many rounds as possible in 8:00, in pairs\n- 200 m row machine");
    assert_eq!(plan.floor.floor.together, [(0, 1)]);
    let claims: u32 = plan.floor.floor.bouts.iter().flat_map(|bout| &bout.claims).map(|(_, count)| count).sum();
    assert_eq!(claims, 1, "one machine for the pair");
    assert_eq!(plan.floor.layout.heat_of, [0, 0]);
}

#[test]
fn without_a_heat_policy_people_go_in_turn_and_the_plan_is_sound() {
    let gym = gym();
    let plan = run(&gym, "## Strength: every 2:00 x 3\n- 3 back squat @ 60 kg\n\n## Cool-down\n- 1:00 child pose");
    assert!(classwright_planning::floor::check(&plan.floor.floor, &plan.floor.layout).is_empty());
    assert!(plan.notices.iter().any(|notice| notice.contains("People go in turn")), "{:?}", plan.notices);
    assert_eq!(plan.times.len(), 2);
    assert!(plan.times[1].start_s >= plan.times[0].start_s);
}

#[test]
fn those_at_home_are_not_on_the_floor() {
    let gym = gym();
    let plan = run(&gym, "## Conditioning: 3 rounds for time\n- 10 bodyweight squat");
    assert_eq!(plan.floor.athletes.len(), 2);
    assert_eq!(plan.cards.len(), 3);
}

#[test]
fn work_that_does_not_fit_its_interval_is_told() {
    let gym = gym();
    let plan = run(&gym, "## Strength: every 0:30 x 3\n- 40 bodyweight squat");
    assert!(
        plan.notices.iter().any(|notice| notice.contains("need longer than the clock gives")),
        "{:?}",
        plan.notices
    );
}

#[test]
fn work_under_a_heading_takes_the_loads_of_its_own_sets() {
    let gym = gym();
    let plan =
        run(&gym, "## Strength: every 2:00 x 3\n- 5 bodyweight squat\n### Intervals 2-3\n- 5 deadlift @ 40, 60 kg");
    let floor = &plan.floor.floor;
    let plates = |stage: u32| -> Option<usize> {
        let bout = floor.bouts.iter().find(|bout| bout.athlete == 0 && bout.stage == stage)?;
        Some(floor.loadings[bout.bar?.1 as usize].len())
    };
    assert_eq!((plates(0), plates(1), plates(2)), (None, Some(1), Some(1)), "no bar; 10 a side; 20 a side");
    assert_eq!(loads(&plan, 0, 1), [40.0, 60.0]);
}

#[test]
fn teams_of_two_sizes_do_not_chain_everybody_together() {
    let mut gym = gym();
    let one = gym.athletes[0].clone();
    for id in ["dee", "eli", "fay", "gus"] {
        gym.athletes.push(Athlete { id: id.into(), name: id.into(), ..one.clone() });
    }
    let parts = "## Skill: 2 rounds, in pairs\n- 10 bodyweight squat\n\n## Conditioning: 3 rounds for time, relay in teams of 3\n- 10 burpee";
    let plan = run(&gym, parts);
    assert_eq!(plan.floor.teams.len(), 1, "pairs do not fit into threes");
    assert_eq!(plan.floor.teams[0].teams, [vec![0, 1, 2], vec![3, 4, 5]]);
    assert!(
        plan.notices.iter().any(|notice| notice.contains("do not fit into the larger teams")),
        "{:?}",
        plan.notices
    );
}

#[test]
fn a_plate_is_on_a_bar_or_in_the_hands() {
    let mut gym = gym();
    let plate = gym.library.find_kit("plate").expect("built in");
    let five = gym.kit.plates.iter().find(|row| row.mass == kg(5.0)).expect("a pair").pairs;
    gym.kit.stock.push(Stock { kit: plate, load: kg(5.0), count: 2 * five });
    // 30 kg on the 20 kg bar takes the only pair of 5 kg.
    let plan =
        run(&gym, "## Conditioning: 2 rounds for time\n- 5 deadlift @ 30 kg\n- 10 plate floor to overhead @ 5 kg");
    let at = plan.floor.floor.plates.iter().position(|(mass, _)| *mass == kg(5.0)).expect("a plate");
    let hands: u32 = plan.floor.floor.bouts.iter().flat_map(|bout| &bout.claims).map(|claim| claim.1).sum();
    assert!(plan.floor.floor.plates[at].1 == 1 && hands == 0, "the bars keep them");
    assert!(
        plan.notices.iter().any(|notice| notice.contains("those who hold one have to share")),
        "{:?}",
        plan.notices
    );
}

#[test]
fn a_minute_that_is_too_full_is_told() {
    let gym = gym();
    let plan = run(&gym, "## Conditioning: every minute for 6:00\n- 60 burpee\n- 10 bodyweight squat");
    assert!(
        plan.notices.iter().any(|notice| notice.contains("need longer than the clock gives")),
        "{:?}",
        plan.notices
    );
}
