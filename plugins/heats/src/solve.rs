//! How the effort is spent: plain starts, walks from the best of them, then proof, then walks again with what is left.

use crate::bounds::{Bounds, bounds};
use crate::change::carry;
use crate::crew::Crews;
use crate::model::Model;
use crate::prove::Prover;
use crate::search::{Aim, Best, Leash, Search, Stand, Worth};
use crate::starts;

/// Places that walks begin at; after each round the better half goes on.
const FIRST_PLACES: u64 = 6;

/// Looks for each bout that one walk should have, and all walks of the first time, as far as the effort goes.
const A_WALK: u64 = 2_000;
const A_TIME: u64 = 120_000;

/// How much worse a first step may be in the first round, in thousandths of the finish, and in every later one at least.
const HOT: u64 = 20;
const WARM: u64 = 5;

/// Looks of a walk on a floor so small that the rest of the effort is better spent on proof.
const FEW: u64 = 1_000_000;

/// Times the effort of the plain starts after which a floor that nothing fits is given up.
const MOST_STARTS: u64 = 8;

/// A plan, and what cannot be beaten.
#[derive(Clone, Debug)]
pub(crate) struct Solved {
    pub(crate) best: Best,
    pub(crate) bounds: Bounds,
}

/// The best plan that this much work finds; none where it finds no plan at all.
pub(crate) fn solve(model: &Model, effort: u64, seconds_a_person: u32) -> Option<Solved> {
    let mut bounds = bounds(model);
    let mut search = Search::new(model, seconds_a_person);
    let unplanned = model.unplanned();
    let prover = Prover::new(&unplanned, !model.replan);
    let places = first_places(&mut search, &bounds, effort / 3);
    let walks = if prover.is_small() { (effort / 5).min(FEW) } else { effort / 16 * 13 };
    if model.replan {
        stay(&mut search, &places, &bounds, effort / 2);
    }
    rounds(&mut search, places.clone(), &bounds, walks);
    if search.best.is_none() {
        insist(&mut search, effort);
    }
    if let Some(best) = &search.best {
        let share = if prover.is_small() { effort / 2 } else { effort / 16 };
        search.course.work += prover.raise_finish(&mut bounds, best.worth.finish, share);
        if prover.is_small() && bounds.finish < best.worth.finish && effort / 8 > 4 * FEW {
            // Much effort has not proven it: some goes into walks, and enough is left for what proof there may be.
            rounds(&mut search, places, &bounds, effort / 8 * 5);
        }
    }
    search.join_heats(search.course.work + effort / 16);
    if let Some(place) = search.best_place(Aim::Neat) {
        let left = (effort - effort / 16).saturating_sub(search.course.work);
        let until = search.course.work + if prover.is_small() { (left / 8).min(FEW) } else { left };
        search.walk(Aim::Neat, place, Leash { until, warmth: WARM, least: least(&bounds) });
    }
    search.join_heats(search.course.work + effort / 16);
    search.tidy(effort + effort / 16);
    if let Some(best) = search.best.as_mut() {
        prover.finish(&mut bounds, best, effort.saturating_sub(search.course.work));
    }
    Some(Solved { best: search.best?, bounds })
}

fn least(bounds: &Bounds) -> Worth {
    let Bounds { finish, heats, moves } = *bounds;
    Worth { price: finish, changed: 0, heats, moves, finish }
}

/// Walks from the present plan without anybody in another heat: what times and bars alone can do is found soon, before
/// a walk among all that people might do instead.
fn stay(search: &mut Search<'_>, places: &[Stand], bounds: &Bounds, effort: u64) {
    let before: Vec<Option<usize>> = search.model.units.iter().map(|unit| unit.before).collect();
    let as_before = |place: &&Stand| place.heat_of.iter().zip(&before).all(|(heat, before)| Some(*heat) == *before);
    let Some(place) = places.iter().find(as_before).cloned() else { return };
    search.people_stay = true;
    let until = search.course.work + effort;
    search.course.forget_wishes();
    search.walk(Aim::Finish, place, Leash { until, warmth: WARM, least: least(bounds) });
    search.people_stay = false;
}

/// Walks from all places, then from where the better half of them ended, and so on until one is left; with much effort
/// all of this several times, since chance has its part in it: each time for twice as long, and from the best plan too.
fn rounds(search: &mut Search<'_>, mut places: Vec<Stand>, bounds: &Bounds, until: u64) {
    let begun = search.course.work;
    let all = until.saturating_sub(begun);
    let bouts = search.model.bouts.len() as u64 + 1;
    let times = (all / (bouts * A_TIME) + 1).max(2).ilog2();
    let first = all / ((1 << times) - 1);
    // A walk that takes few steps finds nothing.
    places.truncate((first / (bouts * A_WALK)).clamp(1, FIRST_PLACES) as usize);
    let many_rounds = u64::from(places.len().max(1).ilog2()) + 1;
    for time in 0..times {
        let (begun, all) = (begun + first * ((1 << time) - 1), first << time);
        let mut places = places.clone();
        if time > 0
            && let Some(best) = search.best_place(Aim::Finish)
        {
            places.pop();
            places.insert(0, best);
        }
        let mut warmth = HOT;
        for round in 0..many_rounds {
            let many = places.len() as u64;
            let mut ends = Vec::new();
            for (at, place) in (1..).zip(places.drain(..)) {
                let walked = round * many + at;
                let until = begun + (u128::from(all) * u128::from(walked) / u128::from(many_rounds * many)) as u64;
                search.course.forget_wishes();
                ends.push(search.walk(Aim::Finish, place, Leash { until, warmth, least: least(bounds) }));
            }
            ends.sort_by_key(|end| end.guide);
            ends.truncate(many.div_ceil(2) as usize);
            places = ends;
            warmth = (warmth * 7 / 10).max(WARM);
        }
    }
}

/// Plain starts, one of a kind: the best for each pattern and number of heats, best first.
fn first_places(search: &mut Search<'_>, bounds: &Bounds, effort: u64) -> Vec<Stand> {
    let model = search.model;
    let mut places: Vec<(Stand, (usize, usize))> = Vec::new();
    let counts = starts::heat_counts(model, bounds.heats as usize);
    let spent = |search: &Search<'_>| search.course.work > effort;
    for &heats in &counts {
        for kind in 0..starts::KINDS {
            // Where all effort is spent and there is no plan yet, as many heats as there may be find room if anything does.
            if spent(search) && (search.best.is_some() || Some(&heats) != counts.last()) {
                break;
            }
            if search.course.work > MOST_STARTS * effort.max(1_000_000) {
                break;
            }
            let Some(crews) = starts::crews(model, heats, kind, search) else { continue };
            for (pattern, order) in starts::orders(model).into_iter().enumerate() {
                if spent(search) && search.best.is_some() {
                    break;
                }
                if search.best.is_none() {
                    search.mend(&crews, &order);
                }
                let key = (pattern, crews.used());
                let Some(place) = search.place(Aim::Finish, &crews, order) else { continue };
                match places.iter_mut().find(|p| p.1 == key) {
                    Some(known) if known.0.guide <= place.guide => {}
                    Some(known) => known.0 = place,
                    None => places.push((place, key)),
                }
            }
        }
    }
    let mut places: Vec<Stand> = places.into_iter().map(|place| place.0).collect();
    places.extend(without_the_late(search));
    places.sort_by_key(|place| place.guide);
    places
}

/// The present plan, with one of those who come too late for their heat in another.
fn without_the_late(search: &mut Search<'_>) -> Vec<Stand> {
    let model = search.model;
    let before: Option<Vec<usize>> = model.units.iter().map(|unit| unit.before).collect();
    let Some(before) = before.filter(|_| model.replan) else { return Vec::new() };
    let order = starts::orders(model).swap_remove(0);
    let mut places = Vec::new();
    for (unit, it) in model.units.iter().enumerate().filter(|(_, it)| it.begun.is_none()) {
        let from = before[unit];
        let ready = it.athletes.iter().map(|athlete| model.athletes[*athlete].ready).max().unwrap_or(0);
        let begins = |heat: usize| model.starts_before[heat].iter().flatten().min().copied();
        if begins(from).is_none_or(|first| ready <= first) {
            continue;
        }
        for (heat_of, to, is_new) in heats_without(model, &before, unit) {
            let crews = Crews::of(model, &heat_of);
            if crews.heat_of != heat_of || crews.used() > model.most_heats {
                continue;
            }
            // A new heat goes as the one that it comes from.
            let like = if is_new { from } else { to };
            let mut order = order.clone();
            if is_new && to != from {
                carry(model, &mut order, to, from, false);
            }
            // The heat that waits for them comes later at every stage, and the others need not wait with it.
            let wait = ready.saturating_sub(begins(like).unwrap_or(0));
            let mut last = vec![0; model.slots];
            order.sort_by_cached_key(|cell| {
                let (heat, stage) = (*cell as usize / model.stages, *cell as usize % model.stages);
                let planned = model.starts_before[if heat == to { like } else { heat }][stage];
                last[heat] = planned.unwrap_or(0).max(last[heat]);
                last[heat] + if heat == to { wait } else { 0 }
            });
            search.mend(&crews, &order);
            places.extend(search.place(Aim::Finish, &crews, order));
        }
    }
    places
}

/// Ways to have somebody in another heat than they are in: in each other one, in a new one, and, where no new one is
/// allowed, in one whose people have gone to another. The heats of all, theirs, and whether it is new.
fn heats_without(model: &Model, before: &[usize], unit: usize) -> Vec<(Vec<usize>, usize, bool)> {
    let mut used = before.to_vec();
    used.sort_unstable();
    used.dedup();
    let with = |heat: usize, others: &dyn Fn(usize) -> usize| {
        let mut heat_of: Vec<usize> = before.iter().map(|heat| others(*heat)).collect();
        heat_of[unit] = heat;
        heat_of
    };
    let mut ways: Vec<(Vec<usize>, usize, bool)> =
        used.iter().filter(|to| **to != before[unit]).map(|to| (with(*to, &|heat| heat), *to, false)).collect();
    if used.len() < model.most_heats {
        let free = (0..model.slots).find(|slot| !used.contains(slot) && model.done[*slot].iter().all(Option::is_none));
        ways.extend(free.map(|to| (with(to, &|heat| heat), to, true)));
    } else {
        for &emptied in &used {
            let others = used.iter().filter(|into| **into != emptied);
            ways.extend(
                others.map(|into| (with(emptied, &|heat| if heat == emptied { *into } else { heat }), emptied, true)),
            );
        }
    }
    ways
}

/// Tries arrangements at random until one can be planned.
fn insist(search: &mut Search<'_>, effort: u64) {
    let model = search.model;
    while search.best.is_none() && search.course.work < effort {
        search.course.work += 1 + model.bouts.len() as u64;
        let heats = 1 + search.dice.below(model.slots.min(model.most_heats));
        let Some(crews) = starts::crews(model, heats, starts::AT_RANDOM, search) else { continue };
        for order in starts::orders(model) {
            search.mend(&crews, &order);
        }
    }
}
