//! The plain plan for when the heat policy fails: people in turn.
//!
//! Promises: what it gives passes [`check`](super::check()) but for the number of heats, which it exceeds rather than
//! leave somebody out, and says so. It keeps the present plan where that still holds. It refuses to be clever: groups
//! who can all work at once, one group after the other, with no look at how long that takes.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::floor::{Floor, Layout};

use super::bars::frozen;
use super::block::lay;
use super::causes::{Cause, Supply, bouts_of, groups, impossible, rests_agree};
use super::check::check;
use super::place::{Heat, place};
use super::under_way::begun;

/// A plain plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InTurn {
    /// The plan.
    pub plan: Layout,
    /// Heats above the most that are allowed; 0 where the plan keeps every rule.
    pub heats_over: u32,
}

/// The plain plan, or why there is none.
pub fn in_turn(floor: &Floor) -> Result<InTurn, Vec<Cause>> {
    let causes = impossible(floor);
    if !causes.is_empty() {
        return Err(causes);
    }
    if let Some(present) = &floor.present
        && check(floor, present).is_empty()
    {
        return Ok(InTurn { plan: present.clone(), heats_over: 0 });
    }
    let mut units = units(floor);
    let begun = begun(floor, &mut units)?;
    // First in the order in which people are ready, then each type of bar by itself, then one after the other, then
    // not before others have given back what they ever do: a bar used before that may hold what they come to take.
    let mut found = laid(floor, &begun, gathered(floor, &units, |_| ()), 0);
    if found.is_err() {
        units.sort_by_key(|unit| bar_types(floor, unit));
        found = laid(floor, &begun, gathered(floor, &units, |unit| bar_types(floor, unit)), 0);
    }
    let given_back = floor.taken.iter().map(|taken| taken.to_s).filter(|to| *to < u32::MAX).max();
    for from in [Some(0), given_back].into_iter().flatten() {
        if found.is_ok() {
            break;
        }
        // Whoever is left over goes first the next time, before others leave plates on the bars.
        let mut order: Vec<&Vec<u32>> = units.iter().collect();
        for _ in 0..units.len() {
            found = laid(floor, &begun, order.iter().map(|unit| vec![*unit]).collect(), from);
            let Err(left) = found else { break };
            order.sort_by_key(|unit| unit[0] != left[0]);
        }
    }
    let plan = found.map_err(|unit| vec![no_place(floor, unit)])?;
    let heats_over = (plan.starts.len() as u32).saturating_sub(floor.max_heats);
    Ok(InTurn { plan, heats_over })
}

/// The heats one after the other from some second on, or those who found no place.
fn laid<'a>(floor: &Floor, begun: &Layout, heats: Vec<Vec<&'a Vec<u32>>>, from: u32) -> Result<Layout, &'a [u32]> {
    let mut plan = begun.clone();
    let mut waiting: Vec<Vec<&Vec<u32>>> = heats.into_iter().rev().collect();
    while let Some(mut heat) = waiting.pop() {
        let members: Vec<u32> = heat.iter().flat_map(|unit| unit.iter().copied()).collect();
        if append(floor, &mut plan, &members, from, heat.len() == 1) {
            continue;
        }
        // Together they find no place, for example for want of bars to change to within a short rest.
        if heat.len() == 1 {
            return Err(heat[0]);
        }
        let second_half = heat.split_off(heat.len().div_ceil(2));
        waiting.extend([second_half, heat]);
    }
    Ok(plan)
}

/// Why these found no place.
fn no_place(floor: &Floor, unit: &[u32]) -> Cause {
    let athlete = unit[0];
    if append(floor, &mut empty(floor), unit, 0, true) { Cause::NoTurn { athlete } } else { Cause::NoPlace { athlete } }
}

/// Nobody has a heat yet.
pub(super) fn empty(floor: &Floor) -> Layout {
    Layout { heat_of: vec![u32::MAX; floor.athletes.len()], starts: vec![], bar_of: vec![None; floor.bouts.len()] }
}

/// Athletes who have to be in one heat, by when all of them are ready.
fn units(floor: &Floor) -> Vec<Vec<u32>> {
    let mut units: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (athlete, leader) in (0..).zip(groups(floor)) {
        units.entry(leader).or_default().push(athlete);
    }
    let mut units: Vec<Vec<u32>> = units.into_values().collect();
    units.sort_by_key(|unit| (unit.iter().map(|a| floor.athletes[*a as usize].ready_s).max(), unit[0]));
    units
}

/// Types of bar that these need.
fn bar_types(floor: &Floor, unit: &[u32]) -> BTreeSet<u32> {
    let bouts = unit.iter().flat_map(|athlete| bouts_of(floor, *athlete));
    bouts.filter_map(|bout| bout.bar).map(|(kind, _)| kind).collect()
}

/// Each unit in the first group of its own kind that it fits into.
pub(super) fn gathered<'a, K: PartialEq>(
    floor: &Floor,
    units: &'a [Vec<u32>],
    kind: impl Fn(&[u32]) -> K,
) -> Vec<Vec<&'a Vec<u32>>> {
    let supply = Supply::in_the_end(floor);
    let mut heats: Vec<Vec<&Vec<u32>>> = Vec::new();
    for unit in units {
        let fits = |heat: &[&Vec<u32>]| {
            let members: Vec<u32> = heat.iter().flat_map(|u| u.iter()).chain(unit.iter()).copied().collect();
            let apart = floor.apart.iter().any(|(a, b)| members.contains(a) && members.contains(b));
            !apart
                && kind(heat[0]) == kind(unit)
                && supply.short(floor, &members).is_none()
                && rests_agree(floor, &members)
        };
        match heats.iter_mut().find(|heat| fits(heat)) {
            Some(heat) => heat.push(unit),
            None => heats.push(vec![unit]),
        }
    }
    heats
}

/// Adds a heat of these athletes, with what of it has happened.
pub(super) fn open(floor: &Floor, plan: &mut Layout, members: &[u32]) {
    plan.starts.push(Vec::new());
    fill(floor, plan, plan.starts.len() - 1, members);
}

/// Makes a heat one of these athletes, with what of it has happened and nothing else.
pub(super) fn fill(floor: &Floor, plan: &mut Layout, number: usize, members: &[u32]) {
    plan.starts[number] = vec![None; floor.stage_count as usize];
    for athlete in members {
        plan.heat_of[*athlete as usize] = number as u32;
        let it = floor.athletes[*athlete as usize];
        for bout in it.first_bout as usize..(it.first_bout + it.bout_count) as usize {
            if let Some((start, bar)) = frozen(floor, bout) {
                plan.starts[number][floor.bouts[bout].stage as usize] = Some(start);
                plan.bar_of[bout] = bar;
            }
        }
    }
}

/// Adds a heat of these athletes after all others and not before `from`; false, and no change, where it finds no place.
fn append(floor: &Floor, plan: &mut Layout, members: &[u32], from: u32, indivisible: bool) -> bool {
    let (number, from) = (plan.starts.len(), end_s(floor, plan).max(from));
    open(floor, plan, members);
    let heat = Heat { number, members, from };
    let placed = lay(floor, plan, &heat) || (indivisible && place(floor, plan, &heat));
    if !placed {
        plan.starts.pop();
        for athlete in members {
            plan.heat_of[*athlete as usize] = u32::MAX;
        }
    }
    placed
}

fn end_s(floor: &Floor, plan: &Layout) -> u32 {
    let ends = floor.bouts.iter().filter_map(|bout| {
        let heat = plan.heat_of[bout.athlete as usize] as usize;
        Some(plan.starts.get(heat)?[bout.stage as usize]?.saturating_add(bout.duration_s))
    });
    ends.max().unwrap_or(0)
}
