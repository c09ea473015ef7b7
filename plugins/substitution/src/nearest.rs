//! Which movements can stand in for one, nearest first.
//!
//! A named pair comes first, then the same main pattern, any pattern in common, and the related patterns of the
//! settings in their order; within each the smallest distance, and the movement's id where distances are equal.
//! A movement that the place's kit does not allow, that asks more of any region or more skill than the rules let it,
//! or that cannot take over the measure does not stand in.

use std::collections::BTreeMap;

use classwright_sdk::Measure;

use crate::amounts::measure_for;
use crate::excerpt::{Excerpt, Movement};
use crate::places::Places;
use crate::settings::Settings;

/// A movement that may stand in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StandIn<'a> {
    pub(crate) movement: u32,
    /// The named pair it comes from.
    pub(crate) pair: Option<(u32, &'a str)>,
}

/// The candidates of one movement, before anybody's place or body is looked at.
pub(crate) struct Field<'a> {
    /// Movement, stage and named pair, each movement once.
    candidates: Vec<(StandIn<'a>, usize)>,
}

/// Candidates for each of the missing movements, all of them read in one batch.
pub(crate) fn fields<'a>(excerpt: &mut Excerpt, missing: &[u32], settings: &'a Settings) -> BTreeMap<u32, Field<'a>> {
    let stages: Vec<Vec<u32>> = missing.iter().map(|&number| stages(excerpt, number, settings)).collect();
    let mut patterns: Vec<u32> = stages.iter().flatten().copied().collect();
    patterns.sort_unstable();
    patterns.dedup();
    excerpt.read_patterns(&patterns);
    let named: Vec<Vec<StandIn>> = missing.iter().map(|&number| named(excerpt, excerpt.id(number), settings)).collect();
    excerpt.read(named.iter().flatten().map(|stand_in| stand_in.movement));
    let mut fields = BTreeMap::new();
    for ((&number, stages), named) in missing.iter().zip(stages).zip(named) {
        fields.insert(number, field(excerpt, number, &stages, named));
    }
    fields
}

/// The patterns to look in: its own, the main one first, then the related ones.
fn stages(excerpt: &Excerpt, number: u32, settings: &Settings) -> Vec<u32> {
    let movement = excerpt.movement(number);
    let mut own = vec![movement.fact.pattern];
    own.extend(movement.patterns.iter().copied().filter(|&pattern| pattern != movement.fact.pattern));
    let mut all = own.clone();
    for pattern in own {
        let id = excerpt.tables.patterns.get(pattern as usize);
        let related = settings.related.iter().filter(|related| Some(&related.pattern) == id);
        for other in related.flat_map(|related| &related.instead) {
            if let Some(other) = excerpt.pattern(other).filter(|other| !all.contains(other)) {
                all.push(other);
            }
        }
    }
    all
}

fn named<'a>(excerpt: &Excerpt, id: &str, settings: &'a Settings) -> Vec<StandIn<'a>> {
    let of_pair = |pair: &'a crate::settings::NamedPair| {
        let movement = excerpt.library.find(&pair.to)?;
        Some(StandIn { movement, pair: Some((pair.extra_reps, &pair.source)) })
    };
    settings.pairs.iter().filter(|pair| pair.from == id).filter_map(of_pair).collect()
}

fn field<'a>(excerpt: &Excerpt, number: u32, stages: &[u32], named: Vec<StandIn<'a>>) -> Field<'a> {
    let own = excerpt.movement(number).patterns.len().max(1);
    let mut candidates: Vec<(StandIn, usize)> = Vec::new();
    let mut seen = std::collections::BTreeSet::from([number]);
    for (at, stand_in) in named.into_iter().enumerate() {
        if seen.insert(stand_in.movement) {
            candidates.push((stand_in, at));
        }
    }
    let after_named = candidates.len();
    for (at, &pattern) in stages.iter().enumerate() {
        // The main pattern, then all other patterns of its own together, then each related one.
        let stage = after_named
            + if at == 0 {
                0
            } else if at < own {
                1
            } else {
                at - own + 2
            };
        for &movement in excerpt.with_pattern(pattern) {
            if seen.insert(movement) {
                candidates.push((StandIn { movement, pair: None }, stage));
            }
        }
    }
    Field { candidates }
}

/// What a stand-in has to fit.
#[derive(Clone, Copy)]
pub(crate) struct Person<'a> {
    pub(crate) place: u32,
    /// 0 where it is not known.
    pub(crate) skill: u32,
    /// Regions they have a limitation of.
    pub(crate) limited: &'a [u32],
    pub(crate) may_raise_demand: bool,
}

/// All candidates for work in a measure, nearest first, whoever it is for.
pub(crate) fn ordered<'a>(
    excerpt: &Excerpt,
    settings: &Settings,
    field: &Field<'a>,
    number: u32,
    measure: Measure,
) -> Vec<StandIn<'a>> {
    let present = excerpt.movement(number);
    let mut all: Vec<(usize, u64, StandIn)> = Vec::new();
    for &(stand_in, stage) in &field.candidates {
        let candidate = excerpt.movement(stand_in.movement);
        if let Some(counted) = measure_for(measure, &candidate.fact) {
            all.push((stage, distance(present, candidate, counted != measure, settings), stand_in));
        }
    }
    // Numbers are good for one call only, so that equals are put in the order of their ids.
    let id = |stand_in: &StandIn| excerpt.id(stand_in.movement);
    all.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then_with(|| id(&a.2).cmp(id(&b.2))));
    all.into_iter().map(|(_, _, stand_in)| stand_in).collect()
}

/// True where a candidate is for this person at their place.
pub(crate) fn fits(places: &Places, present: &Movement, candidate: &Movement, person: Person) -> bool {
    candidate.fact.skill <= present.fact.skill.max(person.skill)
        && is_demand_allowed(present, candidate, person)
        && places.allow(person.place, candidate)
}

/// No region is asked for more than now; one with a limitation never, others only where the coach allowed it.
fn is_demand_allowed(present: &Movement, candidate: &Movement, person: Person) -> bool {
    let may_rise = |region: usize| person.may_raise_demand && !person.limited.contains(&(region as u32));
    let mut pairs = present.demand.iter().zip(&candidate.demand).enumerate();
    pairs.all(|(region, (now, then))| then <= now || may_rise(region))
}

fn distance(present: &Movement, candidate: &Movement, other_measure: bool, settings: &Settings) -> u64 {
    let shared = candidate.patterns.iter().filter(|pattern| present.patterns.contains(pattern)).count();
    let union = (present.patterns.len() + candidate.patterns.len() - shared).max(1);
    let demand: u32 = present.demand.iter().zip(&candidate.demand).map(|(&a, &b)| u32::from(a.abs_diff(b))).sum();
    let weights = &settings.weights;
    let steps = [
        (weights.demand, demand),
        (weights.skill, present.fact.skill.abs_diff(candidate.fact.skill)),
        (weights.load_kind, present.carrier.steps_to(candidate.carrier)),
        (weights.sides, u32::from(present.fact.sides != candidate.fact.sides)),
        (weights.measure, u32::from(other_measure)),
    ];
    let by_steps: u64 = steps.iter().map(|&(weight, steps)| u64::from(weight) * u64::from(steps)).sum();
    by_steps * 1000 + u64::from(weights.pattern) * 1000 * (union - shared) as u64 / union as u64
}
