//! Plain arrangements to begin a search with, and whether a heat can be one at all.

use std::rc::Rc;

use crate::causes::Lags;
use crate::dice::Dice;
use crate::model::Model;
use crate::search::State;

/// How to lay people into heats.
#[derive(Clone, Debug)]
pub(crate) struct Recipe {
    /// Who comes when.
    order: Rc<[usize]>,
    heats: usize,
    /// Dealt round, or filled up heat by heat.
    dealt: bool,
}

/// Recipes worth a try: the present heats, then for each number of heats several orders of people.
pub(crate) fn recipes(model: &Model, fewest: usize) -> Vec<Recipe> {
    let mut all = Vec::new();
    if model.replan {
        let order: Rc<[usize]> = (0..model.units.len()).collect();
        all.extend((1..=model.slots.min(16)).map(|heats| Recipe { order: order.clone(), heats, dealt: true }));
    }
    let most = model.slots.min(model.most_heats);
    // A few more heats than are needed; and as many as there may be, which finds room if anything does.
    let few = fewest.max(1)..=most.min(fewest + 8);
    let all_there_may_be = Some(most).filter(|most| *most > fewest + 8);
    let orders = orders(model);
    for heats in few.chain(all_there_may_be) {
        for order in &orders {
            all.extend([false, true].map(|dealt| Recipe { order: order.clone(), heats, dealt }));
        }
    }
    all
}

/// A recipe at random.
pub(crate) fn at_random(model: &Model, dice: &mut Dice) -> Recipe {
    let mut order: Vec<usize> = (0..model.units.len()).collect();
    for at in (1..order.len()).rev() {
        order.swap(at, dice.below(at + 1));
    }
    let heats = 1 + dice.below(model.slots.min(model.most_heats));
    Recipe { order: order.into(), heats, dealt: dice.below(2) == 0 }
}

/// Orders of people: as they are ready, by length of work, by what is on their bars.
fn orders(model: &Model) -> Vec<Rc<[usize]>> {
    let bouts = |unit: usize| model.units[unit].athletes.iter().flat_map(|a| model.athletes[*a].bouts.clone());
    let ready = |unit: &usize| model.units[*unit].athletes.iter().map(|a| model.athletes[*a].ready).max();
    let length = |unit: &usize| {
        std::cmp::Reverse(bouts(*unit).map(|b| model.bouts[b].lag.max(model.bouts[b].length)).sum::<u32>())
    };
    let load = |unit: &usize| {
        let needs = bouts(*unit).filter_map(|b| model.bouts[b].bar);
        needs.map(|n| (n.kind, model.plates_on[n.loading].clone(), n.loading)).next()
    };
    let mut orders = vec![(0..model.units.len()).collect::<Vec<usize>>(); 3];
    orders[0].sort_by_key(|unit| (ready(unit), length(unit)));
    orders[1].sort_by_key(|unit| (length(unit), load(unit)));
    orders[2].sort_by_key(|unit| (load(unit), length(unit)));
    orders.into_iter().map(Rc::from).collect()
}

/// People laid into heats by a recipe, these taken heat by heat, stage by stage or in turn; none where somebody fits
/// into no heat. Adds what it looked at to `work`.
pub(crate) fn arranged(model: &Model, recipe: &Recipe, dice: &mut Dice, work: &mut u64) -> Vec<State> {
    let Recipe { order, heats, dealt } = recipe;
    let heats = *heats;
    let nobody = usize::MAX;
    let mut heat_of = vec![nobody; model.units.len()];
    for (unit, it) in model.units.iter().enumerate() {
        if let Some(heat) = it.begun {
            heat_of[unit] = heat;
        }
    }
    let size = model.units.len().div_ceil(heats);
    for (place, &unit) in order.iter().enumerate() {
        if heat_of[unit] != nobody {
            continue;
        }
        let wanted = if *dealt { place % heats } else { place / size };
        let before = if model.replan { model.units[unit].before } else { None };
        let mut rest = (0..heats).map(|more| (wanted + more) % heats);
        let found = before.into_iter().chain(&mut rest).find(|heat| {
            heat_of[unit] = *heat;
            *work += 1 + model.units.len() as u64 / 32;
            fits(model, &heat_of, *heat)
        });
        match found {
            Some(heat) => heat_of[unit] = heat,
            None => return Vec::new(),
        }
    }
    if !opened(model, &heat_of) {
        return Vec::new();
    }
    // Heats that have begun go first: the others can wait.
    let mut slots: Vec<usize> = (0..model.slots).collect();
    slots.sort_by_key(|slot| model.done[*slot].iter().all(Option::is_none));
    let heat_by_heat: Vec<usize> = slots.iter().flat_map(|heat| vec![*heat; model.stages]).collect();
    let stage_by_stage: Vec<usize> = (0..model.stages).flat_map(|_| slots.iter().copied()).collect();
    let mut as_before: Vec<(Option<u32>, usize, usize)> = Vec::new();
    for &slot in &slots {
        as_before.extend((0..model.stages).map(|stage| (model.starts_before[slot][stage], stage, slot)));
    }
    // Heats that were not there before come last.
    as_before.sort_by_key(|(start, stage, _)| (start.is_none(), *start, *stage));
    let as_before: Vec<usize> = as_before.into_iter().map(|before| before.2).collect();
    let mut mixed = stage_by_stage.clone();
    let shift = dice.below(model.slots.max(1));
    mixed.iter_mut().for_each(|heat| *heat = (*heat + shift) % model.slots);
    let ways = [
        (as_before, false),
        (heat_by_heat.clone(), false),
        (stage_by_stage, false),
        (mixed, false),
        (heat_by_heat, true),
    ];
    let state = |(turns, in_turn)| State { heat_of: heat_of.clone(), turns, in_turn };
    ways.into_iter().skip(usize::from(!model.replan)).map(state).collect()
}

/// Whether no more heats are used than allowed.
pub(crate) fn opened(model: &Model, heat_of: &[usize]) -> bool {
    model.slots <= model.most_heats || used(model, heat_of) <= model.most_heats
}

/// How many heats have somebody in them.
pub(crate) fn used(model: &Model, heat_of: &[usize]) -> usize {
    let mut used = vec![false; model.slots];
    heat_of.iter().for_each(|heat| used[*heat] = true);
    used.into_iter().filter(|used| *used).count()
}

/// Whether those of a heat can start together: enough of everything at each stage, nobody kept apart, rests that agree,
/// and nobody new at a stage that has happened.
pub(crate) fn fits(model: &Model, heat_of: &[usize], heat: usize) -> bool {
    let (things, kinds, sizes) = (model.things.len(), model.bars_of.len(), model.plates.len());
    let width = things + kinds + sizes;
    let mut sums = vec![0u32; model.stages * width];
    let mut lags = Lags::default();
    for (unit, it) in model.units.iter().enumerate().filter(|(unit, _)| heat_of[*unit] == heat) {
        if model.apart[unit].iter().any(|other| heat_of[*other] == heat) {
            return false;
        }
        for athlete in &it.athletes {
            let bouts = model.athletes[*athlete].bouts.clone();
            for number in bouts.clone() {
                let bout = &model.bouts[number];
                if bout.done.is_some() {
                    continue;
                }
                if model.done[heat][bout.stage].is_some() {
                    return false;
                }
                let sums = &mut sums[bout.stage * width..][..width];
                bout.uses.iter().for_each(|(thing, amount)| sums[*thing] += amount);
                if let Some(need) = bout.bar {
                    sums[things + need.kind] += 1;
                    model.plates_on[need.loading].iter().for_each(|(size, pairs)| sums[things + kinds + size] += pairs);
                }
                if number + 1 < bouts.end {
                    let most = bout.lag_most.map(i64::from);
                    lags.add(bout.stage, model.bouts[number + 1].stage, i64::from(bout.lag), most);
                }
            }
        }
    }
    let there = |at: usize| match at {
        at if at < things => model.things[at].there,
        at if at < things + kinds => model.bars_of[at - things].len() as u32,
        at => model.plates[at - things - kinds].there,
    };
    sums.iter().enumerate().all(|(at, sum)| *sum == 0 || *sum <= there(at % width)) && lags.agree(model.stages)
}
