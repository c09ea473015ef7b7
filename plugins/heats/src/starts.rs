//! Plain heats and orders to begin a search with.

use crate::crew::Crews;
use crate::model::Model;
use crate::search::Search;

/// Ways of laying people into heats: by when they are ready, by length of work, by what is on their bars, each dealt
/// round or filled up heat by heat; and at random.
pub(crate) const KINDS: usize = 7;
pub(crate) const AT_RANDOM: usize = 6;

/// Numbers of heats worth a try.
pub(crate) fn heat_counts(model: &Model, fewest: usize) -> Vec<usize> {
    let most = model.slots.min(model.most_heats).max(1);
    let mut counts: Vec<usize> = (fewest.max(1)..=most.min(fewest + 6)).collect();
    if most > fewest + 6 {
        counts.push(most);
    }
    counts
}

/// People laid into so many heats; none where somebody fits nowhere.
pub(crate) fn crews(model: &Model, heats: usize, kind: usize, search: &mut Search<'_>) -> Option<Crews> {
    let bouts = |unit: usize| model.units[unit].athletes.iter().flat_map(|a| model.athletes[*a].bouts.clone());
    let ready = |unit: &usize| model.units[*unit].athletes.iter().map(|a| model.athletes[*a].ready).max();
    let length = |unit: &usize| {
        std::cmp::Reverse(bouts(*unit).map(|b| model.bouts[b].lag.max(model.bouts[b].length)).sum::<u32>())
    };
    let load = |unit: &usize| {
        let needs = bouts(*unit).filter_map(|b| model.bouts[b].bar);
        needs.map(|n| (n.kind, model.plates_on[n.loading].clone(), n.loading)).next()
    };
    let mut units: Vec<usize> = (0..model.units.len()).collect();
    match kind / 2 {
        0 => units.sort_by_key(|unit| (ready(unit), length(unit))),
        1 => units.sort_by_key(|unit| (length(unit), load(unit))),
        2 => units.sort_by_key(|unit| (load(unit), length(unit))),
        _ => {
            for at in (1..units.len()).rev() {
                units.swap(at, search.dice.below(at + 1));
            }
        }
    }
    let mut crews = Crews::new(model);
    for (unit, it) in model.units.iter().enumerate() {
        if let Some(heat) = it.begun {
            crews.join(model, unit, heat);
        }
    }
    let size = model.units.len().div_ceil(heats);
    // A plan with more heats than are allowed now is no place to keep people in.
    let mut before: Vec<usize> = model.units.iter().filter_map(|unit| unit.before).collect();
    before.sort_unstable();
    before.dedup();
    let keep = model.replan && before.len() <= model.most_heats;
    search.course.work += model.bouts.len() as u64;
    for (place, &unit) in units.iter().enumerate() {
        if crews.heat_of[unit] != usize::MAX {
            continue;
        }
        let wanted = if kind.is_multiple_of(2) { place % heats } else { place / size };
        let before = if keep { model.units[unit].before } else { None };
        let usual = (0..heats).map(|more| (wanted + more) % heats);
        // Whoever has begun and finds no room any more goes on in a new heat that has begun with theirs.
        let begun = if model.units[unit].begun.is_some() { heats..model.slots } else { 0..0 };
        before.into_iter().chain(usual).chain(begun).find(|heat| {
            search.course.work += 1;
            let joined = crews.join(model, unit, *heat);
            let agrees = !joined || !model.limited_rests || crews.build(model, *heat);
            if !agrees {
                crews.leave(model, unit);
            }
            joined && agrees
        })?;
    }
    for heat in 0..model.slots {
        crews.build(model, heat);
    }
    (crews.used() <= model.most_heats).then_some(crews)
}

/// Orders worth a try: stage by stage, heat by heat, as it was, and each heat a stage behind the one before.
pub(crate) fn orders(model: &Model) -> Vec<Vec<u32>> {
    let stages = model.stages;
    let cell = |heat: usize, stage: usize| (heat * stages + stage) as u32;
    let mut slots: Vec<usize> = (0..model.slots).collect();
    slots.sort_by_key(|slot| model.done[*slot].iter().all(Option::is_none));
    let mut orders = Vec::new();
    if model.replan {
        let mut as_before: Vec<(bool, Option<u32>, usize, usize)> = Vec::new();
        for &slot in &slots {
            for stage in 0..stages {
                let start = model.starts_before[slot][stage];
                as_before.push((start.is_none(), start, stage, slot));
            }
        }
        as_before.sort();
        let mut next = vec![0; model.slots];
        orders.push(
            as_before
                .into_iter()
                .map(|(_, _, _, heat)| {
                    // The stages of a heat come in order, also those that it had nobody at.
                    next[heat] += 1;
                    cell(heat, next[heat] - 1)
                })
                .collect(),
        );
    }
    orders.push((0..stages).flat_map(|stage| slots.iter().map(move |heat| cell(*heat, stage))).collect());
    orders.push(slots.iter().flat_map(|heat| (0..stages).map(move |stage| cell(*heat, stage))).collect());
    // Groups of heats, each some stages behind the group before it.
    for group in 1..=3usize {
        for behind in 1..stages {
            let mut keyed: Vec<(usize, usize, usize)> = Vec::new();
            for (place, &heat) in slots.iter().enumerate() {
                keyed.extend((0..stages).map(|stage| (place / group * behind + stage, stages - stage, heat)));
            }
            keyed.sort();
            orders.push(keyed.into_iter().map(|k| cell(k.2, stages - k.1)).collect());
        }
    }
    orders
}
