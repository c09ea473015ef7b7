//! The floor as compact arrays: everything a search asks often is a number at a known place.
//!
//! What a model holds is consistent: a position in it points to something. It is read from a question in `read`.

use crate::profile::Profile;

/// No such time, no such bar.
pub(crate) const NEVER: u32 = u32::MAX;

/// A bout's bar: its type, and the loading.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BarNeed {
    pub(crate) kind: usize,
    pub(crate) loading: usize,
}

#[derive(Clone, Debug)]
pub(crate) struct Bout {
    pub(crate) athlete: usize,
    pub(crate) stage: usize,
    pub(crate) length: u32,
    /// Seconds from its start to the start of the athlete's next bout, at least and at most; 0 for the last.
    pub(crate) lag: u32,
    pub(crate) lag_most: Option<u32>,
    pub(crate) bar: Option<BarNeed>,
    /// What it uses while it lasts: position in `things` and how many. The coach is thing 0.
    pub(crate) uses: Vec<(usize, u32)>,
    /// Of these, what can run short.
    pub(crate) scarce_uses: Vec<(u32, u32)>,
    /// Start and bar, where it has started already.
    pub(crate) done: Option<(u32, Option<usize>)>,
    /// The bar that the present plan has for it.
    pub(crate) bar_before: Option<usize>,
}

#[derive(Clone, Debug)]
pub(crate) struct Athlete {
    pub(crate) ready: u32,
    pub(crate) bouts: std::ops::Range<usize>,
}

/// Something counted that bouts use: the coach's eye, or kit.
#[derive(Clone, Debug)]
pub(crate) struct Thing {
    pub(crate) there: u32,
    /// What others hold.
    pub(crate) taken: Profile,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Bar {
    pub(crate) kind: usize,
    pub(crate) free_from: u32,
    pub(crate) loading: usize,
}

/// Athletes who are in one heat whatever happens.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    pub(crate) athletes: Vec<usize>,
    /// The heat that they have begun in.
    pub(crate) begun: Option<usize>,
    /// Their heat in the present plan.
    pub(crate) before: Option<usize>,
}

#[derive(Clone, Debug)]
pub(crate) struct Model {
    pub(crate) now: u32,
    /// No change of plates that is not planned yet begins earlier.
    pub(crate) change_from: u32,
    pub(crate) step: u32,
    pub(crate) most_heats: usize,
    /// Heat numbers that a search may use; not all of them at once where that is more than `most_heats`.
    pub(crate) slots: usize,
    pub(crate) stages: usize,
    pub(crate) athletes: Vec<Athlete>,
    pub(crate) bouts: Vec<Bout>,
    pub(crate) things: Vec<Thing>,
    pub(crate) bars: Vec<Bar>,
    /// Bars of each type.
    pub(crate) bars_of: Vec<Vec<usize>>,
    /// Plates of each size on each loading.
    pub(crate) plates_on: Vec<Vec<(usize, u32)>>,
    /// Plate sizes: pairs in stock and what others hold.
    pub(crate) plates: Vec<Thing>,
    /// Whether a size can run short at all.
    pub(crate) scarce: Vec<bool>,
    pub(crate) units: Vec<Unit>,
    pub(crate) unit_of: Vec<usize>,
    /// Units that each unit is kept apart from.
    pub(crate) apart: Vec<Vec<usize>>,
    /// Starts that have happened, by heat and stage.
    pub(crate) done: Vec<Vec<Option<u32>>>,
    /// Starts of the present plan, by heat and stage.
    pub(crate) starts_before: Vec<Vec<Option<u32>>>,
    /// True where a present plan should be changed little.
    pub(crate) replan: bool,
    /// All lengths that a change of plates can have.
    pub(crate) changes: Vec<u32>,
    /// Whether any rest has a limit.
    pub(crate) limited_rests: bool,
    pub(crate) any_bars: bool,
    /// Where the places of each thing are in a list of all; none for a thing that can never run short.
    pub(crate) place_of: Vec<std::ops::Range<usize>>,
    /// Whether others take anything of what is counted.
    pub(crate) any_taken: bool,
    /// Plate sizes on a sleeve, inner to outer.
    pub(crate) loadings: Vec<Vec<u32>>,
    /// Things, bar kinds and plate sizes: what a heat's stage can run short of.
    pub(crate) width: usize,
    pub(crate) there: Vec<u32>,
    /// What each unit asks: stage and thing, how many.
    pub(crate) demand: Vec<Vec<(u32, u32)>>,
    /// Whether one stage of a heat comes before another for somebody.
    pub(crate) ordered: Vec<bool>,
    /// Seconds and pairs moved from each loading to each.
    pub(crate) set_ups: Vec<(u32, u32)>,
    pub(crate) setup_fixed: u32,
    pub(crate) setup_pair: u32,
}

impl Model {
    /// Seconds and pairs moved to change a bar from one loading to another. Called for every bar of every start, and a
    /// pair that WebAssembly gives back from a call goes through memory: hence in line, here and where it is used.
    #[inline(always)]
    pub(crate) fn set_up(&self, from: usize, to: usize) -> (u32, u32) {
        self.set_ups[from * self.plates_on.len() + to]
    }

    /// Pairs moved from one loading to another.
    #[inline(always)]
    pub(crate) fn moves(&self, from: usize, to: usize) -> u32 {
        self.set_up(from, to).1
    }

    /// Seconds to change a bar from one loading to another.
    #[inline(always)]
    pub(crate) fn setup(&self, from: usize, to: usize) -> u32 {
        self.set_up(from, to).0
    }

    /// The first second on the step that is not before this one.
    #[inline(always)]
    pub(crate) fn on_step(&self, second: u32) -> u32 {
        if self.step == 1 { second } else { second.next_multiple_of(self.step) }
    }

    /// Seconds for so many changes with so many pairs moved in all.
    pub(crate) fn setup_seconds(&self, changes: u32, moves: u32) -> u32 {
        changes * self.setup_fixed + moves * self.setup_pair
    }

    /// Where anything has started: the floor with the bars as they were left, and the pairs moved until then.
    pub(crate) fn standing(&self) -> (Option<Model>, u32) {
        let mut uses: Vec<(u32, usize, usize, u32)> = Vec::new();
        for bout in &self.bouts {
            if let (Some((start, Some(bar))), Some(need)) = (bout.done, bout.bar) {
                uses.push((start, bar, need.loading, start + bout.length));
            }
        }
        if self.bouts.iter().all(|bout| bout.done.is_none()) {
            return (None, 0);
        }
        uses.sort_unstable();
        let mut model = self.clone();
        let mut moved = 0;
        for (_, bar, loading, end) in uses {
            moved += self.moves(model.bars[bar].loading, loading);
            model.bars[bar] = Bar { loading, free_from: model.bars[bar].free_from.max(end), ..model.bars[bar] };
        }
        (Some(model), moved)
    }

    /// The floor as if there had never been a plan; the same one where there was none.
    pub(crate) fn unplanned(&self) -> Model {
        let mut model = Model { replan: false, ..self.clone() };
        model.units.iter_mut().for_each(|unit| unit.before = None);
        model.bouts.iter_mut().for_each(|bout| bout.bar_before = None);
        model.starts_before = vec![vec![None; self.stages]; self.slots];
        model
    }

    /// The floor with only these units on it, and for each unit of the whole its place there. No plan of the whole is
    /// better for them than the best plan of this part.
    pub(crate) fn part(&self, keep: impl Fn(usize) -> bool) -> (Model, Vec<Option<usize>>) {
        let mut part = Model { athletes: vec![], bouts: vec![], units: vec![], demand: vec![], ..self.clone() };
        let mut place = vec![None; self.units.len()];
        part.unit_of.clear();
        for unit in (0..self.units.len()).filter(|unit| keep(*unit)) {
            place[unit] = Some(part.units.len());
            let mut mine = Unit { athletes: Vec::new(), ..self.units[unit].clone() };
            for &athlete in &self.units[unit].athletes {
                let (number, first) = (part.athletes.len(), part.bouts.len());
                mine.athletes.push(number);
                for bout in self.athletes[athlete].bouts.clone() {
                    part.bouts.push(Bout { athlete: number, ..self.bouts[bout].clone() });
                }
                part.athletes.push(Athlete { bouts: first..part.bouts.len(), ..self.athletes[athlete].clone() });
                part.unit_of.push(part.units.len());
            }
            part.units.push(mine);
            part.demand.push(self.demand[unit].clone());
        }
        let kept = |others: &Vec<usize>| others.iter().filter_map(|other| place[*other]).collect();
        part.apart =
            (0..self.units.len()).filter(|unit| place[*unit].is_some()).map(|u| kept(&self.apart[u])).collect();
        (part, place)
    }
}
