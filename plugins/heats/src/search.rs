//! Looks for the heats and the order whose plan ends first, then has the fewest heats, then moves the fewest plates.
//!
//! Starts from several plain arrangements and goes on by small moves, taking one that is no worse than where the walk
//! stood a while ago (late acceptance). Effort is counted in looks at a bout or a bar; the same effort gives the same plan.

use crate::bounds::Bounds;
use crate::dice::Dice;
use crate::model::Model;
use crate::schedule::{Found, Scheduler};
use crate::starts::{Recipe, arranged, at_random, fits, opened, recipes, used};

/// How far back the walk compares.
const MEMORY: usize = 200;

/// Steps without a better plan after which the walk begins anew near the best.
const PATIENCE: usize = 3000;

/// Tries to begin anew, and moves in each.
const KICKS: usize = 8;
const MOVES_A_KICK: usize = 6;

/// Which heat each unit is in, and the order in which heats come to their next stage: `turns` names each heat once a
/// stage. In turn, a heat waits until those before it have gone home.
#[derive(Clone, Debug)]
pub(crate) struct State {
    pub(crate) heat_of: Vec<usize>,
    pub(crate) turns: Vec<usize>,
    pub(crate) in_turn: bool,
}

/// What plans are compared by; less is better. `changed` counts only where there was a plan before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Worth {
    pub(crate) finish: u32,
    pub(crate) changed: u32,
    pub(crate) heats: u32,
    pub(crate) moves: u32,
}

/// The best plan found.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    pub(crate) worth: Worth,
    pub(crate) heat_of: Vec<usize>,
    /// By heat and stage.
    pub(crate) starts: Vec<Option<u32>>,
    pub(crate) bars: Vec<Option<usize>>,
}

/// What the walk is after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Aim {
    Finish,
    /// No later end, but fewer changes, heats and plates moved.
    Neat,
}

pub(crate) struct Search<'m> {
    model: &'m Model,
    bounds: Bounds,
    scheduler: Scheduler<'m>,
    dice: Dice,
    best: Option<(Best, State)>,
}

impl<'m> Search<'m> {
    pub(crate) fn new(model: &'m Model, bounds: Bounds) -> Self {
        Search { model, bounds, scheduler: Scheduler::new(model), dice: Dice::new(), best: None }
    }

    /// The best plan that this much work finds; none where it finds no plan at all.
    pub(crate) fn run(mut self, effort: u64) -> Option<Best> {
        for recipe in recipes(self.model, self.bounds.heats as usize) {
            if self.best.is_some() && self.scheduler.work > effort / 3 {
                break;
            }
            self.try_recipe(&recipe, effort);
        }
        self.insist(effort);
        self.walk(Aim::Finish, effort - effort / 4);
        self.walk(Aim::Neat, effort);
        self.best.map(|best| best.0)
    }

    /// Tries arrangements at random until one can be planned.
    fn insist(&mut self, effort: u64) {
        while self.best.is_none() && self.scheduler.work < effort {
            let recipe = at_random(self.model, &mut self.dice);
            self.try_recipe(&recipe, effort);
        }
    }

    fn try_recipe(&mut self, recipe: &Recipe, effort: u64) {
        for state in arranged(self.model, recipe, &mut self.dice, &mut self.scheduler.work) {
            // A plan is wanted before all; a better one only as far as the effort reaches.
            if self.best.is_none() || self.scheduler.work < effort {
                self.look(&state, u32::MAX);
            }
        }
    }

    fn look(&mut self, state: &State, latest: u32) -> Option<(Worth, Found)> {
        let found = self.scheduler.build(state, latest)?;
        let worth = self.worth(state, &found);
        if self.best.as_ref().is_none_or(|(best, _)| worth < best.worth) {
            let (starts, bars) = (self.scheduler.starts.clone(), self.scheduler.bars.clone());
            self.best = Some((Best { worth, heat_of: state.heat_of.clone(), starts, bars }, state.clone()));
        }
        Some((worth, found))
    }

    fn worth(&self, state: &State, found: &Found) -> Worth {
        let model = self.model;
        let mut changed = 0;
        if model.replan {
            for (unit, &heat) in model.units.iter().zip(&state.heat_of) {
                for &athlete in &unit.athletes {
                    let other_bar = |bout: usize| self.scheduler.bars[bout] != model.bouts[bout].bar_before;
                    let same = unit.before == Some(heat) && !model.athletes[athlete].bouts.clone().any(other_bar);
                    changed += u32::from(!same);
                }
            }
        }
        let heats = used(model, &state.heat_of) as u32;
        Worth { finish: found.finish, changed, heats, moves: found.moves }
    }

    /// True where nothing better can be.
    fn proven(&self) -> bool {
        let (finish, heats, moves) = (self.bounds.finish, self.bounds.heats, self.bounds.moves);
        self.best.as_ref().is_some_and(|(best, _)| best.worth <= Worth { finish, changed: 0, heats, moves })
    }

    fn walk(&mut self, aim: Aim, until: u64) {
        let Some((best, mut state)) = self.best.clone() else { return };
        let Some((worth, found)) = self.look(&state, u32::MAX) else { return };
        let mut here = guide(self.model, aim, &worth, &found);
        let mut memory = [here; MEMORY];
        let mut step = 0;
        let (mut least, mut since) = (here, 0);
        while self.scheduler.work < until && !self.proven() {
            if aim == Aim::Finish && self.best.as_ref().is_some_and(|b| b.0.worth.finish == self.bounds.finish) {
                break;
            }
            let mut next = state.clone();
            next.in_turn &= self.dice.below(4) > 0;
            // Moves that come to nothing cost a little too, so that a floor on which none can be made comes to an end.
            if !self.change(&mut next) {
                self.scheduler.work += 1;
                continue;
            }
            step += 1;
            let late = memory[step % MEMORY].max(here);
            let latest = match aim {
                Aim::Finish => (late / FINISH_WEIGHT).min(u64::from(u32::MAX)) as u32,
                Aim::Neat => best.worth.finish,
            };
            if let Some((worth, found)) = self.look(&next, latest) {
                let there = guide(self.model, aim, &worth, &found);
                if there <= late {
                    here = there;
                    state = next;
                }
                if there < least {
                    (least, since) = (there, 0);
                }
            }
            memory[step % MEMORY] = here;
            since += 1;
            if since > PATIENCE {
                let Some(kicked) = self.kicked(aim) else { return };
                (state, here) = kicked;
                memory = [here; MEMORY];
                (least, since) = (here, 0);
            }
        }
    }

    /// The best arrangement with a few moves made blindly, and what the walk makes of it.
    fn kicked(&mut self, aim: Aim) -> Option<(State, u64)> {
        let state = self.best.as_ref()?.1.clone();
        for _ in 0..KICKS {
            let mut next = state.clone();
            let mut made = 0;
            for _ in 0..8 * MOVES_A_KICK {
                let mut moved = next.clone();
                if made < MOVES_A_KICK && self.change(&mut moved) {
                    next = moved;
                    made += 1;
                }
            }
            if let Some((worth, found)) = self.look(&next, u32::MAX) {
                return Some((next, guide(self.model, aim, &worth, &found)));
            }
        }
        let (worth, found) = self.look(&state, u32::MAX)?;
        Some((state, guide(self.model, aim, &worth, &found)))
    }

    /// One small move; false where it came to nothing.
    fn change(&mut self, state: &mut State) -> bool {
        let model = self.model;
        match self.dice.below(10) {
            0..=2 => {
                let unit = self.dice.below(model.units.len());
                let heat = self.dice.below(model.slots);
                let from = state.heat_of[unit];
                if heat == from || model.units[unit].begun.is_some() {
                    return false;
                }
                state.heat_of[unit] = heat;
                fits(model, &state.heat_of, heat) && opened(model, &state.heat_of)
            }
            3..=5 => {
                let (one, other) = (self.dice.below(model.units.len()), self.dice.below(model.units.len()));
                let (from, to) = (state.heat_of[one], state.heat_of[other]);
                let begun = model.units[one].begun.is_some() || model.units[other].begun.is_some();
                if from == to || begun {
                    return false;
                }
                state.heat_of.swap(one, other);
                fits(model, &state.heat_of, from) && fits(model, &state.heat_of, to)
            }
            6..=8 => {
                let (from, to) = (self.dice.below(state.turns.len()), self.dice.below(state.turns.len()));
                let heat = state.turns.remove(from);
                state.turns.insert(to, heat);
                from != to && state.heat_of.contains(&heat)
            }
            _ => {
                let (one, other) = (self.dice.below(model.slots), self.dice.below(model.slots));
                let used = |heat: usize| state.heat_of.contains(&heat);
                if one == other || !used(one) || !used(other) {
                    return false;
                }
                for heat in &mut state.turns {
                    *heat = if *heat == one {
                        other
                    } else if *heat == other {
                        one
                    } else {
                        *heat
                    };
                }
                true
            }
        }
    }
}

const FINISH_WEIGHT: u64 = 1 << 10;

/// What the walk goes by: the worth, smoothed so that a step in the right direction shows.
fn guide(model: &Model, aim: Aim, worth: &Worth, found: &Found) -> u64 {
    let (changed, heats, moves) = (u64::from(worth.changed), u64::from(worth.heats), u64::from(worth.moves));
    let mean = found.ends / heats.max(1);
    let neat = changed * 1000 + heats * 100 + moves;
    match aim {
        Aim::Finish => u64::from(worth.finish) * FINISH_WEIGHT + (mean * 8).min(FINISH_WEIGHT * 16) + neat.min(200),
        Aim::Neat => neat * FINISH_WEIGHT + mean.min(FINISH_WEIGHT - 1) / (1 + model.slots as u64),
    }
}
