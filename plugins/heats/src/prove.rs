//! Proof: parts of a floor, and small floors as a whole, looked at exactly.
//!
//! Those who need one kind of bar, by themselves, end no later than the whole class; so what is proven of them is
//! proven of the class. Where the whole is small it is looked at too, with these parts watched at every step.

use crate::bounds::Bounds;
use crate::exact::{Exact, Outcome, Plan, Target, is_whole, suits};
use crate::model::{Model, NEVER};
use crate::search::{Best, Worth};

/// Looks of a search that a step of proof counts for.
const LOOKS_A_STEP: u64 = 6;

/// Most units of a floor that is looked at as a whole.
const SMALL: usize = 10;

#[derive(Debug)]
pub(crate) struct Prover<'m> {
    model: &'m Model,
    /// Those who need each kind of bar, with their place in the part for each of all; the kind.
    parts: Vec<(Model, Vec<Option<usize>>, usize)>,
    whole: bool,
    /// Whether a plan that ends earlier is better, whoever has to move for it.
    takes: bool,
}

impl<'m> Prover<'m> {
    /// Of a floor without a present plan. Where there is one, better plans that are found on the way are not taken.
    pub(crate) fn new(model: &'m Model, takes: bool) -> Self {
        let needs = |unit: usize, kind: usize| {
            let bouts = model.units[unit].athletes.iter().flat_map(|athlete| model.athletes[*athlete].bouts.clone());
            bouts.into_iter().any(|bout| model.bouts[bout].bar.is_some_and(|need| need.kind == kind))
        };
        let part = |kind: usize| {
            let (mut part, place) = model.part(|unit| needs(unit, kind));
            // Bars of other kinds are left out, so that what a part moves is of its own kind.
            part.bouts.iter_mut().for_each(|bout| bout.bar = bout.bar.filter(|need| need.kind == kind));
            (!part.units.is_empty() && suits(&part)).then_some((part, place, kind))
        };
        let parts = (0..model.bars_of.len()).filter_map(part).collect();
        Prover { model, parts, whole: model.units.len() <= SMALL && suits(model), takes }
    }

    pub(crate) fn is_small(&self) -> bool {
        self.whole
    }

    /// Proves later and later ends of the parts, up to the finish that was found. Gives what it cost.
    pub(crate) fn raise_finish(&self, bounds: &mut Bounds, finish: u32, effort: u64) -> u64 {
        let mut spent = 0;
        let many = self.parts.len() as u64;
        for (at, (part, _, _)) in (1..).zip(&self.parts) {
            let share = effort * at / many;
            let mut exact = Exact::new(part);
            let begun = spent;
            let mut try_for = bounds.finish;
            let mut stride = 1;
            while bounds.finish < finish && spent < share {
                let target = Target { finish: try_for, heats: self.model.most_heats as u32, moves: NEVER };
                let outcome = exact.search(target, (share - spent) / LOOKS_A_STEP);
                spent = begun + exact.work * LOOKS_A_STEP;
                match outcome {
                    Outcome::None(end) => bounds.finish = bounds.finish.max(end.min(finish)),
                    Outcome::Found(_) | Outcome::Open => break,
                }
                // Each try costs more than the one before; wide strides save the cheap ones.
                stride *= 2;
                try_for = (bounds.finish + stride.min((finish - bounds.finish) / 4)).min(finish.saturating_sub(1));
            }
        }
        spent
    }

    /// On a small floor, what is left to prove or to find.
    pub(crate) fn finish(&self, bounds: &mut Bounds, best: &mut Best, effort: u64) {
        if !self.whole || effort == 0 {
            return;
        }
        let mut left = effort / LOOKS_A_STEP;
        if bounds.finish < best.worth.finish {
            let target = |best: &Best| Target { finish: best.worth.finish - 1, heats: self.most_heats(), moves: NEVER };
            if !self.improve(best, target, &mut left) {
                return;
            }
            bounds.finish = best.worth.finish;
        }
        while bounds.heats < best.worth.heats {
            let target = |best: &Best| Target { finish: best.worth.finish, heats: best.worth.heats - 1, moves: NEVER };
            if !self.improve(best, target, &mut left) {
                return;
            }
            bounds.heats = best.worth.heats;
        }
        if bounds.moves < best.worth.moves {
            self.fewest_moves(bounds, best, &mut left);
        }
    }

    fn most_heats(&self) -> u32 {
        self.model.most_heats as u32
    }

    /// Takes better plans for as long as there are any; true where it is proven that there are no more.
    fn improve(&self, best: &mut Best, target: impl Fn(&Best) -> Target, left: &mut u64) -> bool {
        loop {
            let target = target(best);
            if target.heats == 0 {
                return true;
            }
            let least = vec![0; self.model.bars_of.len()];
            match self.whole_search(target, &least, left) {
                Outcome::None(_) => return true,
                Outcome::Found(plan) if self.takes && is_whole(self.model) => self.take(best, &plan),
                Outcome::Found(_) | Outcome::Open => return false,
            }
        }
    }

    fn whole_search(&self, target: Target, least: &[u32], left: &mut u64) -> Outcome {
        let mut exact = Exact::new(self.model);
        exact.least_moves.copy_from_slice(least);
        for (part, place, kind) in &self.parts {
            let others: u32 = least.iter().enumerate().filter(|(other, _)| other != kind).map(|l| *l.1).sum();
            let moves = if target.moves == NEVER { NEVER } else { target.moves.saturating_sub(others) };
            exact.watch(Exact::new(part), place.clone(), Target { moves, ..target });
        }
        let outcome = exact.search(target, *left);
        *left = left.saturating_sub(exact.work);
        outcome
    }

    /// The fewest plates moved: first on bars of each kind by themselves, then on all.
    fn fewest_moves(&self, bounds: &mut Bounds, best: &mut Best, left: &mut u64) {
        let mut least = vec![0; self.model.bars_of.len()];
        let (finish, heats) = (best.worth.finish, best.worth.heats);
        for (part, _, kind) in &self.parts {
            let mut exact = Exact::new(part);
            let mut moves = crate::bounds::bounds(part).moves;
            while moves < best.worth.moves {
                match exact.search(Target { finish, heats, moves }, left.saturating_sub(exact.work)) {
                    Outcome::None(_) => moves += 1,
                    Outcome::Found(_) | Outcome::Open => break,
                }
            }
            *left = left.saturating_sub(exact.work);
            least[*kind] = moves;
        }
        bounds.moves = bounds.moves.max(least.iter().sum());
        while bounds.moves < best.worth.moves {
            let target = Target { finish, heats, moves: best.worth.moves - 1 };
            match self.whole_search(target, &least, left) {
                Outcome::None(_) => bounds.moves = best.worth.moves,
                Outcome::Found(plan) if self.takes && is_whole(self.model) => self.take(best, &plan),
                Outcome::Found(_) | Outcome::Open => return,
            }
        }
    }

    fn take(&self, best: &mut Best, plan: &Plan) {
        let model = self.model;
        best.heat_of.clone_from(&plan.heat_of);
        best.bars.clone_from(&plan.bars);
        best.starts = vec![NEVER; model.slots * model.stages];
        for start in &plan.starts {
            best.starts[start.heat * model.stages + start.stage] = start.second;
        }
        let start = |bout: usize| {
            let it = &model.bouts[bout];
            best.starts[best.heat_of[model.unit_of[it.athlete]] * model.stages + it.stage]
        };
        let finish = (0..model.bouts.len()).map(|bout| start(bout) + model.bouts[bout].length).max().unwrap_or(0);
        let mut uses: Vec<(u32, u32, usize)> = (0..model.bouts.len())
            .filter(|b| model.bouts[*b].bar.is_some())
            .map(|b| (best.bars[b], start(b), b))
            .collect();
        uses.sort_unstable();
        let mut on: Vec<usize> = model.bars.iter().map(|bar| bar.loading).collect();
        let mut moves = 0;
        for (bar, _, bout) in uses {
            let loading = model.bouts[bout].bar.expect("only uses of a bar are listed").loading;
            moves += model.moves(on[bar as usize], loading);
            on[bar as usize] = loading;
        }
        let heats = best.heat_of.iter().max().map_or(0, |heat| *heat as u32 + 1);
        best.worth = Worth { price: finish, changed: 0, heats, moves, finish };
    }
}
