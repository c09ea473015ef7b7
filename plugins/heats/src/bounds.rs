//! What no plan can be better than: the earliest end, the fewest heats, the fewest plates moved.
//!
//! Valid for every plan that keeps the rules, whoever made it. The end is the greatest of: the longest chain of one
//! athlete; for the coach, each kit, each bar type and each plate size, the work that has to be done between a least
//! time before it and a least time after it, shared by as many as there are; and for bars the same with the changes of
//! plates that every order has to make in that time.

use std::collections::BTreeSet;

use crate::loadings::{StepCount, ways};
use crate::model::Model;

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
    // What has started takes nothing any more of what is there now; it counts by where it left the bars.
    let (standing, moved) = model.standing();
    let model = standing.as_ref().unwrap_or(model);
    let to_come = |bout: &usize| model.bouts[*bout].done.is_none();
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
        let uses = (0..model.bouts.len()).filter(to_come).filter_map(|bout| {
            let amount: u32 = model.bouts[bout].uses.iter().filter(|u| u.0 == thing).map(|u| u.1).sum();
            (amount > 0).then(|| work(bout, amount))
        });
        finish = finish.max(shared(uses.collect(), model.things[thing].there));
    }
    for size in 0..model.plates.len() {
        let uses = (0..model.bouts.len()).filter(to_come).filter_map(|bout| {
            let on = &model.plates_on[model.bouts[bout].bar?.loading];
            Some(work(bout, on.iter().find(|p| p.0 == size)?.1))
        });
        finish = finish.max(shared(uses.collect(), model.plates[size].there));
    }
    let ways = ways(model);
    let mut moves = moved;
    for kind in 0..model.bars_of.len() {
        let mut uses: Vec<(Work, usize)> = (0..model.bouts.len())
            .filter(to_come)
            .filter_map(|bout| Some((work(bout, 1), model.bouts[bout].bar.filter(|n| n.kind == kind)?.loading)))
            .collect();
        uses.sort_unstable_by_key(|(work, _)| std::cmp::Reverse(work.tail));
        finish = finish.max(bars(model, kind, &uses, ways.as_deref()));
        moves += changes(model, kind, &uses, ways.as_deref()).1;
    }
    Bounds { finish, heats: heats(model), moves }
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
    for head in few(&heads) {
        let mut sum = 0;
        for work in works.iter().filter(|w| w.head >= head) {
            sum += work.work;
            best = best.max(u64::from(head) + sum.div_ceil(u64::from(there.max(1))) + u64::from(work.tail));
        }
    }
    best as u32
}

/// Of many seconds some: each bound is valid by itself, and a floor of hundreds has to be answered too.
fn few(seconds: &[u32]) -> impl Iterator<Item = u32> {
    seconds.iter().copied().step_by(seconds.len().div_ceil(64).max(1))
}

/// The same for the bars of a kind, with the changes that the work makes necessary.
fn bars(model: &Model, kind: usize, uses: &[(Work, usize)], ways: Option<&[u128]>) -> u32 {
    let there = &model.bars_of[kind];
    let bars = there.len().max(1);
    let mut heads: Vec<u32> = uses.iter().map(|(work, _)| work.head).collect();
    heads.sort_unstable();
    heads.dedup();
    let mut best = from_the_start(model, kind, uses, ways);
    for head in few(&heads) {
        let mut steps = StepCount::new(0, bars);
        let mut seen = BTreeSet::new();
        let mut sum = 0;
        for (work, loading) in uses.iter().filter(|(work, _)| work.head >= head) {
            sum += work.work;
            if seen.insert(*loading)
                && let Some(ways) = ways
            {
                steps.add(ways[*loading]);
            }
            // On each bar the first loading may be there by then.
            let changes = (seen.len() as u32).saturating_sub(bars as u32);
            let setups =
                if changes == 0 { 0 } else { model.setup_seconds(changes, steps.moves_between().max(changes)) };
            let time = (sum + u64::from(setups)).div_ceil(bars as u64);
            best = best.max(u64::from(head) + time + u64::from(work.tail));
        }
    }
    best as u32
}

/// All changes count where all the work counts, from when each bar can be had.
fn from_the_start(model: &Model, kind: usize, uses: &[(Work, usize)], ways: Option<&[u128]>) -> u64 {
    let mut free: Vec<u32> = model.bars_of[kind].iter().map(|bar| model.bars[*bar].free_from).collect();
    free.sort_unstable();
    let mut best = 0;
    let mut sum = 0;
    for (at, (work, _)) in uses.iter().enumerate() {
        sum += work.work;
        // Work with the same time after it is counted as one.
        if uses.get(at + 1).is_none_or(|next| next.0.tail < work.tail) {
            let (changes, moves) = changes(model, kind, &uses[..=at], ways);
            let end = filled(&free, sum + u64::from(model.setup_seconds(changes, moves)));
            best = best.max(end + u64::from(work.tail));
        }
    }
    best
}

/// The second until which bars that are free from then on have so much time together.
pub(crate) fn filled(free: &[u32], time: u64) -> u64 {
    let (mut sum, mut end) = (0, 0);
    for (count, &from) in (1..).zip(free) {
        if count > 1 && end <= u64::from(from) {
            break;
        }
        sum += u64::from(from);
        end = (time + sum).div_ceil(count);
    }
    end
}

/// Changes and pairs moved that any order of these uses has at least.
fn changes(model: &Model, kind: usize, uses: &[(Work, usize)], ways: Option<&[u128]>) -> (u32, u32) {
    let there = &model.bars_of[kind];
    let on_a_bar: BTreeSet<usize> = there.iter().map(|bar| model.bars[*bar].loading).collect();
    let wanted: BTreeSet<usize> = uses.iter().map(|(_, loading)| *loading).filter(|l| !on_a_bar.contains(l)).collect();
    let changes = wanted.len() as u32;
    let Some(ways) = ways else { return (changes, changes) };
    let mut steps = StepCount::new(on_a_bar.iter().fold(0, |all, loading| all | ways[*loading]), there.len());
    wanted.iter().for_each(|loading| steps.add(ways[*loading]));
    (changes, steps.moves().max(changes))
}

/// No fewer heats than one stage needs, since those who start together work at once.
fn heats(model: &Model) -> u32 {
    let mut heats = u32::from(!model.athletes.is_empty());
    let mut sums = vec![0u64; model.stages * model.width];
    for demand in &model.demand {
        for &(at, amount) in demand {
            sums[at as usize] += u64::from(amount);
        }
    }
    for (at, sum) in sums.iter().enumerate() {
        heats = heats.max(sum.div_ceil(u64::from(model.there[at % model.width].max(1))) as u32);
    }
    heats
}
