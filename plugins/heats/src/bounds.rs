//! What no plan can be better than: the earliest end, the fewest heats, the fewest plates moved.
//!
//! Valid for every plan that keeps the rules, whoever made it. The end is the greatest of: the longest chain of one
//! athlete; for the coach, each kit, each bar type and each plate size, the work that has to be done between a least
//! time before it and a least time after it, shared by as many as there are; and for bars the changes of plates that
//! every order has to make.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{BarNeed, Model};

/// The bounds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bounds {
    pub(crate) finish: u32,
    pub(crate) heats: u32,
    pub(crate) moves: u32,
}

/// A bout as one shared thing sees it.
#[derive(Clone, Copy, Debug)]
struct Work {
    /// It starts no earlier.
    head: u32,
    /// Seconds of the thing that it takes.
    work: u64,
    /// The plan ends no earlier than so long after it.
    tail: u32,
}

pub(crate) fn bounds(model: &Model) -> Bounds {
    let heads = heads(model);
    let tails = tails(model);
    let work = |bout: usize, amount: u32| Work {
        head: heads[bout],
        work: u64::from(model.bouts[bout].length) * u64::from(amount),
        tail: tails[bout],
    };
    let chain = (0..model.bouts.len()).map(|b| heads[b] + model.bouts[b].length + tails[b]).max().unwrap_or(0);
    let mut finish = chain;
    for thing in 0..model.things.len() {
        let uses = (0..model.bouts.len()).filter_map(|bout| {
            let amount: u32 = model.bouts[bout].uses.iter().filter(|u| u.0 == thing).map(|u| u.1).sum();
            (amount > 0).then(|| work(bout, amount))
        });
        finish = finish.max(shared(uses.collect(), model.things[thing].there));
    }
    for kind in 0..model.bars_of.len() {
        let users = users(model, kind);
        let works: Vec<Work> = users.iter().map(|(bout, _)| work(*bout, 1)).collect();
        let bars = model.bars_of[kind].len() as u32;
        finish = finish.max(shared(works.clone(), bars)).max(with_changes(model, kind, &users, &works));
    }
    for size in 0..model.plates.len() {
        let uses = (0..model.bouts.len()).filter_map(|bout| {
            let on = &model.plates_on[model.bouts[bout].bar?.loading];
            Some(work(bout, on.iter().find(|p| p.0 == size)?.1))
        });
        finish = finish.max(shared(uses.collect(), model.plates[size].there));
    }
    Bounds { finish, heats: heats(model), moves: moves(model) }
}

/// The earliest start of each bout: after those before it, and for a bar after it can be there and loaded.
fn heads(model: &Model) -> Vec<u32> {
    let mut heads = vec![0; model.bouts.len()];
    for (index, bout) in model.bouts.iter().enumerate() {
        let athlete = &model.athletes[bout.athlete];
        if let Some((start, _)) = bout.done {
            heads[index] = start;
            continue;
        }
        let mut head = athlete.ready.max(model.now);
        if index > athlete.bouts.start {
            head = head.max(heads[index - 1] + model.bouts[index - 1].lag);
        }
        if let Some(need) = bout.bar {
            let loaded = model.bars_of[need.kind].iter().map(|bar| {
                let bar = &model.bars[*bar];
                bar.free_from + model.setup(bar.loading, need.loading)
            });
            head = head.max(loaded.min().unwrap_or(0));
        }
        heads[index] = model.on_step(head);
    }
    heads
}

/// Least time from the end of each bout to the end of the plan.
fn tails(model: &Model) -> Vec<u32> {
    let mut tails = vec![0; model.bouts.len()];
    for index in (0..model.bouts.len()).rev() {
        let bout = &model.bouts[index];
        if index + 1 < model.athletes[bout.athlete].bouts.end {
            // A next bout that has started already may have had less rest than is written now.
            if model.bouts[index + 1].done.is_none() {
                tails[index] = bout.lag - bout.length + model.bouts[index + 1].length + tails[index + 1];
            }
        }
    }
    tails
}

/// The greatest of: least time before, work of those who have that much before and after them, least time after.
fn shared(mut works: Vec<Work>, there: u32) -> u32 {
    works.sort_unstable_by_key(|w| std::cmp::Reverse(w.tail));
    let mut heads: Vec<u32> = works.iter().map(|w| w.head).collect();
    heads.sort_unstable();
    heads.dedup();
    let mut best = 0;
    for head in heads {
        let mut sum = 0;
        for work in works.iter().filter(|w| w.head >= head) {
            sum += work.work;
            best = best.max(u64::from(head) + sum.div_ceil(u64::from(there.max(1))) + u64::from(work.tail));
        }
    }
    best as u32
}

/// Bouts that need a type of bar, and what they need.
fn users(model: &Model, kind: usize) -> Vec<(usize, BarNeed)> {
    let needs = model.bouts.iter().enumerate().filter_map(|(index, bout)| Some((index, bout.bar?)));
    needs.filter(|(_, need)| need.kind == kind).collect()
}

/// For each loading that a type of bar needs, the least that it takes to come to it from any other.
fn least_into(
    model: &Model,
    kind: usize,
    users: &[(usize, BarNeed)],
    cost: impl Fn(usize, usize) -> u32,
) -> BTreeMap<usize, u32> {
    let loadings: BTreeSet<usize> = users.iter().map(|u| u.1.loading).collect();
    let into = |to: usize| {
        let others = loadings.iter().copied().filter(|from| *from != to);
        let first = model.bars_of[kind].iter().map(|bar| model.bars[*bar].loading);
        others.chain(first).map(|from| cost(from, to)).min().unwrap_or(0)
    };
    loadings.iter().map(|to| (*to, into(*to))).collect()
}

/// All bars of a type together have to find time, before the least time after, for the work and for one change into each
/// loading. Uses with less time after them are left out of the work, but not of what a bar can be changed from.
fn with_changes(model: &Model, kind: usize, users: &[(usize, BarNeed)], works: &[Work]) -> u32 {
    let bars = &model.bars_of[kind];
    let mut changes = least_into(model, kind, users, |from, to| model.setup(from, to));
    let mut order: Vec<usize> = (0..users.len()).collect();
    order.sort_unstable_by_key(|at| std::cmp::Reverse(works[*at].tail));
    let mut sum: u64 = bars.iter().map(|bar| u64::from(model.bars[*bar].free_from)).sum();
    let mut best = 0;
    for at in order {
        sum += works[at].work + u64::from(changes.remove(&users[at].1.loading).unwrap_or(0));
        best = best.max(sum.div_ceil(bars.len().max(1) as u64) + u64::from(works[at].tail));
    }
    best as u32
}

/// No fewer heats than one stage needs, since those who start together work at once.
fn heats(model: &Model) -> u32 {
    let mut heats = u32::from(!model.athletes.is_empty());
    let mut least = |sum: u64, there: u32| heats = heats.max(sum.div_ceil(u64::from(there.max(1))) as u32);
    for stage in 0..model.stages {
        let at_stage = || model.bouts.iter().filter(|b| b.stage == stage && b.length > 0);
        for (thing, it) in model.things.iter().enumerate() {
            let uses = at_stage().flat_map(|b| &b.uses).filter(|u| u.0 == thing);
            least(uses.map(|u| u64::from(u.1)).sum(), it.there);
        }
        for (kind, bars) in model.bars_of.iter().enumerate() {
            least(at_stage().filter_map(|b| b.bar).filter(|n| n.kind == kind).count() as u64, bars.len() as u32);
        }
        for (size, it) in model.plates.iter().enumerate() {
            let on = at_stage().filter_map(|b| b.bar).flat_map(|n| &model.plates_on[n.loading]);
            least(on.filter(|p| p.0 == size).map(|p| u64::from(p.1)).sum(), it.there);
        }
    }
    heats
}

/// No fewer plates moved than the least into each loading of each type.
fn moves(model: &Model) -> u32 {
    let of =
        |kind| least_into(model, kind, &users(model, kind), |from, to| model.moves(from, to)).values().sum::<u32>();
    (0..model.bars_of.len()).map(of).sum()
}
