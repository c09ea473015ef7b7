//! Heats of the plain plan that have begun: what of them has happened stays, the rest is laid around it.
//!
//! A heat goes on as the present plan has it where that can be, or later, or on other bars. Where it cannot, it is
//! divided: whoever goes gets a heat that has the same behind it. Those who began in other heats at the same seconds
//! may go on together instead, where that takes fewer heats.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::floor::{Floor, Layout};

use super::bars::frozen;
use super::block::{go_on, lay};
use super::causes::{Cause, Supply, bout_indexes, rests_agree};
use super::fallback::{empty, fill, gathered, open};
use super::place::{Heat, place};

/// Heats that have begun, with what of them has happened first and the rest laid around it. Takes them out of those
/// who wait.
pub(super) fn begun(floor: &Floor, units: &mut Vec<Vec<u32>>) -> Result<Layout, Vec<Cause>> {
    let Some(present) = &floor.present else {
        return Ok(empty(floor));
    };
    let is_begun = |unit: &Vec<u32>| unit.iter().any(|athlete| has_started(floor, *athlete));
    let (started, waiting): (Vec<Vec<u32>>, Vec<Vec<u32>>) = std::mem::take(units).into_iter().partition(is_begun);
    *units = waiting;
    let mut as_they_are: BTreeMap<u32, Vec<&Vec<u32>>> = BTreeMap::new();
    for unit in &started {
        if let Some(first) = unit.iter().find(|athlete| has_started(floor, **athlete)) {
            as_they_are.entry(present.heat_of[*first as usize]).or_default().push(unit);
        }
    }
    // Whoever has the same behind them can go on together, whatever heats they began in.
    let by_past = gathered(floor, &started, |unit| past(floor, unit));
    let mut fewest: Option<Layout> = None;
    let mut stuck = None;
    for heats in [as_they_are.into_values().collect(), by_past] {
        match go_on_with(floor, present, heats) {
            Ok(plan) if plan.starts.len() <= floor.max_heats as usize => return Ok(plan),
            Ok(plan) if fewest.as_ref().is_none_or(|other| plan.starts.len() < other.starts.len()) => {
                fewest = Some(plan);
            }
            Ok(_) => {}
            Err(athlete) => stuck = stuck.or(Some(athlete)),
        }
    }
    fewest.ok_or_else(|| vec![Cause::Begun { athlete: stuck.unwrap_or(0) }])
}

/// These heats, as they are where that can be; whoever cannot go on with the others gets a heat to themselves that has
/// the same behind it. Gives somebody who finds no place even so.
fn go_on_with(floor: &Floor, present: &Layout, heats: Vec<Vec<&Vec<u32>>>) -> Result<Layout, u32> {
    let flat = |heat: &[&Vec<u32>]| -> Vec<u32> { heat.iter().flat_map(|unit| unit.iter().copied()).collect() };
    let mut plan = empty(floor);
    for heat in &heats {
        open(floor, &mut plan, &flat(heat));
    }
    let mut waiting: Vec<(usize, Vec<&Vec<u32>>)> = Vec::new();
    for (number, heat) in heats.into_iter().enumerate() {
        let members = flat(&heat);
        if !go_on(floor, &mut plan, &Heat { number, members: &members, from: floor.now_s }, present) {
            waiting.push((number, heat));
        }
    }
    waiting.reverse();
    while let Some((number, units)) = waiting.pop() {
        let members = flat(&units);
        let heat = Heat { number, members: &members, from: floor.now_s };
        if go_on(floor, &mut plan, &heat, present) || lay(floor, &mut plan, &heat) || place(floor, &mut plan, &heat) {
            continue;
        }
        if units.len() == 1 {
            return Err(members[0]);
        }
        let (stay, go) = divided(floor, present, units);
        fill(floor, &mut plan, number, &flat(&stay));
        waiting.push((plan.starts.len(), go.clone()));
        open(floor, &mut plan, &flat(&go));
        waiting.push((number, stay));
    }
    Ok(plan)
}

/// Those of a heat for whom there is enough at every stage, and the others; halves where that is everybody. Whoever
/// still has the bars of the present plan comes first.
fn divided<'a>(
    floor: &Floor,
    present: &Layout,
    mut units: Vec<&'a Vec<u32>>,
) -> (Vec<&'a Vec<u32>>, Vec<&'a Vec<u32>>) {
    let barless = |bout: &usize| {
        frozen(floor, *bout).is_none() && floor.bouts[*bout].bar.is_some() && present.bar_of[*bout].is_none()
    };
    units.sort_by_key(|unit| unit.iter().flat_map(|athlete| bout_indexes(floor, *athlete)).filter(barless).count());
    let supply = Supply::in_the_end(floor);
    let (mut stay, mut go): (Vec<&Vec<u32>>, Vec<&Vec<u32>>) = (Vec::new(), Vec::new());
    let mut members: Vec<u32> = Vec::new();
    for unit in units {
        let with: Vec<u32> = members.iter().chain(unit).copied().collect();
        if stay.is_empty() || supply.short(floor, &with).is_none() && rests_agree(floor, &with) {
            (members, stay) = (with, [stay, vec![unit]].concat());
        } else {
            go.push(unit);
        }
    }
    if go.is_empty() {
        go = stay.split_off(stay.len().div_ceil(2));
    }
    (stay, go)
}

/// Whether any of their work has started.
fn has_started(floor: &Floor, athlete: u32) -> bool {
    bout_indexes(floor, athlete).any(|bout| frozen(floor, bout).is_some())
}

/// Stages and starts that have happened to a unit.
fn past(floor: &Floor, unit: &[u32]) -> BTreeSet<(u32, u32)> {
    let bouts = unit.iter().flat_map(|athlete| bout_indexes(floor, *athlete));
    bouts.filter_map(|bout| Some((floor.bouts[bout].stage, frozen(floor, bout)?.0))).collect()
}
