//! Ten movements with round numbers, invented for the tests: paces and demands are common practice, no source.

use std::sync::Arc;

use classwright_training::library::{KitKind, MovementEntry};
use classwright_training::{LoadKind, Movement, MovementLibrary, Pace, Sides};

/// A row: id, pattern, demand on each region, what carries the load, kit with counts, milliseconds a repetition.
type Row = (&'static str, &'static str, [u8; 9], LoadKind, &'static [(&'static str, u32)], u32);

// Neck, shoulder, elbow, wrist, upper back, lower back, hip, knee, ankle.
const ROWS: [Row; 10] = [
    ("bodyweight-squat", "squat", [0, 0, 0, 0, 0, 1, 1, 2, 1], LoadKind::None, &[], 2000),
    ("back-squat", "squat", [0, 1, 0, 1, 1, 2, 2, 3, 1], LoadKind::Bar, &[("barbell", 1)], 3000),
    ("curl", "curl", [0, 1, 2, 1, 0, 1, 0, 0, 0], LoadKind::Bar, &[("barbell", 1)], 2500),
    ("dumbbell-press", "vertical-press", [0, 3, 2, 1, 1, 1, 0, 0, 0], LoadKind::Pair, &[("dumbbell", 2)], 2500),
    ("goblet-squat", "squat", [0, 1, 0, 1, 1, 1, 2, 2, 1], LoadKind::Single, &[("dumbbell", 1)], 3000),
    ("incline-push-up", "horizontal-press", [0, 1, 1, 1, 0, 1, 0, 0, 0], LoadKind::None, &[("bench", 1)], 1500),
    ("overhead-press", "vertical-press", [0, 3, 2, 2, 1, 2, 0, 0, 0], LoadKind::Bar, &[("barbell", 1)], 2500),
    ("plank", "trunk", [0, 1, 0, 0, 0, 1, 0, 0, 0], LoadKind::None, &[], 0),
    ("push-up", "horizontal-press", [0, 2, 2, 2, 0, 1, 0, 0, 0], LoadKind::None, &[], 1500),
    ("row", "row", [0, 1, 1, 1, 1, 2, 2, 2, 1], LoadKind::Machine, &[("rowing-machine", 1)], 0),
];

/// The library. Its movements are in the order of their ids.
pub fn library() -> Arc<MovementLibrary> {
    let kind = |id: &str| KitKind { id: id.into(), name: id.replace('-', " "), aliases: vec![] };
    let kit = ["barbell", "bench", "dumbbell", "rowing-machine"].map(kind).to_vec();
    Arc::new(MovementLibrary::new(kit, ROWS.map(entry).to_vec()).expect("the rows above agree"))
}

fn entry((id, pattern, demand, load_kind, needs, rep_ms): Row) -> MovementEntry {
    let pace = |ms: u32| (ms > 0).then_some(Pace { typical_ms: ms, least_ms: ms / 2, most_ms: ms * 2 });
    let rows = id == "row";
    let movement = Movement {
        id: id.into(),
        name: id.replace('-', " "),
        aliases: vec![],
        patterns: vec![],
        demand,
        needs: vec![],
        load_kind,
        sides: Sides::Both,
        rep: pace(rep_ms),
        metre: pace(if rows { 250 } else { 0 }),
        calorie: pace(if rows { 3000 } else { 0 }),
        timed: rep_ms == 0,
        skill: 1,
        progressed_from: vec![],
        regressed_to: vec![],
        cues: vec![],
        faults: vec![],
    };
    MovementEntry {
        movement,
        patterns: vec![pattern.into()],
        needs: needs.iter().map(|&(kit, count)| (kit.to_owned(), count)).collect(),
        progressed_from: vec![],
        regressed_to: vec![],
    }
}
