//! How long work takes: one scheme after the other, on a library small enough to reckon by hand.

use classwright_training::library::{KitKind, MovementEntry};
use classwright_training::session::{Group, Item, Line, Team, WrittenPiece};
use classwright_training::time::{Speed, Stage, TRANSITION_MS, amount_ms, done, part_s, scheme_reps, stages};
use classwright_training::{
    Amount, Load, LoadKind, Measure, Movement, MovementIx, MovementLibrary, Pace, Part, PartKind, Piece, Scheme, Sides,
};

const SQUAT: MovementIx = MovementIx(1);

/// A run (4 m/s, 300 ms to 200 ms a metre) and a squat (2 s; 1.5 s to 4 s).
fn library() -> MovementLibrary {
    let entry = |id: &str, rep: Option<Pace>, metre: Option<Pace>| MovementEntry {
        movement: Movement {
            id: id.into(),
            name: id.into(),
            aliases: Vec::new(),
            patterns: Vec::new(),
            demand: [0; 9],
            needs: Vec::new(),
            load_kind: LoadKind::None,
            sides: Sides::Both,
            rep,
            metre,
            calorie: None,
            timed: metre.is_some(),
            skill: 1,
            progressed_from: Vec::new(),
            regressed_to: Vec::new(),
            cues: Vec::new(),
            faults: Vec::new(),
        },
        patterns: vec!["any".into()],
        needs: Vec::new(),
        progressed_from: Vec::new(),
        regressed_to: Vec::new(),
    };
    let squat = Pace { typical_ms: 2_000, least_ms: 1_500, most_ms: 4_000 };
    let run = Pace { typical_ms: 250, least_ms: 200, most_ms: 300 };
    MovementLibrary::new(Vec::<KitKind>::new(), vec![entry("run", None, Some(run)), entry("squat", Some(squat), None)])
        .expect("a good library")
}

fn amount(many: u32, measure: Measure, sides: Sides) -> Amount {
    Amount { low: many, high: many, measure, sides }
}

fn item(amount: Option<Amount>) -> Line {
    Line::Work(Item {
        pieces: vec![WrittenPiece { amount, movement: SQUAT }],
        load: None,
        effort_tenths: None,
        rep_ms: None,
        choices: Vec::new(),
        fallbacks: Vec::new(),
        cues: Vec::new(),
        line: 1,
    })
}

fn part(scheme: Scheme, lines: Vec<Line>) -> Part {
    let groups = vec![Group { span: None, lines }];
    Part {
        kind: PartKind::Strength,
        name: None,
        scheme,
        team: Team::Alone,
        groups,
        fallbacks: Vec::new(),
        notes: Vec::new(),
        line: 1,
    }
}

fn piece(amount: Amount, rep_ms: Option<u32>) -> Piece {
    Piece {
        part: 0,
        item: 0,
        step: 0,
        movement: SQUAT,
        times: 0,
        amount,
        load: Load::None,
        best_permille: 0,
        effort_tenths: 0,
        range_percent: 100,
        rep_ms,
        off: false,
    }
}

/// Ten squats by the clock: 20 s, and the time to get to them.
const TEN: Amount = Amount { low: 10, high: 10, measure: Measure::Repetitions, sides: Sides::Both };
const TEN_S: u32 = 20 + (TRANSITION_MS / 1000) as u32;

fn of(scheme: Scheme) -> Vec<Stage> {
    stages(&part(scheme, vec![item(Some(TEN))]), 0, &[piece(TEN, None)], &library(), Speed::Typical)
}

#[test]
fn an_amount_takes_its_pace_both_sides_counted() {
    let library = library();
    let squat = library.movement(SQUAT);
    let run = library.movement(MovementIx(0));
    let reps = |many, sides| amount(many, Measure::Repetitions, sides);
    assert_eq!(amount_ms(reps(10, Sides::Both), squat, None, Speed::Typical), Some(20_000));
    assert_eq!(amount_ms(reps(10, Sides::Each), squat, None, Speed::Typical), Some(40_000));
    assert_eq!(amount_ms(reps(10, Sides::Alternating), squat, None, Speed::Typical), Some(20_000));
    assert_eq!(amount_ms(reps(10, Sides::Both), squat, None, Speed::Quickest), Some(15_000));
    assert_eq!(amount_ms(reps(10, Sides::Both), squat, None, Speed::Slowest), Some(40_000));
    assert_eq!(amount_ms(amount(400, Measure::Metres, Sides::Both), run, None, Speed::Typical), Some(100_000));
    assert_eq!(amount_ms(amount(30, Measure::Seconds, Sides::Each), run, None, Speed::Slowest), Some(60_000));
    assert_eq!(amount_ms(amount(400, Measure::Metres, Sides::Both), squat, None, Speed::Typical), None);
    assert_eq!(amount_ms(reps(0, Sides::Both), squat, None, Speed::Typical), None);
}

#[test]
fn the_coachs_own_seconds_a_repetition_win() {
    let library = library();
    assert_eq!(amount_ms(TEN, library.movement(SQUAT), Some(5_000), Speed::Quickest), Some(50_000));
}

#[test]
fn rounds_and_rests_add_up() {
    let [rounds] = of(Scheme::Rounds { rounds: 3, rest_s: 60 })[..] else { panic!("one stage") };
    assert_eq!((rounds.work_s, rounds.over_s), (3 * TEN_S + 2 * 60, 0));
    let [timed] = of(Scheme::ForTime { rounds: 3, rest_s: 0, cap_s: Some(60) })[..] else { panic!("one stage") };
    assert_eq!((timed.work_s, timed.over_s), (60, 3 * TEN_S - 60), "the cap ends it");
    let [limit] = of(Scheme::AsManyRounds { limit_s: 540 })[..] else { panic!("one stage") };
    assert_eq!(limit.work_s, 540);
}

#[test]
fn sets_rest_at_least_as_written() {
    let sets = of(Scheme::Sets { sets: 3, rest_s: 90, rest_most_s: Some(120) });
    assert_eq!(sets.len(), 3);
    assert!(sets.iter().all(|set| (set.rest_least_s, set.rest_most_s) == (90, Some(120))));
    assert_eq!(part_s(&sets), 3 * TEN_S + 2 * 90, "no rest after the last set");
}

#[test]
fn intervals_start_by_the_clock() {
    let sets = of(Scheme::IntervalSets { every_s: 120, sets: 5 });
    assert!(sets.iter().all(|set| set.work_s + set.rest_least_s == 120 && set.rest_most_s == Some(set.rest_least_s)));
    let tight = of(Scheme::IntervalSets { every_s: 20, sets: 2 });
    assert!(tight.iter().all(|set| (set.work_s, set.over_s) == (20, TEN_S - 20)), "{tight:?}");
    let work = of(Scheme::WorkRest { intervals: 4, work_s: 180, rest_s: 60 });
    assert!(work.iter().all(|set| (set.work_s, set.rest_least_s, set.over_s) == (180, 60, 0)));
}

#[test]
fn work_under_a_heading_is_done_in_its_intervals_only() {
    let mut part = part(Scheme::IntervalSets { every_s: 120, sets: 3 }, vec![item(Some(TEN))]);
    part.groups[0].span = Some((2, 2));
    let stages = stages(&part, 0, &[piece(TEN, None)], &library(), Speed::Typical);
    assert_eq!(stages.iter().map(|stage| stage.work_s).collect::<Vec<_>>(), [1, TEN_S, 1]);
}

#[test]
fn a_piece_is_done_as_often_as_it_is_to_be() {
    let part = part(Scheme::IntervalSets { every_s: 120, sets: 4 }, vec![item(Some(TEN))]);
    let cut = Piece { times: 2, ..piece(TEN, None) };
    assert_eq!((1..=4).map(|set| done(&part, 0, &cut, set)).collect::<Vec<_>>(), [Some(0), Some(1), None, None]);
    let sets = stages(&part, 0, &[cut], &library(), Speed::Typical);
    assert_eq!(sets.iter().map(|set| set.work_s).collect::<Vec<_>>(), [TEN_S, TEN_S, 1, 1]);
    let off = Piece { off: true, ..piece(TEN, None) };
    assert_eq!(done(&part, 0, &off, 1), None);
}

#[test]
fn a_list_of_repetitions_comes_down_in_proportion() {
    let scheme = Scheme::RepsForTime { reps: vec![12, 9, 6], cap_s: None };
    let written = Amount { low: 6, high: 12, ..TEN };
    let rounds = |high: u32| -> Vec<Option<u32>> {
        let piece = piece(Amount { high, ..written }, None);
        (1..=4).map(|round| scheme_reps(&scheme, round, &piece)).collect()
    };
    assert_eq!(rounds(12), [Some(12), Some(9), Some(6), None]);
    assert_eq!(rounds(8), [Some(8), Some(6), Some(4), None]);
    assert_eq!(rounds(1), [Some(1), Some(1), Some(1), None], "never none at all");
    let ladder = Scheme::Ladder { from: 2, step: 2, limit_s: 600 };
    let piece = piece(Amount { low: 2, high: 2, ..TEN }, None);
    assert_eq!(
        (1..=3).map(|round| scheme_reps(&ladder, round, &piece)).collect::<Vec<_>>(),
        [Some(2), Some(4), Some(6)]
    );
}
