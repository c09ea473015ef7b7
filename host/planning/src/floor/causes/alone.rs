//! What one athlete needs that is not there, whoever else is on the floor.

use std::collections::BTreeSet;

use classwright_training::floor::{Bout, Floor};

use super::supply::{Need, Supply};
use super::{Cause, bouts_of};
use crate::floor::bars::frozen;

/// Adds the causes, and gives what is too little for somebody by themselves.
pub(super) fn causes(floor: &Floor, supply: &Supply, causes: &mut Vec<Cause>) -> BTreeSet<Need> {
    let mut short = BTreeSet::new();
    let mut off_step = BTreeSet::new();
    let mut without_bar = BTreeSet::new();
    for (bout, it) in (0..).zip(&floor.bouts).filter(|(bout, _)| frozen(floor, *bout as usize).is_none()) {
        for (what, needed) in supply.needs(floor, it) {
            if needed <= supply.there(what) {
                continue;
            }
            if matches!(what, Need::BarType(_) | Need::Plate(_)) {
                without_bar.insert(it.athlete);
            }
            if short.insert(what) {
                causes.push(missing(floor, supply, what, needed, bout));
            }
        }
        if !rest_meets_step(floor, bout) && off_step.insert(it.athlete) {
            causes.push(Cause::Step { athlete: it.athlete, bout, step: floor.start_step_s });
        }
    }
    // Whoever has no bar, or no plates for it, has nothing to change.
    let with_bars = (0..floor.athletes.len() as u32).filter(|athlete| !without_bar.contains(athlete));
    causes.extend(with_bars.filter_map(|athlete| setup(floor, athlete)));
    short
}

fn missing(floor: &Floor, supply: &Supply, what: Need, needed: u32, bout: u32) -> Cause {
    let (athlete, there) = (floor.bouts[bout as usize].athlete, supply.there(what));
    match what {
        Need::Watch => Cause::Watch { athlete, bout, watch: needed, span: there },
        Need::Kit(kit) => {
            let kit = floor.stock[kit as usize].name.clone();
            Cause::Kit { athlete, bout, kit, claimed: needed, there }
        }
        Need::Plate(plate) => {
            let plate = floor.plates[plate as usize].0.to_string();
            Cause::Plates { athlete, bout, plate, needed, there }
        }
        Need::BarType(kind) => Cause::Bar { athlete, bout, bar_type: floor.bar_types[kind as usize].0.clone() },
    }
}

/// Of any so many bouts with one type of bar as there are bars and one more, some bar serves two.
fn setup(floor: &Floor, athlete: u32) -> Option<Cause> {
    let bouts = bouts_of(floor, athlete);
    // The most seconds from the end of one of their bouts to the start of a later one.
    let most = |from: usize, to: usize| -> Option<u64> {
        let rests = bouts[from..to].iter().map(|bout| bout.rest_most_s.map(u64::from)).sum::<Option<u64>>()?;
        Some(rests + bouts[from + 1..to].iter().map(|bout| u64::from(bout.duration_s)).sum::<u64>())
    };
    for (kind, (bar_type, _)) in (0..).zip(&floor.bar_types) {
        let bars = floor.bars.iter().filter(|bar| bar.bar_type == kind).count();
        let first = floor.athletes[athlete as usize].first_bout as usize;
        let loaded = |(at, bout): (usize, &Bout)| {
            let to_come = frozen(floor, first + at).is_none();
            bout.bar.filter(|(own, _)| *own == kind && to_come).map(|(_, loading)| (at, loading))
        };
        let uses: Vec<(usize, u32)> = bouts.iter().enumerate().filter_map(loaded).collect();
        let can_change = |(a, from): (usize, u32), (b, to): (usize, u32)| {
            most(a, b).is_none_or(|most| most >= u64::from(floor.setup_s(from, to)))
        };
        let stuck = uses
            .windows(bars + 1)
            .filter(|_| bars > 0)
            .find(|few| (1..few.len()).all(|later| few[..later].iter().all(|before| !can_change(*before, few[later]))));
        if let Some((last, _)) = stuck.and_then(|few| few.last()) {
            let (bout, bar_type, bars) = ((first + last) as u32, bar_type.clone(), bars as u32);
            return Some(Cause::Setup { athlete, bout, bar_type, bars });
        }
    }
    None
}

/// Whether the rest after a bout leads to a start on the step.
pub(super) fn rest_meets_step(floor: &Floor, bout: u32) -> bool {
    let step = u64::from(floor.start_step_s.max(1));
    let it = &floor.bouts[bout as usize];
    let next_is_theirs = floor.bouts.get(bout as usize + 1).is_some_and(|next| next.athlete == it.athlete);
    let Some(most) = it.rest_most_s.filter(|_| next_is_theirs) else {
        return true;
    };
    let first = u64::from(it.duration_s) + u64::from(it.rest_least_s);
    first.div_ceil(step) * step <= u64::from(it.duration_s) + u64::from(most)
}
