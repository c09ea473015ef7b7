//! From heats and an order of starts to a floor plan: each start as early as it fits after the one before it.
//!
//! Every plan that cannot be made earlier by moving one start alone is what some order gives, so an order is all that
//! a search has to find. Each thing is as many places as there are of it, known by when each is free; a bar is known by
//! when it is free and what is on it. Nothing is put into a gap before what is there already.

mod first;
mod front;
mod rests;

use crate::course::front::Front;
use crate::crew::{BarBout, Crews, Node};
use crate::model::{Model, NEVER};
use crate::search::Stretch;
use crate::seats::Seats;

/// Starts of a floor up to which the floor before each of them is remembered; larger ones are run from the beginning.
const MOST_FRONTS: usize = 600;

/// Starts put off in a run, times starts of the floor: a large floor is given up sooner.
const MOST_MENDED: usize = 100_000;

/// What a plan is worth, as far as an order decides it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Found {
    pub(crate) finish: u32,
    pub(crate) moves: u32,
    /// Seconds by which rests are too long, all together; a plan has none.
    pub(crate) over: u32,
    /// Sum of the seconds at which the heats end.
    pub(crate) ends: u64,
}

#[derive(Clone, Debug)]
pub(crate) struct Course<'m> {
    model: &'m Model,
    begin: Front,
    front: Front,
    /// By heat and stage; `NEVER` where nobody starts.
    pub(crate) starts: Vec<u32>,
    /// By bout.
    pub(crate) bars: Vec<u32>,
    /// The order of the last run, as it was mended.
    pub(crate) order: Vec<u32>,
    /// The bar that each bout would like, if it can be had at no later start.
    wishes: Vec<u32>,
    /// Seconds before which no start is, since a later rest asks for it.
    not_before: Vec<u32>,
    seats: Seats,
    any_scarce: bool,
    /// The floor before each place of the order that was kept, and of the one that is tried.
    kept: Vec<Front>,
    tried: Vec<Front>,
    /// Starts that are put off, and until when.
    put_off: Vec<(u32, u32)>,
    /// The first place that the last run was at.
    ran_from: usize,
    /// By place of the order, the longest that anything from there on needs to the end.
    tails: Vec<u32>,
    kept_starts: Vec<u32>,
    kept_bars: Vec<u32>,
    kept_not_before: Vec<u32>,
    pub(crate) work: u64,
}

impl<'m> Course<'m> {
    pub(crate) fn new(model: &'m Model) -> Self {
        let cells = model.slots * model.stages;
        let any_scarce = model.scarce.contains(&true);
        let mut begin = Front {
            now: model.now,
            bars: model.bars.iter().map(|b| (b.free_from, b.loading as u32)).collect(),
            places: vec![0; model.place_of.last().map_or(0, |last| last.end)],
            moves: 0,
            over: 0,
            plates: model.plates.iter().map(|p| p.taken.clone()).collect(),
        };
        let mut course = Course {
            model,
            front: begin.clone(),
            begin: begin.clone(),
            starts: vec![NEVER; cells],
            bars: vec![NEVER; model.bouts.len()],
            order: Vec::with_capacity(cells),
            wishes: vec![NEVER; model.bouts.len()],
            not_before: vec![0; cells],
            seats: Seats::default(),
            any_scarce,
            kept: Vec::new(),
            tried: Vec::new(),
            put_off: Vec::new(),
            ran_from: 0,
            tails: vec![0; cells],
            kept_starts: vec![NEVER; cells],
            kept_bars: vec![NEVER; model.bouts.len()],
            kept_not_before: vec![0; cells],
            work: 0,
        };
        course.done(&mut begin);
        course.begin = begin;
        for heat in 0..model.slots {
            for stage in 0..model.stages {
                course.starts[heat * model.stages + stage] = model.done[heat][stage].unwrap_or(NEVER);
            }
        }
        for (at, bout) in model.bouts.iter().enumerate() {
            if let Some((_, Some(bar))) = bout.done {
                course.bars[at] = bar as u32;
            }
        }
        course.kept_starts.clone_from(&course.starts);
        course.kept_bars.clone_from(&course.bars);
        if cells <= MOST_FRONTS {
            course.kept = vec![course.begin.clone(); cells + 1];
            course.tried = course.kept.clone();
        }
        course
    }

    /// Keeps the order that was run last: later tries that begin alike start from where they part.
    pub(crate) fn keep(&mut self, crews: &Crews, from: usize) {
        let model = self.model;
        let order = std::mem::take(&mut self.order);
        if self.kept.is_empty() {
            // Every run begins at the beginning.
        } else if model.limited_rests {
            for place in self.ran_from..order.len() {
                std::mem::swap(&mut self.kept[place], &mut self.tried[place]);
            }
        } else {
            self.front.copy(if from == 0 { &self.begin } else { &self.kept[from] }, self.any_scarce);
            for (at, &cell) in order.iter().enumerate().skip(from) {
                self.kept[at].copy(&self.front, self.any_scarce);
                let cell = cell as usize;
                let node = &crews.nodes[cell];
                if node.bouts.is_empty() || self.is_done(cell) {
                    continue;
                }
                let low = self.low(node, cell).0;
                let start = self.first(node, low, NEVER).expect("it was run before");
                self.place(node, cell, start);
            }
        }
        self.kept_starts.clone_from(&self.starts);
        self.kept_bars.clone_from(&self.bars);
        if model.limited_rests {
            // What the later starts still ask for.
            self.kept_not_before.fill(0);
            for &cell in &order {
                let cell = cell as usize;
                let heat = cell / model.stages;
                if crews.nodes[cell].bouts.is_empty() {
                    continue;
                }
                for &(stage, _, most) in &crews.nodes[cell].rests {
                    if most != NEVER {
                        let before = heat * model.stages + stage as usize;
                        let second = self.starts[cell].saturating_sub(most);
                        self.kept_not_before[before] = self.kept_not_before[before].max(second);
                    }
                }
            }
        }
        self.order = order;
    }

    pub(crate) fn wish(&mut self, bout: usize, bar: u32) {
        self.wishes[bout] = bar;
    }

    pub(crate) fn wished(&self, bout: usize) -> u32 {
        self.wishes[bout]
    }

    pub(crate) fn forget_wishes(&mut self) {
        self.wishes.fill(NEVER);
    }

    /// Sum of the starts of the order that was run last.
    pub(crate) fn waits(&self, crews: &Crews) -> u64 {
        let started = crews.nodes.iter().zip(&self.starts).filter(|(node, _)| !node.bouts.is_empty());
        started.map(|(_, start)| u64::from(*start)).sum()
    }

    /// The starts of the order that was kept, by heat and stage.
    pub(crate) fn kept_starts(&self) -> &[u32] {
        &self.kept_starts
    }

    /// The bar that a bout has in the order that was kept.
    pub(crate) fn kept_bar(&self, bout: usize) -> u32 {
        self.kept_bars[bout]
    }

    #[inline(always)]
    fn is_done(&self, cell: usize) -> bool {
        self.model.replan && self.model.done[cell / self.model.stages][cell % self.model.stages].is_some()
    }

    /// The earliest second that rests and readiness allow, and the last.
    #[inline(always)]
    fn low(&self, node: &Node, cell: usize) -> (u32, u32) {
        let model = self.model;
        let heat = cell / model.stages;
        let mut low =
            node.ready.max(self.not_before[cell]).max(if model.any_taken { self.front.now } else { model.now });
        let mut high = NEVER;
        for &(stage, least, most) in &node.rests {
            let start = self.starts[heat * model.stages + stage as usize];
            low = low.max(start + least);
            high = high.min(start.saturating_add(most));
        }
        (low, high)
    }

    /// What has happened.
    fn done(&mut self, front: &mut Front) {
        let model = self.model;
        let mut done: Vec<(u32, usize)> =
            model.bouts.iter().enumerate().filter_map(|(at, b)| Some((b.done?.0, at))).collect();
        done.sort_unstable();
        for (start, at) in done {
            let bout = &model.bouts[at];
            let end = start + bout.length;
            for &(thing, amount) in bout.uses.iter().filter(|_| end > model.now) {
                let places = &mut front.places[model.place_of[thing].clone()];
                places.iter_mut().take(amount as usize).for_each(|free| *free = end.max(*free));
                places.sort_unstable();
            }
            if let (Some((_, Some(bar))), Some(need)) = (bout.done, bout.bar) {
                let (free, on) = front.bars[bar];
                front.moves += model.moves(on as usize, need.loading);
                if self.any_scarce {
                    let change = start.saturating_sub(model.setup(on as usize, need.loading));
                    count(model, front, on, free, change);
                    count(model, front, need.loading as u32, change, end);
                }
                front.bars[bar] = (free.max(end), need.loading as u32);
            }
        }
    }

    /// Runs an order that is as the kept one up to a place; none where it cannot be kept or ends after `latest`.
    /// Heats in `touched` forget what their rests asked of the kept order.
    pub(crate) fn run(&mut self, crews: &Crews, order: &[u32], part: Stretch<'_>, latest: u32) -> Option<Found> {
        let model = self.model;
        let Stretch { from, touched, mend } = part;
        let from = if self.kept.is_empty() { 0 } else { from };
        self.order.clear();
        self.order.extend_from_slice(order);
        self.starts.copy_from_slice(&self.kept_starts);
        self.bars.copy_from_slice(&self.kept_bars);
        let mut at = from;
        if model.limited_rests {
            match touched {
                None => self.not_before.fill(0),
                Some(heats) => {
                    self.not_before.copy_from_slice(&self.kept_not_before);
                    for heat in heats {
                        self.not_before[heat * model.stages..][..model.stages].fill(0);
                    }
                }
            }
        }
        self.ran_from = from;
        let measured = model.any_taken && latest != NEVER && !mend;
        if measured {
            self.measure(crews, from);
        }
        self.front.copy(if from == 0 { &self.begin } else { &self.kept[from] }, self.any_scarce);
        let mut patience = 10 + order.len().min(MOST_MENDED / (order.len() + 1));
        self.work += order.len() as u64 / 8;
        while at < self.order.len() {
            let cell = self.order[at] as usize;
            let node = &crews.nodes[cell];
            if model.limited_rests && !self.tried.is_empty() {
                self.tried[at].copy(&self.front, self.any_scarce);
            }
            if node.bouts.is_empty() || self.is_done(cell) {
                at += 1;
                continue;
            }
            let (low, high) = self.low(node, cell);
            // In the order of time nothing that comes later starts sooner.
            let longest = if measured { self.front.now + self.tails[at] } else { 0 };
            if low + node.tail > latest || longest > latest {
                return None;
            }
            let start = self.first(node, low, latest)?;
            if start + node.tail > latest {
                return None;
            }
            if start > high && !mend {
                self.front.over += start - high;
            } else if start > high {
                patience = patience.checked_sub(1)?;
                self.work += order.len() as u64 / 8;
                at = self.put_off(crews, at, start)?;
                let fronts = if at < self.ran_from { &self.kept } else { &self.tried };
                at = if fronts.is_empty() { 0 } else { at };
                self.front.copy(fronts.get(at).unwrap_or(&self.begin), self.any_scarce);
                self.ran_from = self.ran_from.min(at);
                continue;
            }
            self.place(node, cell, start);
            at += 1;
        }
        Some(self.worth(crews))
    }

    fn measure(&mut self, crews: &Crews, from: usize) {
        let mut longest = 0;
        for place in (from..self.order.len()).rev() {
            let cell = self.order[place] as usize;
            if !crews.nodes[cell].bouts.is_empty() && !self.is_done(cell) {
                longest = longest.max(crews.nodes[cell].tail);
            }
            self.tails[place] = longest;
        }
    }

    fn place(&mut self, node: &Node, cell: usize, start: u32) {
        let model = self.model;
        self.starts[cell] = start;
        self.front.now = start;
        for ends in node.ends.chunk_by(|a, b| a.0 == b.0) {
            let places = &mut self.front.places[model.place_of[ends[0].0 as usize].clone()];
            let amount: u32 = ends.iter().map(|end| end.2).sum();
            // Of places that are free, those that were given back last: the others may do for a sooner start. What ends
            // is put among what is held already, soonest first.
            let mut next = places.partition_point(|free| *free <= start);
            let mut at = next - amount as usize;
            for &(_, length, amount) in ends {
                for _ in 0..amount {
                    while places.get(next).is_some_and(|held| *held < start + length) {
                        places[at] = places[next];
                        (at, next) = (at + 1, next + 1);
                    }
                    places[at] = start + length;
                    at += 1;
                }
            }
        }
        for (&BarBout { bout, loading, length, .. }, &bar) in node.bars.iter().zip(&self.seats.chosen) {
            let (free, on) = self.front.bars[bar as usize];
            self.front.moves += model.moves(on as usize, loading as usize);
            if self.any_scarce {
                let change = start - model.setup(on as usize, loading as usize);
                count(model, &mut self.front, on, free, change);
                count(model, &mut self.front, loading, change, start + length);
            }
            self.front.bars[bar as usize] = (start + length, loading);
            self.bars[bout as usize] = bar;
        }
    }

    fn worth(&self, crews: &Crews) -> Found {
        let model = self.model;
        let mut found = Found { finish: 0, moves: self.front.moves, over: self.front.over, ends: 0 };
        for heat in 0..model.slots {
            let mut end = 0;
            for cell in heat * model.stages..(heat + 1) * model.stages {
                if !crews.nodes[cell].bouts.is_empty() {
                    end = end.max(self.starts[cell] + crews.nodes[cell].longest);
                }
            }
            found.finish = found.finish.max(end);
            found.ends += u64::from(end);
        }
        found
    }
}

fn count(model: &Model, front: &mut Front, loading: u32, from: u32, to: u32) {
    for &(size, pairs) in model.plates_on[loading as usize].iter().filter(|p| model.scarce[p.0]) {
        front.plates[size].add(from, to, pairs);
    }
}
