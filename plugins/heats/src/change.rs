//! Small changes of heats, order and bars, and taking them back.

use crate::crew::Crews;
use crate::luck::Kind;
use crate::model::{Model, NEVER};
use crate::search::Search;

/// Seconds between the least and the most of a rest that leave a start little choice.
const CLOSE: u32 = 45;

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
    /// One small change of a kind; none where it came to nothing.
    pub(crate) fn change(&mut self, kind: Kind, crews: &mut Crews, order: &mut Vec<u32>) -> Option<Change> {
        match kind {
            Kind::Move | Kind::Swap if self.people_stay => None,
            Kind::Move => self.moved(crews, order),
            Kind::Swap => self.swapped(crews),
            Kind::Shift => self.shifted(crews, order),
            Kind::Exchange => self.exchanged(crews, order),
            Kind::Carry => self.carried(crews, order),
            Kind::Wish => self.wished(crews, order),
            Kind::Retime => self.retimed(crews, order),
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
    fn moved(&mut self, crews: &mut Crews, order: &mut Vec<u32>) -> Option<Change> {
        let model = self.model;
        let unit = self.dice.below(model.units.len());
        let from = crews.heat_of[unit];
        let mut to = self.dice.below(model.slots);
        if self.dice.below(4) == 0 && crews.members[from].len() > 1 {
            // A heat of their own, where one is to be had.
            to = crews.members.iter().position(Vec::is_empty).unwrap_or(to);
        }
        if to == from {
            return None;
        }
        if crews.members[to].is_empty() && crews.members[from].len() > 1 && crews.used() >= model.most_heats {
            return None;
        }
        let is_new = crews.members[to].is_empty();
        crews.leave(model, unit);
        if !crews.join(model, unit, to) {
            crews.join(model, unit, from);
            return None;
        }
        if is_new {
            // A new heat goes with the one that it comes from.
            let before = self.dice.below(2) == 0;
            carry(model, order, to, from, before);
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
        if from == to {
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
    pub(crate) fn shift(&self, order: &mut [u32], from: usize, reach: usize, sooner: bool) -> usize {
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

    /// A heat right before or after another, at every stage.
    fn carried(&mut self, crews: &Crews, order: &mut Vec<u32>) -> Option<Change> {
        let model = self.model;
        let (heat, by) = (self.dice.below(model.slots), self.dice.below(model.slots));
        if heat == by || crews.members[heat].is_empty() || crews.members[by].is_empty() {
            return None;
        }
        let before = self.dice.below(2) == 0;
        carry(model, order, heat, by, before);
        Some(Change::Order { from: None, heats: [heat, by] })
    }

    /// A heat begins or ends something with another, and what follows at close rests comes with it.
    fn retimed(&mut self, crews: &Crews, order: &mut [u32]) -> Option<Change> {
        let model = self.model;
        if !model.limited_rests {
            return None;
        }
        let (mine, its) = (self.dice.below(order.len()), self.dice.below(order.len()));
        let (mine, its) = (order[mine] as usize, order[its] as usize);
        let heat = mine / model.stages;
        let nodes = &crews.nodes;
        if its / model.stages == heat || nodes[mine].bouts.is_empty() || nodes[its].bouts.is_empty() {
            return None;
        }
        // From the first of those that follow each other closely.
        let close = |cell: usize| nodes[cell].rests.iter().any(|rest| rest.2 != NEVER && rest.2 - rest.1 < CLOSE);
        let first = (heat * model.stages..=mine).rev().find(|cell| !close(*cell)).unwrap_or(heat * model.stages);
        let starts = self.course.kept_starts();
        let to = starts[its] + if self.dice.below(2) == 0 { nodes[its].longest } else { 0 };
        let mut sorted: Vec<(u64, usize)> = Vec::with_capacity(order.len());
        let mut last = 0;
        for &cell in order.iter() {
            let cell = cell as usize;
            let starts_then = !nodes[cell].bouts.is_empty();
            let key = if starts_then && cell / model.stages == heat && cell >= first {
                (u64::from(starts[cell]) + u64::from(to)).saturating_sub(u64::from(starts[first]))
            } else {
                // All others stay in order; where nobody starts, the place stays.
                last = last.max(if starts_then { u64::from(starts[cell]) } else { 0 });
                last
            };
            sorted.push((key, cell));
        }
        sorted.sort_by_key(|at| at.0);
        let mut stage = heat * model.stages;
        let mut from = order.len();
        for (place, (_, cell)) in sorted.into_iter().enumerate() {
            let mut cell = cell as u32;
            if cell as usize / model.stages == heat {
                cell = stage as u32;
                stage += 1;
            }
            if order[place] != cell {
                from = from.min(place);
                order[place] = cell;
            }
        }
        (from < order.len()).then_some(Change::Order { from: Some(from), heats: [heat, heat] })
    }

    /// Another bar for a bout, if it can be had at no later start; or any.
    fn wished(&mut self, crews: &Crews, order: &[u32]) -> Option<Change> {
        let model = self.model;
        let bout = self.dice.below(model.bouts.len());
        let it = model.bouts.get(bout)?;
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

/// Puts each stage of a heat right before or after the same stage of another.
pub(crate) fn carry(model: &Model, order: &mut Vec<u32>, heat: usize, by: usize, before: bool) {
    let stages = model.stages;
    order.retain(|cell| *cell as usize / stages != heat);
    for stage in 0..stages {
        let (mine, its) = ((heat * stages + stage) as u32, (by * stages + stage) as u32);
        let at = order.iter().position(|cell| *cell == its).expect("every heat has every stage in the order");
        order.insert(if before { at } else { at + 1 }, mine);
    }
}
