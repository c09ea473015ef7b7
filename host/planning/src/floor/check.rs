//! Whether a floor plan keeps every rule.
//!
//! Promises: no fault means that every athlete does each bout once and in order, with the written rests, and that at
//! no second more is claimed of the coach, the kit, the bars or the plates than there is. Believes nothing that the
//! plan says of itself: lengths, positions and times are looked at first. What has already happened is not judged,
//! only that the plan tells it as it was. A plan that runs past the class's window breaks no rule; see [`overrun_s`].

use std::collections::BTreeSet;

use classwright_training::floor::{Floor, Layout};

use super::bars::{bar_uses, frozen, start_s};
use super::fault::FloorFault;

/// All faults of a plan; of kit, plates and the coach the first second of each.
pub fn check(floor: &Floor, layout: &Layout) -> Vec<FloorFault> {
    let mut faults = shape(floor, layout);
    if !faults.is_empty() {
        return faults;
    }
    starts(floor, layout, &mut faults);
    rests(floor, layout, &mut faults);
    company(floor, layout, &mut faults);
    crowd(floor, layout, &mut faults);
    bars(floor, layout, &mut faults);
    plates(floor, layout, &mut faults);
    faults
}

/// What a plan is worth: when it ends, its heats, and pairs of plates moved. Less is better, in this order.
pub fn objective(floor: &Floor, layout: &Layout) -> (u32, u32, u32) {
    let moves = bar_uses(floor, layout).iter().map(|u| u.moved_pairs).sum();
    (floor.finish_s(layout), layout.starts.len() as u32, moves)
}

/// Seconds by which a plan runs past the class's window; 0 where it does not.
pub fn overrun_s(floor: &Floor, layout: &Layout) -> u32 {
    floor.finish_s(layout).saturating_sub(floor.window_s)
}

fn shape(floor: &Floor, layout: &Layout) -> Vec<FloorFault> {
    let mut faults = Vec::new();
    let mut length = |what, found, wanted| {
        if found != wanted {
            faults.push(FloorFault::Length { what, found, wanted });
        }
    };
    length("athletes", layout.heat_of.len(), floor.athletes.len());
    length("bars of bouts", layout.bar_of.len(), floor.bouts.len());
    for row in &layout.starts {
        length("stages in a heat", row.len(), floor.stage_count as usize);
    }
    if !faults.is_empty() {
        return faults;
    }
    let heats = layout.starts.len() as u32;
    if heats > floor.max_heats {
        faults.push(FloorFault::TooManyHeats { heats, most: floor.max_heats });
    }
    for (athlete, &heat) in layout.heat_of.iter().enumerate() {
        if heat >= heats {
            faults.push(FloorFault::NoSuchHeat { athlete: athlete as u32, heat });
        }
    }
    let used: BTreeSet<u32> = layout.heat_of.iter().copied().collect();
    faults.extend((0..heats).filter(|h| !used.contains(h)).map(|heat| FloorFault::EmptyHeat { heat }));
    if !faults.is_empty() {
        return faults;
    }
    let mut working = BTreeSet::new();
    for (index, bout) in floor.bouts.iter().enumerate() {
        let (heat, stage) = (layout.heat_of[bout.athlete as usize], bout.stage);
        working.insert((heat, stage));
        match start_s(floor, layout, index) {
            None => faults.push(FloorFault::NoStart { athlete: bout.athlete, bout: index as u32, heat, stage }),
            // The largest number stands for "no such time" in the contract.
            Some(second) if second.checked_add(bout.duration_s).is_none_or(|end| end == u32::MAX) => {
                faults.push(FloorFault::BeyondTime { athlete: bout.athlete, bout: index as u32, second });
            }
            Some(_) => {}
        }
    }
    for (heat, row) in (0..).zip(&layout.starts) {
        for (stage, start) in (0..).zip(row) {
            if let Some(second) = *start
                && !working.contains(&(heat, stage))
            {
                faults.push(FloorFault::IdleStart { heat, stage, second });
            }
        }
    }
    faults
}

/// From here on the plan's shape is right: every bout has a start.
fn start(floor: &Floor, layout: &Layout, bout: usize) -> u32 {
    start_s(floor, layout, bout).expect("the shape was checked")
}

fn starts(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    let step = floor.start_step_s.max(1);
    let mut off_step = BTreeSet::new();
    for (index, bout) in floor.bouts.iter().enumerate() {
        let (athlete, second) = (bout.athlete, start(floor, layout, index));
        let number = index as u32;
        if let Some((was, bar)) = frozen(floor, index) {
            if second != was {
                faults.push(FloorFault::RewrittenStart { athlete, bout: number, second, was });
            }
            if layout.bar_of[index] != bar {
                faults.push(FloorFault::RewrittenBar { athlete, bout: number });
            }
            continue;
        }
        if second < floor.now_s {
            faults.push(FloorFault::InThePast { athlete, bout: number, second, now: floor.now_s });
        }
        let ready = floor.athletes[athlete as usize].ready_s;
        if second < ready {
            faults.push(FloorFault::NotReady { athlete, bout: number, second, ready });
        }
        if second % step != 0 {
            off_step.insert((layout.heat_of[athlete as usize], bout.stage, second));
        }
    }
    let off = |(heat, stage, second)| FloorFault::OffStep { heat, stage, second, step };
    faults.extend(off_step.into_iter().map(off));
}

fn rests(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    for athlete in &floor.athletes {
        for index in (athlete.first_bout as usize..).take((athlete.bout_count as usize).saturating_sub(1)) {
            if frozen(floor, index + 1).is_some() {
                continue;
            }
            let bout = &floor.bouts[index];
            let end = i64::from(start(floor, layout, index)) + i64::from(bout.duration_s);
            let rest = i64::from(start(floor, layout, index + 1)) - end;
            let (athlete, number) = (bout.athlete, index as u32);
            if rest < i64::from(bout.rest_least_s) {
                faults.push(FloorFault::ShortRest { athlete, bout: number, rest, least: bout.rest_least_s });
            }
            if let Some(most) = bout.rest_most_s
                && rest > i64::from(most)
            {
                faults.push(FloorFault::LongRest { athlete, bout: number, rest, most });
            }
        }
    }
}

fn company(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    let same = |(a, b): (u32, u32)| layout.heat_of[a as usize] == layout.heat_of[b as usize];
    for &(first, second) in floor.together.iter().filter(|pair| !same(**pair)) {
        faults.push(FloorFault::NotTogether { first, second });
    }
    for &(first, second) in floor.apart.iter().filter(|pair| same(**pair)) {
        faults.push(FloorFault::NotApart { first, second });
    }
}

/// So many of something, held from one second until before another.
struct Hold {
    from: u32,
    to: u32,
    count: u32,
    /// Whether this plan decides it; what has happened and what others hold is not the plan's fault.
    ours: bool,
}

/// The first second from now on at which more is held than there is, with what is held then.
fn overload(holds: &[Hold], there: u32, now: u32) -> Option<(u32, u64)> {
    let mut events: Vec<(u32, i64, i64)> = Vec::with_capacity(2 * holds.len());
    for hold in holds.iter().filter(|h| h.to > h.from.max(now) && h.count > 0) {
        let (count, ours) = (i64::from(hold.count), i64::from(hold.ours));
        events.push((hold.from.max(now), count, ours));
        events.push((hold.to, -count, -ours));
    }
    events.sort_unstable();
    let (mut held, mut ours) = (0, 0);
    for (at, &(second, count, own)) in events.iter().enumerate() {
        held += count;
        ours += own;
        let settled = events.get(at + 1).is_none_or(|next| next.0 > second);
        if settled && ours > 0 && held > i64::from(there) {
            return Some((second, held as u64));
        }
    }
    None
}

/// The coach and the kit; bouts that have no start yet claim nothing.
pub(super) fn crowd(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    let mut watch = Vec::new();
    let mut stock: Vec<Vec<Hold>> = floor.stock.iter().map(|_| Vec::new()).collect();
    for (index, bout) in floor.bouts.iter().enumerate() {
        let Some(from) = start_s(floor, layout, index) else {
            continue;
        };
        let (to, ours) = (from + bout.duration_s, frozen(floor, index).is_none());
        watch.push(Hold { from, to, count: bout.watch, ours });
        for &(kit, count) in &bout.claims {
            stock[kit as usize].push(Hold { from, to, count, ours });
        }
    }
    for taken in &floor.taken {
        if let Some(kit) = taken.stock {
            stock[kit as usize].push(Hold { from: taken.from_s, to: taken.to_s, count: taken.count, ours: false });
        }
    }
    if let Some((second, watched)) = overload(&watch, floor.coach_span, floor.now_s) {
        faults.push(FloorFault::Coach { second, watched, span: floor.coach_span });
    }
    for (row, holds) in floor.stock.iter().zip(&stock) {
        if let Some((second, claimed)) = overload(holds, row.count, floor.now_s) {
            faults.push(FloorFault::Kit { kit: row.name.clone(), second, claimed, there: row.count });
        }
    }
}

fn bars(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    for (index, bout) in floor.bouts.iter().enumerate() {
        let (athlete, number) = (bout.athlete, index as u32);
        match (bout.bar, layout.bar_of[index]) {
            (None, None) => {}
            (None, Some(bar)) => faults.push(FloorFault::NeedlessBar { athlete, bout: number, bar }),
            (Some(_), None) => faults.push(FloorFault::NoBar { athlete, bout: number }),
            (Some((wanted, _)), Some(bar)) => match floor.bars.get(bar as usize) {
                None => faults.push(FloorFault::NoSuchBar { athlete, bout: number, bar }),
                Some(there) if there.bar_type != wanted => {
                    faults.push(FloorFault::WrongBar { athlete, bout: number, bar });
                }
                Some(_) => {}
            },
        }
    }
    let uses = bar_uses(floor, layout);
    let mut free = 0;
    for (at, turn) in uses.iter().enumerate() {
        if at == 0 || uses[at - 1].bar != turn.bar {
            free = floor.bars[turn.bar as usize].free_from_s;
        }
        let change = floor.setup_s(turn.from_loading, turn.to_loading);
        let soon = u64::from(turn.start_s) < u64::from(free) + u64::from(change);
        if soon && frozen(floor, turn.bout as usize).is_none() {
            let (athlete, bout, bar, second) = (turn.athlete, turn.bout, turn.bar, turn.start_s);
            faults.push(FloorFault::BarTooSoon { athlete, bout, bar, second, free, change });
        }
        free = free.max(turn.end_s);
    }
}

/// Plates on bars; bouts that have no start yet hold none.
pub(super) fn plates(floor: &Floor, layout: &Layout, faults: &mut Vec<FloorFault>) {
    let mut holds: Vec<Vec<Hold>> = floor.plates.iter().map(|_| Vec::new()).collect();
    let mut hold = |loading: u32, from: u32, to: u32, ours: bool| {
        for &plate in &floor.loadings[loading as usize] {
            holds[plate as usize].push(Hold { from, to, count: 1, ours });
        }
    };
    let uses = bar_uses(floor, layout);
    for (at, turn) in uses.iter().enumerate() {
        let ours = frozen(floor, turn.bout as usize).is_none();
        if at == 0 || uses[at - 1].bar != turn.bar {
            hold(turn.from_loading, floor.bars[turn.bar as usize].free_from_s, turn.setup_from_s, ours);
        }
        // How long plates stay after a bout that has happened is for the plan to say: its next use of the bar ends it.
        let next_is_ours =
            uses.get(at + 1).is_some_and(|n| n.bar == turn.bar && frozen(floor, n.bout as usize).is_none());
        hold(turn.to_loading, turn.setup_from_s, turn.end_s.min(turn.held_until_s), ours);
        hold(turn.to_loading, turn.end_s.min(turn.held_until_s), turn.held_until_s, ours || next_is_ours);
    }
    for taken in &floor.taken {
        if let Some(plate) = taken.plate {
            let (from, to) = (taken.from_s, taken.to_s);
            holds[plate as usize].push(Hold { from, to, count: taken.count, ours: false });
        }
    }
    for (&(mass, there), holds) in floor.plates.iter().zip(&holds) {
        if let Some((second, held)) = overload(holds, there, floor.now_s) {
            faults.push(FloorFault::Plates { plate: mass.to_string(), second, held, there });
        }
    }
}
