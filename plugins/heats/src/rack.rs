//! The bars through the class: who has which bar when, and the plates that lie on them.
//!
//! A use may be put between two others of the same bar where the changes before and after it have time. A change is
//! done as late as it can be; plates stay on a bar until its next change, and after its last use the bar is put away.
//! A use of plates that can never run short is not counted.

use std::cell::Cell;

use crate::model::{BarNeed, Model};
use crate::profile::Profile;

#[derive(Clone, Copy, Debug)]
struct Use {
    start: u32,
    end: u32,
    loading: usize,
}

/// All bars, with the pairs of scarce plates in use.
#[derive(Clone, Debug)]
pub(crate) struct Rack {
    lines: Vec<Vec<Use>>,
    plates: Vec<Profile>,
    any_scarce: bool,
    /// Gaps between uses that were looked at.
    pub(crate) looks: Cell<u64>,
}

/// A place for a use on a bar.
#[derive(Clone, Copy, Debug)]
struct Gap {
    /// End and loading of what is before; the end is when the bar is free where that is nothing.
    before: (u32, usize),
    /// Start and loading of what comes after.
    after: Option<(u32, usize)>,
}

impl Rack {
    pub(crate) fn new(model: &Model) -> Self {
        let plates = model.plates.iter().map(|p| p.taken.clone()).collect();
        Rack {
            lines: vec![Vec::new(); model.bars.len()],
            plates,
            any_scarce: model.scarce.contains(&true),
            looks: Cell::new(0),
        }
    }

    pub(crate) fn reset(&mut self, model: &Model) {
        self.lines.iter_mut().for_each(Vec::clear);
        for (size, plate) in model.plates.iter().enumerate().filter(|(size, _)| model.scarce[*size]) {
            self.plates[size].reset(&plate.taken);
        }
    }

    fn gap(&self, model: &Model, bar: usize, at: usize) -> Gap {
        let line = &self.lines[bar];
        let before = match at.checked_sub(1) {
            Some(last) => (line[last].end, line[last].loading),
            None => (model.bars[bar].free_from, model.bars[bar].loading),
        };
        Gap { before, after: line.get(at).map(|next| (next.start, next.loading)) }
    }

    /// The first second from `start` on at which a bar can have this use.
    pub(crate) fn first_free(&self, model: &Model, bar: usize, bout: usize, start: u32) -> Option<u32> {
        let (it, need) = (&model.bouts[bout], model.bouts[bout].bar?);
        let line = &self.lines[bar];
        let mut at = line.partition_point(|turn| turn.end <= start);
        while at <= line.len() {
            self.looks.set(self.looks.get() + 1);
            let gap = self.gap(model, bar, at);
            let change = model.setup(gap.before.1, need.loading);
            let mut free = gap.before.0;
            // A change that nobody has begun cannot begin before now.
            if change > 0 && it.bar_before != Some(bar) {
                free = free.max(model.change_from);
            }
            let second = model.on_step(start.max(free + change));
            let fits =
                gap.after.is_none_or(|(next, loading)| second + it.length + model.setup(need.loading, loading) <= next);
            if fits {
                return Some(second);
            }
            at += 1;
        }
        None
    }

    /// Pairs of plates that a use adds to all changes of its bar.
    pub(crate) fn added_moves(&self, model: &Model, bar: usize, need: BarNeed, start: u32) -> i64 {
        let at = self.lines[bar].partition_point(|turn| turn.start <= start);
        let gap = self.gap(model, bar, at);
        let mut moves = i64::from(model.moves(gap.before.1, need.loading));
        if let Some((_, next)) = gap.after {
            moves += i64::from(model.moves(need.loading, next)) - i64::from(model.moves(gap.before.1, next));
        }
        moves
    }

    /// When a bar is last free before a use that starts then; a bar that has just been used is the tighter choice.
    pub(crate) fn free_since(&self, model: &Model, bar: usize, start: u32) -> u32 {
        let at = self.lines[bar].partition_point(|turn| turn.start <= start);
        self.gap(model, bar, at).before.0
    }

    /// Puts a use on a bar. False, and nothing done, where plates run short.
    pub(crate) fn put(&mut self, model: &Model, bar: usize, bout: usize, start: u32) -> bool {
        let (need, end) =
            (model.bouts[bout].bar.expect("only bouts with a bar come here"), start + model.bouts[bout].length);
        let at = self.lines[bar].partition_point(|turn| turn.start <= start);
        let gap = self.gap(model, bar, at);
        let turn = Use { start, end, loading: need.loading };
        self.lines[bar].insert(at, turn);
        if self.any_scarce && !self.hold(model, gap, turn) {
            self.release(model, gap, turn);
            self.lines[bar].remove(at);
            return false;
        }
        true
    }

    /// Puts down a use that has happened, whatever the plates say.
    pub(crate) fn put_anyway(&mut self, model: &Model, bar: usize, bout: usize, start: u32) {
        let Some(need) = model.bouts[bout].bar else { return };
        let at = self.lines[bar].partition_point(|turn| turn.start <= start);
        let gap = self.gap(model, bar, at);
        let turn = Use { start, end: start + model.bouts[bout].length, loading: need.loading };
        self.lines[bar].insert(at, turn);
        if self.any_scarce {
            self.around(model, gap, turn, true);
        }
    }

    /// Takes back the use that was put on the bar last.
    pub(crate) fn take_back(&mut self, model: &Model, bar: usize, start: u32) {
        let at = self.lines[bar].partition_point(|turn| turn.start < start);
        let turn = self.lines[bar].remove(at);
        if self.any_scarce {
            let gap = self.gap(model, bar, at);
            self.release(model, gap, turn);
        }
    }

    /// Whether plates suffice at every second.
    pub(crate) fn enough_plates(&self, model: &Model) -> bool {
        let enough = |(size, plate): (usize, &Profile)| plate.most(0, u32::MAX) <= model.plates[size].there;
        !self.any_scarce || self.plates.iter().enumerate().filter(|(size, _)| model.scarce[*size]).all(enough)
    }

    /// Counts the plates anew around a use; false where they run short in that time.
    fn hold(&mut self, model: &Model, gap: Gap, turn: Use) -> bool {
        self.around(model, gap, turn, true);
        let from = gap.before.0.min(turn.start.saturating_sub(model.setup(gap.before.1, turn.loading)));
        let to = gap.after.map_or(turn.end, |(next, _)| next);
        let enough =
            |(size, plate): (usize, &Profile)| !model.scarce[size] || plate.most(from, to) <= model.plates[size].there;
        self.plates.iter().enumerate().all(enough)
    }

    fn release(&mut self, model: &Model, gap: Gap, turn: Use) {
        self.around(model, gap, turn, false);
    }

    /// What a use changes: the plates before it stay until its change, its own until the next one's change.
    fn around(&mut self, model: &Model, gap: Gap, turn: Use, adds: bool) {
        let begins = |start: u32, from: usize, to: usize| start.saturating_sub(model.setup(from, to));
        let (free, before) = gap.before;
        let change = begins(turn.start, before, turn.loading);
        // Without this use: the loading before is held until the next change, or not at all where none follows.
        let (old_from, old_to) = match gap.after {
            Some((next, loading)) => (free, begins(next, before, loading)),
            None => (free, free),
        };
        self.count(model, before, old_from, old_to, !adds);
        self.count(model, before, free, change, adds);
        match gap.after {
            Some((next, loading)) => {
                self.count(model, loading, begins(next, before, loading), next, !adds);
                self.count(model, turn.loading, change, begins(next, turn.loading, loading), adds);
                self.count(model, loading, begins(next, turn.loading, loading), next, adds);
            }
            None => self.count(model, turn.loading, change, turn.end, adds),
        }
    }

    fn count(&mut self, model: &Model, loading: usize, from: u32, to: u32, adds: bool) {
        for &(size, pairs) in model.plates_on[loading].iter().filter(|p| model.scarce[p.0]) {
            if adds {
                self.plates[size].add(from, to, pairs);
            } else {
                self.plates[size].remove(from, to, pairs);
            }
        }
    }

    /// The first second after `start` at which the plates in use change, as a change of this length would see it.
    pub(crate) fn next_plates(&self, model: &Model, start: u32, change: u32) -> Option<u32> {
        let sizes = (0..self.plates.len()).filter(|size| model.scarce[*size]);
        sizes.filter_map(|size| self.plates[size].next_step(start.saturating_sub(change))).map(|at| at + change).min()
    }

    /// Pairs of plates moved on all bars.
    pub(crate) fn moves(&self, model: &Model) -> u32 {
        let mut moves = 0;
        for (bar, line) in self.lines.iter().enumerate() {
            let mut on = model.bars[bar].loading;
            for turn in line {
                moves += model.moves(on, turn.loading);
                on = turn.loading;
            }
        }
        moves
    }
}
