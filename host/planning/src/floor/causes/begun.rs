//! What those who have begun need at once, whatever heats they go on in: their rests leave them so little choice.
//!
//! Counted from what has happened: the earliest and the latest second at which each bout can start as the rests are
//! written. Where the latest start comes before the earliest end, the time between is work in every plan.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::floor::{Floor, Taken};

use super::supply::{Need, OUT_OF_SERVICE_S, Supply};
use super::{Cause, bout_indexes, smallest};
use crate::floor::bars::frozen;

/// Work that in every plan goes on from one second until before another.
struct Bound {
    athlete: u32,
    from_s: u32,
    to_s: u32,
    needed: u32,
    /// Whether it is still to come.
    ours: bool,
}

/// Adds the causes: of each thing the first second at which too much of it is needed, with the fewest who need it.
pub(super) fn causes(floor: &Floor, supply: &Supply, short: &BTreeSet<Need>, causes: &mut Vec<Cause>) {
    let mut bound: BTreeMap<Need, Vec<Bound>> = BTreeMap::new();
    for athlete in 0..floor.athletes.len() as u32 {
        if let Err(late) = walk(floor, supply, athlete, &mut bound) {
            causes.push(late);
        }
    }
    for (what, all) in bound.iter().filter(|(what, _)| !short.contains(what)) {
        let mut seconds: Vec<u32> = all.iter().filter(|work| work.ours).map(|work| work.from_s).collect();
        seconds.sort_unstable();
        seconds.dedup();
        let at_once = seconds.into_iter().find_map(|second| {
            let there = there(floor, *what, second);
            let then: Vec<&Bound> = all.iter().filter(|work| (work.from_s..work.to_s).contains(&second)).collect();
            let needed = |some: &[&Bound]| some.iter().map(|work| u64::from(work.needed)).sum::<u64>();
            (needed(&then) > there).then(|| {
                let fewest = smallest(&then, |some| needed(some) > there);
                (second, fewest.iter().map(|work| work.athlete).collect(), needed(&fewest), there)
            })
        });
        if let Some((second, athletes, needed, there)) = at_once {
            causes.push(Cause::AtOnce { athletes, second, what: what.name(floor), needed, there });
        }
    }
}

/// From what somebody has started to where a rest has no most.
fn walk(floor: &Floor, supply: &Supply, athlete: u32, bound: &mut BTreeMap<Need, Vec<Bound>>) -> Result<(), Cause> {
    let step = floor.start_step_s.max(1);
    let mut before: Option<(u32, u32, usize)> = None;
    for index in bout_indexes(floor, athlete) {
        let bout = &floor.bouts[index];
        let (first, last) = match (frozen(floor, index), before) {
            (Some((start, _)), _) => (start, start),
            (None, None) => return Ok(()),
            (None, Some((first, last, at))) => {
                let it = &floor.bouts[at];
                let Some(most) = it.rest_most_s else { return Ok(()) };
                let earliest = first.saturating_add(it.duration_s).saturating_add(it.rest_least_s);
                let earliest = earliest.max(floor.athletes[athlete as usize].ready_s).max(floor.now_s);
                let latest = last.saturating_add(it.duration_s).saturating_add(most) / step * step;
                let Some(earliest) = earliest.checked_next_multiple_of(step) else { return Ok(()) };
                if latest < earliest {
                    return Err(Cause::TooLate { athlete, bout: index as u32, latest, earliest });
                }
                (earliest, latest)
            }
        };
        before = Some((first, last, index));
        let (from_s, to_s) = (last, first.saturating_add(bout.duration_s));
        if from_s < to_s && to_s > floor.now_s {
            let ours = frozen(floor, index).is_none();
            for (what, needed) in supply.needs(floor, bout) {
                bound.entry(what).or_default().push(Bound { athlete, from_s, to_s, needed, ours });
            }
        }
    }
    Ok(())
}

/// How many there are for this class at a second.
fn there(floor: &Floor, what: Need, second: u32) -> u64 {
    let bars = |kind: u32| {
        let free = |free_from_s: u32| free_from_s < OUT_OF_SERVICE_S && free_from_s <= second;
        floor.bars.iter().filter(|bar| bar.bar_type == kind && free(bar.free_from_s)).count() as u64
    };
    let all = match what {
        Need::Watch => u64::from(floor.coach_span),
        Need::Kit(row) => u64::from(floor.stock[row as usize].count),
        Need::Plate(plate) => u64::from(floor.plates[plate as usize].1),
        Need::BarType(kind) => bars(kind),
    };
    let own = |taken: &&Taken| taken.stock.map(Need::Kit).or(taken.plate.map(Need::Plate)) == Some(what);
    let then = |taken: &&Taken| (taken.from_s..taken.to_s).contains(&second);
    let held: u64 = floor.taken.iter().filter(own).filter(then).map(|taken| u64::from(taken.count)).sum();
    all.saturating_sub(held)
}
