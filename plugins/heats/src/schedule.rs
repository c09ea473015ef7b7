//! From heats and an order to a floor plan: each heat's next stage, in the order given, as early as it fits.
//!
//! Promises: a plan it gives keeps every rule of the floor. A stage may be put before others that were placed earlier,
//! where there is room. Where a rest would become too long, the heat is taken back to the stage before it and that stage
//! is put later. It gives up after so many of these, or where something cannot be placed at all.

use crate::model::Model;
use crate::profile::{Profile, Stair};
use crate::rack::Rack;
use crate::search::State;

/// A heat and a stage: those who start together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Start {
    heat: usize,
    stage: usize,
}

/// A plan found, and what it is worth.
#[derive(Clone, Debug, Default)]
pub(crate) struct Found {
    pub(crate) finish: u32,
    pub(crate) moves: u32,
    /// Sum of the seconds at which the heats end: of two plans that end alike, the one with less is nearer to a better.
    pub(crate) ends: u64,
}

/// Builds plans; keeps its memory from one to the next.
#[derive(Debug)]
pub(crate) struct Scheduler<'m> {
    model: &'m Model,
    things: Vec<Profile>,
    rack: Rack,
    /// The starts of each heat at each stage, of the plan built last.
    pub(crate) starts: Vec<Option<u32>>,
    /// The bar of each bout, of the plan built last.
    pub(crate) bars: Vec<Option<usize>>,
    /// Bouts of each heat at each stage.
    crew: Vec<Vec<usize>>,
    stairs: Vec<Vec<(usize, Stair)>>,
    order: Vec<Start>,
    /// Earliest seconds that a rest asked for, by position in the order.
    floors: Vec<u32>,
    next_stage: Vec<usize>,
    pairing: Pairing,
    /// Looks at a bout or at a bar for one, so far: what effort is counted in.
    pub(crate) work: u64,
    /// Looks at a step of a profile that are not counted in `work` yet: each costs far less.
    looks: u64,
}

impl<'m> Scheduler<'m> {
    pub(crate) fn new(model: &'m Model) -> Self {
        let cells = model.slots * model.stages;
        Scheduler {
            model,
            things: model.things.iter().map(|t| t.taken.clone()).collect(),
            rack: Rack::new(model),
            starts: vec![None; cells],
            bars: vec![None; model.bouts.len()],
            crew: vec![Vec::new(); cells],
            stairs: vec![Vec::new(); cells],
            order: Vec::new(),
            floors: Vec::new(),
            next_stage: Vec::new(),
            pairing: Pairing::default(),
            work: 0,
            looks: 0,
        }
    }

    /// Builds the plan of an arrangement. None where it is given up, or ends after `latest`.
    pub(crate) fn build(&mut self, state: &State, latest: u32) -> Option<Found> {
        self.prepare(&state.heat_of, &state.turns);
        if !self.place_done() {
            return None;
        }
        let mut patience = 20 + 4 * self.order.len();
        let mut at = 0;
        while at < self.order.len() {
            let it = self.order[at];
            if self.starts[it.heat * self.model.stages + it.stage].is_some() {
                at += 1;
                continue;
            }
            let (mut low, high) = self.window(it, self.floors[at]);
            if state.in_turn && high.is_none() {
                low = low.max(self.model.on_step(self.ended_before(it.heat)));
            }
            let second = self.place(it, low, latest)?;
            if let Some((last, stage)) = high
                && second > last
            {
                patience = patience.checked_sub(1)?;
                let back = self.order.iter().position(|o| *o == Start { heat: it.heat, stage })?;
                let was = self.starts[it.heat * self.model.stages + stage].expect("the rest was counted from it");
                self.take_back_from(back, it.heat);
                self.floors[back] = was + (second - last);
                at = back;
                continue;
            }
            at += 1;
        }
        Some(self.worth())
    }

    fn prepare(&mut self, heat_of: &[usize], turns: &[usize]) {
        let model = self.model;
        self.work += (model.bouts.len() + turns.len()) as u64;
        for (thing, profile) in model.things.iter().zip(&mut self.things) {
            profile.reset(&thing.taken);
        }
        self.rack.reset(model);
        self.starts.fill(None);
        self.bars.fill(None);
        self.crew.iter_mut().for_each(Vec::clear);
        for (unit, &heat) in model.units.iter().zip(heat_of) {
            for bout in unit.athletes.iter().flat_map(|a| model.athletes[*a].bouts.clone()) {
                self.crew[heat * model.stages + model.bouts[bout].stage].push(bout);
            }
        }
        for (crew, stairs) in self.crew.iter().zip(&mut self.stairs) {
            stair(model, crew, stairs);
        }
        self.order.clear();
        self.next_stage.clear();
        self.next_stage.resize(model.slots, 0);
        for &heat in turns {
            let stage = self.next_stage[heat];
            self.next_stage[heat] += 1;
            let cell = heat * model.stages + stage;
            if !self.crew[cell].is_empty() && model.done[heat][stage].is_none() {
                self.order.push(Start { heat, stage });
            }
        }
        self.floors.clear();
        self.floors.resize(self.order.len(), 0);
    }

    /// What has happened is put down as it was; false where somebody new would have had to be in it.
    fn place_done(&mut self) -> bool {
        let model = self.model;
        for heat in 0..model.slots {
            for stage in 0..model.stages {
                let Some(second) = model.done[heat][stage] else {
                    continue;
                };
                let cell = heat * model.stages + stage;
                if self.crew[cell].iter().any(|bout| model.bouts[*bout].done.is_none()) {
                    return false;
                }
                self.starts[cell] = Some(second);
                for &bout in &self.crew[cell] {
                    if let Some((_, Some(bar))) = model.bouts[bout].done {
                        self.bars[bout] = Some(bar);
                        self.rack.put_anyway(model, bar, bout, second);
                    }
                }
                self.count(cell, second, true);
            }
        }
        true
    }

    /// When all other heats, as far as they are placed, have ended.
    fn ended_before(&mut self, heat: usize) -> u32 {
        let stages = self.model.stages;
        self.work += self.starts.len() as u64 / 4;
        let others = (0..self.starts.len()).filter(|cell| cell / stages != heat);
        let end = |cell: usize| {
            let start = self.starts[cell]?;
            self.crew[cell].iter().map(|bout| start + self.model.bouts[*bout].length).max()
        };
        others.filter_map(end).max().unwrap_or(0)
    }

    /// When a start may be: not before the first, and not after the last with the stage that the rest is counted from.
    fn window(&self, it: Start, floor: u32) -> (u32, Option<(u32, usize)>) {
        let model = self.model;
        let mut low = floor.max(model.now);
        let mut high: Option<(u32, usize)> = None;
        for &bout in &self.crew[it.heat * model.stages + it.stage] {
            let athlete = &model.athletes[model.bouts[bout].athlete];
            low = low.max(athlete.ready);
            if bout == athlete.bouts.start {
                continue;
            }
            let before = &model.bouts[bout - 1];
            let start = self.starts[it.heat * model.stages + before.stage].expect("stages come in order");
            low = low.max(start + before.lag);
            if let Some(most) = before.lag_most {
                let last = (start.saturating_add(most), before.stage);
                high = Some(high.map_or(last, |h| h.min(last)));
            }
        }
        (model.on_step(low), high)
    }

    /// Places a start at the first second from `low` on where everything is there; none where it would end too late.
    fn place(&mut self, it: Start, low: u32, latest: u32) -> Option<u32> {
        let model = self.model;
        let cell = it.heat * model.stages + it.stage;
        let longest = self.crew[cell].iter().map(|b| model.bouts[*b].length).max().unwrap_or(0);
        let mut second = low;
        loop {
            self.work += 2 + self.crew[cell].len() as u64;
            let room = self.first_room(cell, second);
            self.work += self.looks / 32;
            self.looks %= 32;
            second = room?;
            if second + longest > latest {
                return None;
            }
            let paired = self.pairing.find(model, &self.rack, &self.crew[cell], second);
            self.work += self.pairing.looks + self.rack.looks.take() / 16;
            match paired {
                Err(Some(later)) => second = model.on_step(later),
                Err(None) => return None,
                Ok(()) if self.load(second) => break,
                Ok(()) => {
                    let plates = self.next_try(cell, second)?;
                    second = model.on_step(plates);
                }
            }
        }
        self.starts[cell] = Some(second);
        self.count(cell, second, true);
        Some(second)
    }

    /// The first second on the step at which the coach and all kit have room.
    fn first_room(&mut self, cell: usize, mut second: u32) -> Option<u32> {
        loop {
            let before = second;
            for (thing, stair) in &self.stairs[cell] {
                let there = self.model.things[*thing].there;
                second = self.model.on_step(self.things[*thing].first_fit(stair, there, second, &mut self.looks)?);
            }
            if second == before {
                return Some(second);
            }
        }
    }

    /// Puts the paired bouts on their bars; where plates run short, tries other bars one by one.
    fn load(&mut self, second: u32) -> bool {
        let model = self.model;
        let pairs = &self.pairing.pairs;
        for (placed, &(bout, bar)) in pairs.iter().enumerate() {
            let put = self.rack.put(model, bar, bout, second).then_some(bar).or_else(|| {
                let kind = model.bars[bar].kind;
                model.bars_of[kind].iter().copied().find(|other| {
                    let used = pairs[placed..].iter().any(|p| p.1 == *other)
                        || pairs[..placed].iter().any(|p| self.bars[p.0] == Some(*other));
                    !used
                        && self.rack.first_free(model, *other, bout, second) == Some(second)
                        && self.rack.put(model, *other, bout, second)
                })
            });
            self.bars[bout] = put;
            if put.is_none() {
                for &(bout, _) in pairs[..placed].iter().rev() {
                    let bar = self.bars[bout].take().expect("it was put just now");
                    self.rack.take_back(model, bar, second);
                }
                return false;
            }
        }
        true
    }

    /// The next second at which bars or plates may suit better; none where nothing changes any more.
    fn next_try(&self, cell: usize, second: u32) -> Option<u32> {
        let model = self.model;
        let soon = model.on_step(second + 1);
        let plates = model.changes.iter().filter_map(|change| self.rack.next_plates(model, second, *change)).min();
        let bars = self.crew[cell].iter().flat_map(|&bout| {
            let bars = model.bouts[bout].bar.map_or(&[][..], |need| &model.bars_of[need.kind][..]);
            bars.iter().filter_map(move |&bar| self.rack.first_free(model, bar, bout, soon))
        });
        plates.into_iter().chain(bars.filter(|free| *free > soon)).min()
    }

    /// Takes back a heat's starts from this place of the order on, or all starts from there on where plates would then
    /// run short: with a use gone, the plates before it stay on the bar.
    fn take_back_from(&mut self, first: usize, heat: usize) {
        for only in [Some(heat), None] {
            for at in (first..self.order.len()).rev() {
                if only.is_none_or(|only| self.order[at].heat == only) {
                    self.take_back(self.order[at]);
                    self.floors[at] = 0;
                }
            }
            if self.rack.enough_plates(self.model) {
                return;
            }
        }
    }

    fn take_back(&mut self, it: Start) {
        let cell = it.heat * self.model.stages + it.stage;
        let Some(second) = self.starts[cell].take() else {
            return;
        };
        self.work += self.crew[cell].len() as u64;
        self.count(cell, second, false);
        for &bout in self.crew[cell].iter().rev() {
            if let Some(bar) = self.bars[bout].take() {
                self.rack.take_back(self.model, bar, second);
            }
        }
    }

    fn count(&mut self, cell: usize, second: u32, adds: bool) {
        for &bout in &self.crew[cell] {
            let it = &self.model.bouts[bout];
            for &(thing, amount) in &it.uses {
                if adds {
                    self.things[thing].add(second, second + it.length, amount);
                } else {
                    self.things[thing].remove(second, second + it.length, amount);
                }
            }
        }
    }

    fn worth(&self) -> Found {
        let model = self.model;
        let mut found = Found { moves: self.rack.moves(model), ..Found::default() };
        for heat in 0..model.slots {
            let mut end = 0;
            for stage in 0..model.stages {
                let cell = heat * model.stages + stage;
                let Some(start) = self.starts[cell] else { continue };
                end = self.crew[cell].iter().map(|b| start + model.bouts[*b].length).max().unwrap_or(0).max(end);
            }
            found.finish = found.finish.max(end);
            found.ends += u64::from(end);
        }
        found
    }
}

/// What the bouts of a start ask of each thing, by seconds since the start.
fn stair(model: &Model, crew: &[usize], stairs: &mut Vec<(usize, Stair)>) {
    stairs.clear();
    for &bout in crew {
        let it = &model.bouts[bout];
        for &(thing, amount) in &it.uses {
            match stairs.iter_mut().find(|s| s.0 == thing) {
                Some((_, stair)) => stair.push((it.length, amount)),
                None => stairs.push((thing, vec![(it.length, amount)])),
            }
        }
    }
    for (_, stair) in stairs.iter_mut() {
        stair.sort_unstable();
        let mut above = 0;
        for step in stair.iter_mut().rev() {
            above += step.1;
            step.1 = above;
        }
        // Of bouts of one length the first counts all of them.
        stair.dedup_by_key(|step| step.0);
    }
}

/// Which bout of a start has which bar.
#[derive(Debug, Default)]
struct Pairing {
    pairs: Vec<(usize, usize)>,
    /// Looks at a bar for a bout, in the last search.
    looks: u64,
    choices: Vec<(i64, u32, usize, usize)>,
    bouts: Vec<usize>,
    bar_of: Vec<Option<usize>>,
    bout_on: Vec<Option<usize>>,
    seen: Vec<bool>,
}

impl Pairing {
    /// Pairs each bout with a bar that can have it at this second, few plates moved; else the next second to try, none
    /// where there is none.
    fn find(&mut self, model: &Model, rack: &Rack, crew: &[usize], second: u32) -> Result<(), Option<u32>> {
        self.looks = 0;
        self.pairs.clear();
        self.bouts.clear();
        self.bouts.extend(crew.iter().copied().filter(|b| model.bouts[*b].bar.is_some()));
        if self.bouts.is_empty() {
            return Ok(());
        }
        self.choices.clear();
        let mut next_free = u32::MAX;
        let mut stuck = second;
        for (index, &bout) in self.bouts.iter().enumerate() {
            let need = model.bouts[bout].bar.expect("only bouts with a bar are kept");
            let mut soonest = u32::MAX;
            self.looks += model.bars_of[need.kind].len() as u64;
            for &bar in &model.bars_of[need.kind] {
                let Some(free) = rack.first_free(model, bar, bout, second) else {
                    continue;
                };
                soonest = soonest.min(free);
                if free > second {
                    next_free = next_free.min(free);
                    continue;
                }
                let idle = second - rack.free_since(model, bar, second).min(second);
                self.choices.push((rack.added_moves(model, bar, need, second), idle, index, bar));
            }
            stuck = stuck.max(soonest);
        }
        if stuck > second {
            return Err(Some(stuck).filter(|at| *at < u32::MAX));
        }
        self.choices.sort_unstable();
        self.bar_of.clear();
        self.bar_of.resize(self.bouts.len(), None);
        self.bout_on.clear();
        self.bout_on.resize(model.bars.len(), None);
        for &(_, _, bout, bar) in &self.choices {
            if self.bar_of[bout].is_none() && self.bout_on[bar].is_none() {
                self.bar_of[bout] = Some(bar);
                self.bout_on[bar] = Some(bout);
            }
        }
        for bout in 0..self.bouts.len() {
            if self.bar_of[bout].is_none() {
                self.seen.clear();
                self.seen.resize(model.bars.len(), false);
                if !self.make_room(bout) {
                    return Err(Some(next_free).filter(|at| *at < u32::MAX));
                }
            }
        }
        let bars = self.bar_of.iter().map(|bar| bar.expect("every bout has found one"));
        self.pairs.extend(self.bouts.iter().copied().zip(bars));
        Ok(())
    }

    /// Finds a bar for a bout, moving others to another bar where need be.
    fn make_room(&mut self, bout: usize) -> bool {
        for choice in 0..self.choices.len() {
            let (_, _, who, bar) = self.choices[choice];
            if who != bout || self.seen[bar] {
                continue;
            }
            self.seen[bar] = true;
            let free = match self.bout_on[bar] {
                None => true,
                Some(other) => self.make_room(other),
            };
            if free {
                self.bar_of[bout] = Some(bar);
                self.bout_on[bar] = Some(bout);
                return true;
            }
        }
        false
    }
}
