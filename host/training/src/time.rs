//! How long work takes: pieces, passes through a part, whole parts, for a given card.
//!
//! Paces are the library's, unless the coach wrote their own seconds a repetition; those win for the movement they
//! were written for. Plate changes between athletes belong to the floor plan, not here.

use crate::session::{Group, Line};
use crate::{Amount, Measure, Movement, MovementLibrary, Pace, Part, Piece, Scheme, Sides};

/// Milliseconds to get from one movement to the next within a part (common practice, no source).
pub const TRANSITION_MS: u64 = 4_000;

/// Longest time of a stage, in seconds: more than a day. What is longer is told as this; no class holds it anyway.
pub const LONGEST_S: u32 = 100_000;

/// Minutes and seconds, as coaches write them: `12:05`.
pub fn clock(seconds: u32) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// Which end of the usual range of paces is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Speed {
    /// Quickest of the usual range.
    Quickest,
    /// Typical.
    Typical,
    /// Slowest of the usual range.
    Slowest,
}

/// One stage of a part: work, and the rest that has to follow it within the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stage {
    /// Work, seconds, at least 1.
    pub work_s: u32,
    /// Least rest before the next stage of the part.
    pub rest_least_s: u32,
    /// Most rest before it, where the scheme sets one.
    pub rest_most_s: Option<u32>,
    /// By how much the work is longer than the clock allows: over its interval or its cap.
    pub over_s: u32,
}

/// Milliseconds that an amount of a movement takes, both sides counted. None for "as many as they can", which the
/// clock ends, and for a measure that the movement does not have.
pub fn amount_ms(amount: Amount, movement: &Movement, rep_ms: Option<u32>, speed: Speed) -> Option<u64> {
    if amount.high == 0 {
        return None;
    }
    let at = |pace: Pace| match speed {
        Speed::Quickest => pace.least_ms,
        Speed::Typical => pace.typical_ms,
        Speed::Slowest => pace.most_ms,
    };
    let each = match amount.measure {
        Measure::Repetitions => rep_ms.or(movement.rep.map(at))?,
        Measure::Seconds => 1_000,
        Measure::Metres => movement.metre.map(at)?,
        Measure::Calories => movement.calorie.map(at)?,
    };
    let sides = if amount.sides == Sides::Each { 2 } else { 1 };
    let many = match speed {
        Speed::Quickest => amount.low,
        Speed::Typical | Speed::Slowest => amount.high,
    };
    Some(u64::from(each) * u64::from(many) * sides)
}

/// The stages of a part for the pieces that one athlete has in it. `first_item` is the number of the part's first
/// item in the session. Sets and intervals are stages; other parts are one.
pub fn stages(part: &Part, first_item: u32, pieces: &[Piece], library: &MovementLibrary, speed: Speed) -> Vec<Stage> {
    let pass = |round: u32| pass_s(part, first_item, pieces, library, speed, round);
    let one = |work_s: u32, cap_s: Option<u32>| {
        let over_s = cap_s.map_or(0, |cap| work_s.saturating_sub(cap));
        vec![Stage { work_s: (work_s - over_s).max(1), rest_least_s: 0, rest_most_s: None, over_s }]
    };
    match &part.scheme {
        Scheme::Rounds { rounds, rest_s } => one(total(*rounds, *rest_s, pass), None),
        Scheme::ForTime { rounds, rest_s, cap_s } => one(total(*rounds, *rest_s, pass), *cap_s),
        Scheme::RepsForTime { reps, cap_s } => one(total(reps.len() as u32, 0, pass), *cap_s),
        Scheme::AsManyRounds { limit_s } | Scheme::Ladder { limit_s, .. } => one(*limit_s, None),
        Scheme::EveryMinute { total_s } => {
            let fullest = fullest_minute_s(part, first_item, pieces, library, speed);
            vec![Stage { work_s: *total_s, rest_least_s: 0, rest_most_s: None, over_s: fullest.saturating_sub(60) }]
        }
        Scheme::Sets { sets, rest_s, rest_most_s } => (1..=*sets)
            .map(|set| Stage { work_s: pass(set).max(1), rest_least_s: *rest_s, rest_most_s: *rest_most_s, over_s: 0 })
            .collect(),
        Scheme::IntervalSets { every_s, sets } => (1..=*sets).map(|set| clocked(pass(set), *every_s)).collect(),
        Scheme::WorkRest { intervals, work_s, rest_s } => (1..=*intervals)
            .map(|interval| {
                let over_s = pass(interval).saturating_sub(*work_s);
                Stage { work_s: *work_s, rest_least_s: *rest_s, rest_most_s: Some(*rest_s), over_s }
            })
            .collect(),
    }
}

/// Seconds from the start of a part to its end when nobody waits for kit.
pub fn part_s(stages: &[Stage]) -> u32 {
    let rests = stages.iter().rev().skip(1).map(|stage| stage.rest_least_s);
    stages.iter().map(|stage| stage.work_s).sum::<u32>() + rests.sum::<u32>()
}

/// Repetitions of a piece in a round (from 1) where the scheme gives them: 12-9-6 or a ladder, brought down in
/// proportion if the piece was. None where the piece has its own amount.
pub fn scheme_reps(scheme: &Scheme, round: u32, piece: &Piece) -> Option<u32> {
    match scheme {
        Scheme::RepsForTime { reps, .. } => {
            let most = *reps.iter().max()?;
            let written = *reps.get(round as usize - 1)?;
            Some(((written * piece.amount.high + most / 2) / most).max(1))
        }
        Scheme::Ladder { from, step, .. } => {
            let written = from + step * (round - 1);
            Some(((written * piece.amount.high + from / 2) / (*from).max(1)).max(1))
        }
        _ => None,
    }
}

/// Which time, from 0, the items of a group are done in a round, set or interval (from 1); none where the group's
/// heading leaves it out.
pub fn occurrence(group: &Group, round: u32) -> Option<u32> {
    match group.span {
        None => Some(round.saturating_sub(1)),
        Some((first, last)) => (first..=last).contains(&round).then(|| round - first),
    }
}

/// Which time, from 0, a piece is done in a round, set or interval (from 1) of its part; none where it is not: its
/// heading leaves it out, it was taken off, or it has been done as often as it is to be.
pub fn done(part: &Part, first_item: u32, piece: &Piece, round: u32) -> Option<u32> {
    let mut item = first_item;
    for group in &part.groups {
        let works = group.lines.iter().filter(|line| matches!(line, Line::Work(_))).count() as u32;
        if (item..item + works).contains(&piece.item) {
            let time = occurrence(group, round)?;
            return (!piece.off && (piece.times == 0 || time < piece.times)).then_some(time);
        }
        item += works;
    }
    None
}

fn clocked(work_s: u32, every_s: u32) -> Stage {
    let over_s = work_s.saturating_sub(every_s);
    let work_s = work_s.clamp(1, every_s);
    Stage { work_s, rest_least_s: every_s - work_s, rest_most_s: Some(every_s - work_s), over_s }
}

fn total(rounds: u32, rest_s: u32, pass: impl Fn(u32) -> u32) -> u32 {
    let rounds_s: u64 = (1..=rounds).map(|round| u64::from(pass(round))).sum();
    shortened(rounds_s + u64::from(rest_s) * u64::from(rounds.saturating_sub(1)))
}

/// Seconds of one pass: everything that is done in this round, set or interval.
fn pass_s(part: &Part, first_item: u32, pieces: &[Piece], library: &MovementLibrary, speed: Speed, round: u32) -> u32 {
    let work: u64 = pieces
        .iter()
        .filter(|piece| done(part, first_item, piece, round).is_some())
        .map(|piece| piece_ms(part, first_item, piece, library, speed, round))
        .sum();
    let rests = part.groups.iter().filter(|group| occurrence(group, round).is_some()).flat_map(|group| &group.lines);
    let rest_s: u64 = rests.map(|line| if let Line::Rest(seconds) = line { u64::from(*seconds) } else { 0 }).sum();
    shortened(work.div_ceil(1_000) + rest_s)
}

fn shortened(seconds: u64) -> u32 {
    seconds.min(u64::from(LONGEST_S)) as u32
}

/// Milliseconds of a piece in a round, and the time to get to it.
fn piece_ms(part: &Part, first_item: u32, piece: &Piece, library: &MovementLibrary, speed: Speed, round: u32) -> u64 {
    let written = part.items().nth((piece.item - first_item) as usize).and_then(|i| i.pieces.get(piece.step as usize));
    let from_scheme = written.is_some_and(|written| written.amount.is_none());
    let reps = if from_scheme { scheme_reps(&part.scheme, round, piece) } else { None };
    let amount = reps.map_or(piece.amount, |reps| Amount { low: reps, high: reps, ..piece.amount });
    amount_ms(amount, library.movement(piece.movement), piece.rep_ms, speed).unwrap_or(0) + TRANSITION_MS
}

/// The work of the fullest minute where each minute has one item, or all items under its heading.
fn fullest_minute_s(part: &Part, first_item: u32, pieces: &[Piece], library: &MovementLibrary, speed: Speed) -> u32 {
    let ms = |item: u32| -> u64 {
        let own = pieces.iter().filter(|piece| piece.item == item && !piece.off);
        own.map(|piece| piece_ms(part, first_item, piece, library, speed, 1)).sum()
    };
    let mut item = first_item;
    let mut fullest = 0;
    for group in &part.groups {
        let works = group.lines.iter().filter(|line| matches!(line, Line::Work(_))).count() as u32;
        let minutes: Vec<u64> = (item..item + works).map(ms).collect();
        let longest = if group.span.is_some() { minutes.iter().sum() } else { minutes.into_iter().max().unwrap_or(0) };
        fullest = fullest.max(longest);
        item += works;
    }
    // The time to get to it belongs to the minute before.
    shortened(fullest.saturating_sub(TRANSITION_MS).div_ceil(1_000))
}
