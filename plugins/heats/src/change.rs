//! Small changes of heats, order and bars, and taking them back.

use crate::crew::Crews;
use crate::search::{NEVER, Search};

#[derive(Clone, Copy, Debug)]
pub(crate) enum Change {
    /// Another order, from a place on, by a heat or two.
    Order { from: Option<usize>, heats: [usize; 2] },
    /// A bout would like another bar.
    Wish { bout: usize, was: u32, from: usize, heat: usize },
    /// A unit went to another heat.
    Moved { unit: usize, from: usize, to: usize },
    /// Two units changed places.
    Swapped { one: usize, other: usize, heats: [usize; 2] },
}

impl Change {
    /// The first place of the order that it concerns, where that is known.
    pub(crate) fn from(&self) -> Option<usize> {
        match *self {
            Change::Order { from, .. } => from,
            Change::Wish { from, .. } => Some(from),
            Change::Moved { .. } | Change::Swapped { .. } => None,
        }
    }

    /// The heats that it concerns.
    pub(crate) fn heats(&self) -> [usize; 2] {
        match *self {
            Change::Order { heats, .. } | Change::Swapped { heats, .. } => heats,
            Change::Wish { heat, .. } => [heat, heat],
            Change::Moved { from, to, .. } => [from, to],
        }
    }
}

impl Search<'_> {
    /// One small change; none where it came to nothing.
    pub(crate) fn change(&mut self, crews: &mut Crews, order: &mut [u32]) -> Option<Change> {
        match self.dice.below(if self.model.any_bars { 24 } else { 20 }) {
            0..4 => self.moved(crews),
            4..9 => self.swapped(crews),
            9..18 => self.shifted(crews, order),
            18..20 => self.exchanged(crews, order),
            _ => self.wished(crews, order),
        }
    }

    pub(crate) fn undo(&mut self, crews: &mut Crews, change: Change) {
        let model = self.model;
        match change {
            Change::Order { .. } => {}
            Change::Wish { bout, was, .. } => self.course.wish(bout, was),
            Change::Moved { unit, from, to } => {
                crews.leave(model, unit);
                crews.join(model, unit, from);
                crews.build(model, from);
                crews.build(model, to);
            }
            Change::Swapped { one, other, heats: [from, to] } => {
                crews.leave(model, one);
                crews.leave(model, other);
                crews.join(model, one, from);
                crews.join(model, other, to);
                crews.build(model, from);
                crews.build(model, to);
            }
        }
    }

    /// A unit in another heat.
    fn moved(&mut self, crews: &mut Crews) -> Option<Change> {
        let model = self.model;
        let unit = self.dice.below(model.units.len());
        let to = self.dice.below(model.slots);
        let from = crews.heat_of[unit];
        if to == from || model.units[unit].begun.is_some() {
            return None;
        }
        if crews.members[to].is_empty() && crews.members[from].len() > 1 && crews.used() >= model.most_heats {
            return None;
        }
        crews.leave(model, unit);
        if !crews.join(model, unit, to) {
            crews.join(model, unit, from);
            return None;
        }
        let change = Change::Moved { unit, from, to };
        if crews.build(model, to) & crews.build(model, from) {
            return Some(change);
        }
        self.undo(crews, change);
        None
    }

    /// Two units in each other's heats.
    fn swapped(&mut self, crews: &mut Crews) -> Option<Change> {
        let model = self.model;
        let (one, other) = (self.dice.below(model.units.len()), self.dice.below(model.units.len()));
        let (from, to) = (crews.heat_of[one], crews.heat_of[other]);
        if from == to || model.units[one].begun.is_some() || model.units[other].begun.is_some() {
            return None;
        }
        crews.leave(model, one);
        crews.leave(model, other);
        let crossed = crews.join(model, one, to);
        if !crossed || !crews.join(model, other, from) {
            if crossed {
                crews.leave(model, one);
            }
            crews.join(model, one, from);
            crews.join(model, other, to);
            return None;
        }
        let change = Change::Swapped { one, other, heats: [from, to] };
        if crews.build(model, from) & crews.build(model, to) {
            return Some(change);
        }
        self.undo(crews, change);
        None
    }

    /// A start sooner or later in the order; near places are tried more than far ones.
    fn shifted(&mut self, crews: &Crews, order: &mut [u32]) -> Option<Change> {
        let from = self.dice.below(order.len());
        let most = self.dice.below(order.len());
        let reach = 1 + self.dice.below(1 + most);
        let sooner = self.dice.below(2) == 0;
        let to = self.shift(order, from, reach, sooner);
        let cell = order[to] as usize;
        if to == from || crews.nodes[cell].bouts.is_empty() {
            return None;
        }
        let heat = cell / self.model.stages;
        Some(Change::Order { from: Some(from.min(to)), heats: [heat, heat] })
    }

    /// Moves a start as far as wanted, but not past a stage of its heat that it follows or leads. Gives its new place.
    fn shift(&self, order: &mut [u32], from: usize, reach: usize, sooner: bool) -> usize {
        let model = self.model;
        let cell = order[from] as usize;
        let (heat, stage) = (cell / model.stages, cell % model.stages);
        let mut at = from;
        for _ in 0..reach {
            let next = if sooner { at.wrapping_sub(1) } else { at + 1 };
            let Some(&other) = order.get(next) else { break };
            let other = other as usize;
            if other / model.stages == heat {
                let its = other % model.stages;
                let (first, last) = if sooner { (its, stage) } else { (stage, its) };
                if model.ordered[first * model.stages + last] {
                    break;
                }
            }
            order.swap(at, next);
            at = next;
        }
        at
    }

    /// Two heats in each other's places of the order.
    fn exchanged(&mut self, crews: &Crews, order: &mut [u32]) -> Option<Change> {
        let stages = self.model.stages as u32;
        let (one, other) = (self.dice.below(self.model.slots), self.dice.below(self.model.slots));
        if one == other || crews.members[one].is_empty() || crews.members[other].is_empty() {
            return None;
        }
        for cell in order.iter_mut() {
            let heat = (*cell / stages) as usize;
            let to = if heat == one {
                other
            } else if heat == other {
                one
            } else {
                continue;
            };
            *cell = *cell % stages + to as u32 * stages;
        }
        Some(Change::Order { from: None, heats: [one, other] })
    }

    /// Another bar for a bout, if it can be had at no later start; or any.
    fn wished(&mut self, crews: &Crews, order: &[u32]) -> Option<Change> {
        let model = self.model;
        let bout = self.dice.below(model.bouts.len());
        let it = &model.bouts[bout];
        let there = &model.bars_of[it.bar?.kind];
        let wish = there.get(self.dice.below(there.len() + 1)).map_or(NEVER, |bar| *bar as u32);
        let was = self.course.wished(bout);
        if it.done.is_some() || wish == was || wish == self.course.kept_bar(bout) {
            return None;
        }
        let heat = crews.heat_of[model.unit_of[it.athlete]];
        let cell = (heat * model.stages + it.stage) as u32;
        let from = order.iter().position(|at| *at == cell)?;
        self.course.wish(bout, wish);
        Some(Change::Wish { bout, was, from, heat })
    }
}
