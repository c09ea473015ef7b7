//! What those who work together need at one time, and who cannot be together at all.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use classwright_training::floor::Floor;

use super::alone::rest_meets_step;
use super::supply::{Need, Supply};
use super::{Cause, bout_indexes, smallest};
use crate::floor::bars::frozen;

type Pair = (u32, u32);

/// Adds the causes; what is too little for one alone is no matter of company.
pub(super) fn causes(floor: &Floor, supply: &Supply, short: &BTreeSet<Need>, causes: &mut Vec<Cause>) {
    let mut seen = BTreeSet::new();
    for &(a, b) in floor.apart.iter().filter(|(a, b)| seen.insert((*a.min(b), *a.max(b)))) {
        if let Some(athletes) = chain(&floor.together, a, b) {
            causes.push(Cause::Contradiction { athletes });
        }
    }
    let group = groups(floor);
    let mut members: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (athlete, &leader) in (0..).zip(&group) {
        members.entry(leader).or_default().push(athlete);
    }
    for (leader, members) in members.iter().filter(|(_, members)| members.len() > 1) {
        let own = |pair: &&Pair| group[pair.0 as usize] == *leader;
        let pairs: Vec<Pair> = floor.together.iter().filter(own).copied().collect();
        too_few(floor, supply, short, members, &pairs, causes);
        rests(floor, members, &pairs, causes);
    }
}

/// Of each thing that a group has too little of, the fewest who are too many.
fn too_few(
    floor: &Floor,
    supply: &Supply,
    short: &BTreeSet<Need>,
    members: &[u32],
    pairs: &[Pair],
    causes: &mut Vec<Cause>,
) {
    let mut seen = short.clone();
    for (_, what, _) in supply.all_short(floor, members) {
        if !seen.insert(what) {
            continue;
        }
        let at = |members: &[u32]| supply.all_short(floor, members).into_iter().find(|row| row.1 == what);
        let found = fewest(members, pairs, |members| at(members).is_some()).map(|members| (at(&members), members));
        if let Some((Some((stage, _, needed)), athletes)) = found {
            causes.push(Cause::Partners { athletes, stage, what: what.name(floor), needed, there: supply.there(what) });
        }
    }
}

/// The fewest of a group whose rests do not agree; none where one of them has no start on the step alone.
fn rests(floor: &Floor, members: &[u32], pairs: &[Pair], causes: &mut Vec<Cause>) {
    let off_step = |athlete: &u32| !bout_indexes(floor, *athlete).all(|bout| rest_meets_step(floor, bout as u32));
    if members.iter().any(off_step) || agree(floor, members, floor.start_step_s) {
        return;
    }
    // Where they do not agree on any clock the step is no part of it.
    let step = if agree(floor, members, 1) { floor.start_step_s } else { 1 };
    if let Some(athletes) = fewest(members, pairs, |members| !agree(floor, members, step)) {
        causes.push(Cause::Rests { athletes, step: Some(step).filter(|step| *step > 1) });
    }
}

/// The fewest members who still fail together through the pairs among them.
fn fewest(members: &[u32], pairs: &[Pair], fails: impl Fn(&[u32]) -> bool) -> Option<Vec<u32>> {
    let among = |members: &[u32]| {
        let members: BTreeSet<u32> = members.iter().copied().collect();
        let both = |pair: &&Pair| members.contains(&pair.0) && members.contains(&pair.1);
        components(&pairs.iter().filter(both).copied().collect::<Vec<_>>())
    };
    let left = smallest(members, |members| among(members).iter().any(|members| fails(members)));
    among(&left).into_iter().find(|members| fails(members))
}

/// The shortest row of people from one to another, each together with the next.
fn chain(together: &[Pair], from: u32, to: u32) -> Option<Vec<u32>> {
    let mut before: BTreeMap<u32, u32> = BTreeMap::from([(from, from)]);
    let mut open = VecDeque::from([from]);
    while let Some(at) = open.pop_front() {
        if at == to {
            let mut row = vec![to];
            while row[row.len() - 1] != from {
                row.push(before[&row[row.len() - 1]]);
            }
            row.reverse();
            return Some(row);
        }
        for &(a, b) in together.iter().filter(|(a, b)| *a == at || *b == at) {
            let next = if a == at { b } else { a };
            if let Entry::Vacant(new) = before.entry(next) {
                new.insert(at);
                open.push_back(next);
            }
        }
    }
    None
}

/// People who are together through these pairs.
fn components(pairs: &[Pair]) -> Vec<Vec<u32>> {
    let mut leader: BTreeMap<u32, u32> = pairs.iter().flat_map(|&(a, b)| [(a, a), (b, b)]).collect();
    fn head(leader: &mut BTreeMap<u32, u32>, of: u32) -> u32 {
        let mut at = of;
        while leader[&at] != at {
            let next = leader[&leader[&at]];
            leader.insert(at, next);
            at = next;
        }
        at
    }
    for &(a, b) in pairs {
        let (a, b) = (head(&mut leader, a), head(&mut leader, b));
        leader.insert(a.max(b), a.min(b));
    }
    let mut groups: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for athlete in leader.keys().copied().collect::<Vec<_>>() {
        groups.entry(head(&mut leader, athlete)).or_default().push(athlete);
    }
    groups.into_values().collect()
}

/// Whether one row of starts can keep all these athletes' rests.
pub(in crate::floor) fn rests_agree(floor: &Floor, members: &[u32]) -> bool {
    agree(floor, members, floor.start_step_s)
}

/// Whether one row of starts on a step can keep all these rests: no circle of least and most times has a gain.
fn agree(floor: &Floor, members: &[u32], step: u32) -> bool {
    let step = i64::from(step.max(1));
    let mut arcs: Vec<(usize, usize, i64)> = Vec::new();
    let indexes = members.iter().flat_map(|athlete| bout_indexes(floor, *athlete).skip(1));
    for index in indexes.filter(|index| frozen(floor, *index).is_none()) {
        let pair = &floor.bouts[index - 1..=index];
        let (from, to, work) = (pair[0].stage as usize, pair[1].stage as usize, i64::from(pair[0].duration_s));
        // A start that has happened may be off the step.
        let step = if frozen(floor, index - 1).is_some() { 1 } else { step };
        let least = work + i64::from(pair[0].rest_least_s);
        arcs.push((from, to, least + (-least).rem_euclid(step)));
        if let Some(most) = pair[0].rest_most_s {
            let most = work + i64::from(most);
            arcs.push((to, from, -(most - most.rem_euclid(step))));
        }
    }
    let mut at = vec![0; floor.stage_count as usize];
    for _ in 0..=floor.stage_count {
        let mut moved = false;
        for &(from, to, lag) in &arcs {
            if at[to] < at[from] + lag {
                at[to] = at[from] + lag;
                moved = true;
            }
        }
        if !moved {
            return true;
        }
    }
    false
}

/// For each athlete the lowest of those who have to be in the same heat.
pub(in crate::floor) fn groups(floor: &Floor) -> Vec<u32> {
    let mut group: Vec<u32> = (0..floor.athletes.len() as u32).collect();
    for &(a, b) in &floor.together {
        let (a, b) = (group[a as usize], group[b as usize]);
        for leader in group.iter_mut().filter(|g| **g == a || **g == b) {
            *leader = a.min(b);
        }
    }
    group
}
