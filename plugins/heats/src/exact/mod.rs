//! All plans of a small floor: proof that nothing better is left.
//!
//! Starts are tried in the order of time: at each step some heat begins its next stage, or a new heat begins, as early
//! as everything is there for one way of taking bars. Every plan that is as early as it can be is met so. A branch is
//! left where a bound says that nothing better can come of it, where an earlier branch failed with everything free no
//! later, or where a part of the floor (those who need one kind of bar) cannot come to an end by itself any more.
//!
//! Limits that only forbid (longest rests, scarce plates, what others take) are left out: what cannot be done without
//! them cannot be done with them, but a plan that is found may not be one.

mod memory;
mod part;
mod read;
mod state;

use crate::crew::Crews;
use crate::exact::memory::Memory;
use crate::exact::part::Part;
use crate::exact::read::{Use, alike, uses};
pub(crate) use crate::exact::read::{is_whole, suits};
use crate::exact::state::{MOST_BARS, State};
use crate::loadings::ways;
use crate::model::{Model, NEVER};

/// What a plan has to keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Target {
    pub(crate) finish: u32,
    pub(crate) heats: u32,
    pub(crate) moves: u32,
}

/// What came of a search.
#[derive(Clone, Debug)]
pub(crate) enum Outcome {
    /// No plan keeps to the target. Where only the finish was asked about, none ends before this second.
    None(u32),
    /// A plan that does.
    Found(Plan),
    /// The steps are spent.
    Open,
}

/// A plan: heat of each unit, starts by heat and stage, bar of each bout.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    pub(crate) heat_of: Vec<usize>,
    pub(crate) starts: Vec<Start>,
    pub(crate) bars: Vec<u32>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Start {
    pub(crate) heat: usize,
    pub(crate) stage: usize,
    pub(crate) second: u32,
}

#[derive(Debug)]
pub(crate) struct Exact<'m> {
    model: &'m Model,
    target: Target,
    /// What every plan that keeps to the target moves on bars of each kind.
    pub(crate) least_moves: Vec<u32>,
    /// By kind of bar, those with the most after them first.
    uses: Vec<Vec<Use>>,
    ways: Vec<u128>,
    unit_tail: Vec<u32>,
    /// An earlier unit with the same work.
    twin: Vec<Option<usize>>,
    crews: Crews,
    starts: Vec<Start>,
    bars: Vec<u32>,
    sums: Vec<u32>,
    parts: Vec<Part<'m>>,
    memory: Memory,
    /// The earliest end that was given up for being too late.
    soonest_left: u32,
    pub(crate) work: u64,
    until: u64,
    found: Option<Plan>,
}

impl<'m> Exact<'m> {
    pub(crate) fn new(model: &'m Model) -> Self {
        let (uses, unit_tail) = uses(model);
        let free = |unit: usize| model.apart[unit].is_empty();
        let twin = |unit: usize| (0..unit).rev().find(|other| free(unit) && free(*other) && alike(model, unit, *other));
        Exact {
            model,
            target: Target { finish: 0, heats: 0, moves: 0 },
            least_moves: vec![0; model.bars_of.len()],
            uses,
            ways: ways(model).unwrap_or_default(),
            unit_tail,
            twin: (0..model.units.len()).map(twin).collect(),
            crews: Crews::new(model),
            starts: Vec::new(),
            bars: vec![NEVER; model.bouts.len()],
            sums: vec![0; model.stages * model.width],
            parts: Vec::new(),
            memory: Memory::new(model),
            soonest_left: NEVER,
            work: 0,
            until: 0,
            found: None,
        }
    }

    /// Looks for a plan that keeps to the target, with so many steps at most.
    pub(crate) fn search(&mut self, target: Target, steps: u64) -> Outcome {
        self.target = target;
        self.until = self.work + steps;
        self.memory.forget(target.moves != NEVER);
        self.soonest_left = NEVER;
        self.found = None;
        let begin = State::begin(self.model);
        if self.fewest_more(begin.waiting) <= target.heats {
            self.branch(&begin);
        }
        match self.found.take() {
            Some(plan) => Outcome::Found(plan),
            None if self.work >= self.until => Outcome::Open,
            None => Outcome::None(self.soonest_left),
        }
    }

    fn over(&self) -> bool {
        self.found.is_some() || self.work >= self.until
    }

    fn branch(&mut self, state: &State) {
        let model = self.model;
        self.work += 1;
        if self.over() {
            return;
        }
        if state.waiting == 0 && state.heats().iter().all(|h| h.started as usize == model.stages) {
            self.found = Some(Plan {
                heat_of: self.crews.heat_of.clone(),
                starts: self.starts.clone(),
                bars: self.bars.clone(),
            });
            return;
        }
        for heat in 0..state.heat_count {
            if (state.heats[heat].started as usize) < model.stages {
                self.begin(state, heat);
            }
        }
        if state.waiting != 0 && state.heat_count < model.slots.min(self.target.heats as usize) {
            self.open(state, 0, state.heat_count);
        }
    }

    /// Fills a new heat from this unit on, in every way, and begins it.
    fn open(&mut self, state: &State, from: usize, heat: usize) {
        let model = self.model;
        if self.over() {
            return;
        }
        if from == model.units.len() {
            if self.crews.members[heat].is_empty() {
                return;
            }
            self.crews.build(model, heat);
            self.parts.iter_mut().for_each(|part| part.build(heat));
            let next = state.with_heat(&self.crews.members[heat]);
            if self.fewest_more(next.waiting) + next.heat_count as u32 <= self.target.heats {
                self.begin(&next, heat);
            }
            return;
        }
        let waits = |unit: usize| state.waiting >> unit & 1 == 1;
        // Of two alike the first goes first.
        let twin_first = self.twin[from].is_some_and(|twin| waits(twin) && self.crews.heat_of[twin] != heat);
        if waits(from) && !twin_first && self.crews.join(model, from, heat) {
            self.parts.iter_mut().for_each(|part| part.join(from, heat));
            self.open(state, from + 1, heat);
            self.crews.leave(model, from);
            self.parts.iter_mut().for_each(|part| part.leave(from));
        }
        self.open(state, from + 1, heat);
    }

    /// Fewest heats that those who wait still need.
    fn fewest_more(&mut self, waiting: u32) -> u32 {
        let model = self.model;
        if waiting == 0 {
            return 0;
        }
        self.sums.fill(0);
        for unit in (0..model.units.len()).filter(|unit| waiting >> unit & 1 == 1) {
            for &(at, amount) in &model.demand[unit] {
                self.sums[at as usize] += amount;
            }
        }
        let heats = |(at, sum): (usize, &u32)| sum.div_ceil(model.there[at % model.width].max(1));
        self.sums.iter().enumerate().filter(|(_, sum)| **sum > 0).map(heats).max().unwrap_or(0).max(1)
    }

    /// A heat's next stage, with every way of taking bars.
    fn begin(&mut self, state: &State, heat: usize) {
        let model = self.model;
        let it = state.heats[heat];
        let node = &self.crews.nodes[heat * model.stages + it.started as usize];
        let rest = node.rests.first().map_or(0, |rest| it.last + rest.1);
        let mut second = model.on_step(state.now.max(node.ready).max(rest));
        for &(thing, amount) in &node.needs {
            let there = model.things[thing as usize].there;
            while let Some(soonest) = self.in_use(thing, second).filter(|(used, _)| used + amount > there).map(|u| u.1)
            {
                second = model.on_step(soonest);
            }
        }
        if self.too_late(second + node.tail) {
            return;
        }
        let mut chosen = [0; MOST_BARS];
        self.take(state, heat, second, &mut chosen, 0);
    }

    /// How much of a thing is in use then, and when the first of it comes back.
    fn in_use(&self, thing: u32, second: u32) -> Option<(u32, u32)> {
        let mut all = None;
        for start in self.starts.iter().rev() {
            let node = &self.crews.nodes[start.heat * self.model.stages + start.stage];
            if start.second + node.longest > second {
                for end in node.ends.iter().filter(|e| e.0 == thing && start.second + e.1 > second) {
                    let (used, soonest) = all.unwrap_or((0, NEVER));
                    all = Some((used + end.2, soonest.min(start.second + end.1)));
                }
            }
        }
        all
    }

    /// Leaves out what ends too late.
    fn too_late(&mut self, finish: u32) -> bool {
        let late = finish > self.target.finish;
        if late {
            self.soonest_left = self.soonest_left.min(finish);
        }
        late
    }

    /// A bar for each bout of a start from this one on, in every way that can make a difference.
    fn take(&mut self, state: &State, heat: usize, second: u32, chosen: &mut [usize; MOST_BARS], at: usize) {
        let model = self.model;
        if self.over() {
            return;
        }
        let cell = heat * model.stages + state.heats[heat].started as usize;
        let Some(&want) = self.crews.nodes[cell].bars.get(at) else {
            self.go(state, heat, second, &chosen[..at]);
            return;
        };
        let tail = self.crews.nodes[cell].tail;
        let there = &model.bars_of[want.kind as usize];
        for &bar in there {
            if chosen[..at].contains(&bar) {
                continue;
            }
            let (free, on) = state.bars[bar];
            let change = model.setup(on as usize, want.loading as usize);
            // Of bars loaded alike that are there in time, the one that was put down last is the one to take.
            let better = there.iter().any(|&other| {
                let (its, its_on) = state.bars[other];
                let instead = (its > free && its + change <= second) || (its == free && other < bar);
                other != bar && its_on == on && instead && !chosen[..at].contains(&other)
            });
            let second = model.on_step(second.max(free + change));
            if better || self.too_late(second + tail) {
                continue;
            }
            chosen[at] = bar;
            self.take(state, heat, second, chosen, at + 1);
        }
    }

    /// Puts down a start and goes on from there.
    fn go(&mut self, state: &State, heat: usize, second: u32, chosen: &[usize]) {
        let model = self.model;
        let stage = state.heats[heat].started as usize;
        // Of starts at one second the order does not matter.
        if self.starts.last().is_some_and(|last| last.second == second && last.heat > heat) {
            return;
        }
        let bouts = &self.crews.nodes[heat * model.stages + stage].bars;
        let next = state.after(model, heat, second, bouts, chosen);
        let (finish, moves) = self.bounds(&next);
        if self.too_late(finish) || moves > self.target.moves {
            return;
        }
        let sign = self.memory.sign(model, &self.crews, &next);
        if self.memory.failed(&sign, &mut self.work) {
            return;
        }
        for (want, &bar) in self.crews.nodes[heat * model.stages + stage].bars.iter().zip(chosen) {
            self.bars[want.bout as usize] = bar as u32;
        }
        self.starts.push(Start { heat, stage, second });
        let mut work = 0;
        let hopeless = self.parts.iter_mut().any(|part| part.hopeless(&next, &self.starts, &mut work));
        self.work += work;
        if !hopeless {
            self.branch(&next);
        }
        self.starts.pop();
        if !self.over() {
            self.memory.note(&sign);
        }
    }
}
