//! Random libraries and questions, small enough that missing kit, named pairs, ties and tight loads are frequent.

use std::collections::BTreeMap;

use classwright_sdk::listed::{LOAD_KINDS, REGIONS};
use classwright_sdk::{
    Athlete, BodySide, ClassFacts, KitRow, Limitation, ListedLibrary, ListedMovement, Measure, Part, Piece, Question,
    Severity, Sides,
};
use proptest::prelude::*;
use proptest::sample::{Index, select};

/// Ids of the first movements, so that the house's named pairs are met.
const NAMES: [&str; 12] = [
    "snatch",
    "alternating-dumbbell-snatch",
    "clean",
    "alternating-dumbbell-clean",
    "m4",
    "m5",
    "m6",
    "m7",
    "m8",
    "m9",
    "m10",
    "m11",
];
const PATTERNS: [&str; 6] = ["snatch", "clean", "swing", "hinge", "machine", "run"];
const KIT: [&str; 4] = ["barbell", "dumbbell", "rings", "row-machine"];
const MASSES: [u32; 6] = [0, 5_000, 10_000, 15_000, 20_000, 32_000];
const PACES: [u32; 6] = [0, 250, 900, 2_000, 2_500, 4_000];

fn movement(id: &'static str) -> impl Strategy<Value = ListedMovement> {
    let patterns = prop::collection::btree_set(select(&PATTERNS[..]), 1..3);
    let demand = prop::collection::btree_map(select(&REGIONS[..3]), 0..3u8, 0..3);
    let kit = prop::collection::btree_map(select(&KIT[..]), 1..3u32, 0..3);
    let paces = (select(&PACES[..]), select(&PACES[..]), select(&PACES[..]), any::<bool>());
    (patterns, demand, kit, select(&LOAD_KINDS[..]), 1..4u32, 0..3u32, paces).prop_map(
        move |(patterns, demand, kit, load_kind, skill, sides, (rep_ms, metre_ms, calorie_ms, timed))| ListedMovement {
            id: id.into(),
            patterns: patterns.into_iter().map(String::from).collect(),
            demand: demand.into_iter().map(|(region, demand)| (region.into(), demand)).collect(),
            kit: kit.into_iter().map(|(kit, count)| (kit.into(), count)).collect::<BTreeMap<String, u32>>(),
            load_kind: load_kind.into(),
            skill,
            sides,
            rep_ms,
            metre_ms,
            calorie_ms,
            timed,
            easier: Vec::new(),
        },
    )
}

fn library() -> impl Strategy<Value = ListedLibrary> {
    let kit: Vec<String> = KIT.map(String::from).to_vec();
    NAMES.map(movement).prop_map(move |movements| {
        ListedLibrary::new(movements.to_vec(), &kit).expect("every reference is to a listed thing")
    })
}

fn athlete(limitations: usize) -> impl Strategy<Value = (u32, u32, Vec<u32>, Vec<Piece>)> {
    let limited = prop::collection::vec(0..3u32, 0..=limitations);
    (0..5u32, 0..3u32, limited, prop::collection::vec(piece(), 1..5))
}

fn piece() -> impl Strategy<Value = Piece> {
    let measure = select(vec![
        Measure::Repetitions,
        Measure::Repetitions,
        Measure::Repetitions,
        Measure::Seconds,
        Measure::Metres,
        Measure::Calories,
    ]);
    let sides = select(vec![Sides::Both, Sides::Each, Sides::Alternating]);
    let load = prop_oneof![Just((0, 0)), (0..60_000u32, 0..60_000u32)];
    let amount = prop_oneof![1 => Just((0, 0)), 9 => (1..60u32, 0..10u32)];
    let step = prop_oneof![3 => Just(0u32), 1 => Just(1u32)];
    (any::<Index>(), 0..6u32, measure, sides, amount, load, step).prop_map(
        |(movement, times, measure, sides, (low, more), (a, b), step)| Piece {
            athlete: 0,
            part: 0,
            item: 0,
            step,
            movement: movement.index(NAMES.len()) as u32,
            times,
            measure,
            sides,
            amount_low: low,
            amount_high: low + more,
            load_first_g: a.min(b),
            load_top_g: a.max(b),
            best_permille: 0,
            effort_tenths: 70,
            range_percent: 80,
            rep_ms: 0,
        },
    )
}

fn kit() -> impl Strategy<Value = Vec<KitRow>> {
    let row = (0..3u32, 0..KIT.len() as u32, select(&MASSES[..]), 1..3u32);
    let rows = prop::collection::vec(row, 0..12);
    rows.prop_map(|rows| {
        rows.into_iter().map(|(place, kit, load_g, count)| KitRow { place, kit, load_g, count }).collect()
    })
}

/// A library and a question about it.
pub(crate) fn asked() -> impl Strategy<Value = (ListedLibrary, Question)> {
    let athletes = prop::collection::vec(athlete(2), 1..4);
    (library(), athletes, kit(), any::<bool>()).prop_map(|(library, athletes, kit, raise)| {
        let mut question = Question {
            texts: vec!["conditioning".into(), "rounds".into()],
            settings: "{}".into(),
            facts: ClassFacts {
                length_s: 3600,
                may_raise_load: 0,
                may_raise_volume: 0,
                may_raise_demand: u32::from(raise),
            },
            athletes: Vec::new(),
            limitations: Vec::new(),
            bests: Vec::new(),
            tags: Vec::new(),
            parts: vec![Part { kind: 0, scheme: 1, rounds: 3, interval_s: 0, limit_s: 0 }],
            pieces: Vec::new(),
            kit,
        };
        for (number, (skill, place, limited, pieces)) in (0..).zip(athletes) {
            question.athletes.push(Athlete {
                column: 0,
                skill,
                place,
                return_week: 0,
                age_years: 0,
                body_mass_g: 0,
                first_piece: question.pieces.len() as u32,
                piece_count: pieces.len() as u32,
            });
            let (mut item, mut step) = (0, 0);
            for (at, piece) in pieces.into_iter().enumerate() {
                // A piece with a step goes on with the item before it: a complex.
                (item, step) = match (at, piece.step) {
                    (0, _) => (0, 0),
                    (_, 0) => (item + 1, 0),
                    _ => (item, step + 1),
                };
                question.pieces.push(Piece { athlete: number, item, step, ..piece });
            }
            let limitation =
                |region| Limitation { athlete: number, region, side: BodySide::Both, severity: Severity::Mild };
            question.limitations.extend(limited.into_iter().map(limitation));
        }
        (library, question)
    })
}
