//! How the effort is spent: plain starts, walks from the best of them, then proof, then walks again with what is left.

use crate::bounds::{Bounds, bounds};
use crate::model::Model;
use crate::prove::Prover;
use crate::search::{Aim, Best, Leash, Place, Search, Worth};
use crate::starts;

/// Places that walks begin at, before the best of their ends is walked on from.
const FIRST_WALKS: usize = 6;

/// How much worse a first step may be, in thousandths of the finish.
const HOT: u64 = 20;
const WARM: u64 = 10;

/// Looks of a walk on a floor so small that the rest of the effort is better spent on proof.
const FEW: u64 = 2_000_000;

/// A plan, and what cannot be beaten.
#[derive(Clone, Debug)]
pub(crate) struct Solved {
    pub(crate) best: Best,
    pub(crate) bounds: Bounds,
}

/// The best plan that this much work finds; none where it finds no plan at all.
pub(crate) fn solve(model: &Model, effort: u64, seconds_a_change: u32) -> Option<Solved> {
    let mut bounds = bounds(model);
    let mut search = Search::new(model, seconds_a_change);
    let mut places = first_places(&mut search, &bounds, effort / 3);
    let least = |bounds: &Bounds| Worth {
        price: bounds.finish,
        changed: 0,
        heats: bounds.heats,
        moves: bounds.moves,
        finish: bounds.finish,
    };
    let prover = Prover::new(model);
    // On a small floor proof is cheap, and a bound that is met ends the search for an earlier finish.
    let walks = if prover.is_small() { (effort / 5).min(FEW) } else { effort / 2 };
    let begun = search.course.work;
    let many = places.len().min(FIRST_WALKS) as u64;
    let mut ends: Vec<Place> = Vec::new();
    for (at, place) in (1..).zip(places.drain(..many as usize)) {
        let until = begun + walks.saturating_sub(begun) * at / many;
        search.course.forget_wishes();
        ends.push(search.walk(Aim::Finish, place, Leash { until, heat: HOT, least: least(&bounds) }));
    }
    if search.best.is_none() {
        insist(&mut search, effort);
    }
    let proof = if prover.is_small() { effort / 2 } else { effort / 5 };
    if let Some(best) = &search.best {
        search.course.work += prover.raise_finish(&mut bounds, best.worth.finish, proof);
    }
    ends.sort_by_key(|end| end.guide);
    let last = if prover.is_small() { search.course.work + (effort / 10).min(FEW) } else { effort - effort / 8 };
    if let Some(place) = ends.into_iter().next() {
        search.course.forget_wishes();
        search.walk(Aim::Finish, place, Leash { until: last, heat: WARM, least: least(&bounds) });
    }
    if let Some(place) = search.best_place(Aim::Neat) {
        let left = effort.saturating_sub(search.course.work);
        let until = search.course.work + if prover.is_small() { left / 8 } else { left };
        search.walk(Aim::Neat, place, Leash { until, heat: WARM, least: least(&bounds) });
    }
    if let Some(best) = search.best.as_mut() {
        prover.finish(&mut bounds, best, effort.saturating_sub(search.course.work));
    }
    Some(Solved { best: search.best?, bounds })
}

/// Plain starts, one of a kind: the best for each pattern and number of heats, best first.
fn first_places(search: &mut Search<'_>, bounds: &Bounds, effort: u64) -> Vec<Place> {
    let model = search.model;
    let mut places: Vec<(Place, (usize, usize))> = Vec::new();
    for heats in starts::heat_counts(model, bounds.heats as usize) {
        for kind in 0..starts::KINDS {
            if search.best.is_some() && search.course.work > effort {
                continue;
            }
            let Some(crews) = starts::crews(model, heats, kind, search) else { continue };
            for (pattern, order) in starts::orders(model).into_iter().enumerate() {
                if search.best.is_none() {
                    search.mend(&crews, &order);
                }
                let key = (pattern, crews.used());
                let Some(place) = search.place(Aim::Finish, crews.clone(), order) else { continue };
                match places.iter_mut().find(|p| p.1 == key) {
                    Some(known) if known.0.guide <= place.guide => {}
                    Some(known) => known.0 = place,
                    None => places.push((place, key)),
                }
            }
        }
    }
    places.sort_by_key(|place| place.0.guide);
    places.into_iter().map(|place| place.0).collect()
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
