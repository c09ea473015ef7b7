//! The question as compact arrays: everything the schedule asks often is a number at a known place.
//!
//! [`Model::read`] refuses a question that no plan can answer, with a sentence for the coach. What a model holds is
//! consistent: a position in it points to something.

use classwright_sdk::heats::{Layout, Question};
use classwright_sdk::{Declined, NONE};

use crate::causes;
use crate::profile::Profile;

/// No second of a plan may be later than this; far beyond any class, far below where sums overflow.
const LAST_SECOND: u64 = 1 << 30;

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
    moves: Vec<u16>,
    setup_fixed: u32,
    setup_pair: u32,
}

impl Model {
    pub(crate) fn read(question: &Question) -> Result<Model, Declined> {
        causes::refuse(question)?;
        let loadings: Vec<&[u32]> =
            question.loadings.iter().map(|l| &question.plates[span(l.first, l.count)]).collect();
        let mut model = Model {
            now: question.now_s,
            change_from: question.now_s,
            step: question.start_step_s.max(1),
            most_heats: question.max_heats as usize,
            slots: 0,
            stages: question.stage_count as usize,
            athletes: question
                .athletes
                .iter()
                .map(|a| Athlete { ready: a.ready_s, bouts: span(a.first_bout, a.bout_count) })
                .collect(),
            bouts: bouts(question),
            things: things(question),
            bars: question
                .bars
                .iter()
                .map(|b| Bar { kind: b.bar_type as usize, free_from: b.free_from_s, loading: b.loading as usize })
                .collect(),
            bars_of: vec![Vec::new(); question.bar_types.len()],
            plates_on: loadings.iter().map(|plates| counted(plates)).collect(),
            plates: plates(question),
            scarce: Vec::new(),
            units: Vec::new(),
            unit_of: Vec::new(),
            apart: Vec::new(),
            done: Vec::new(),
            starts_before: Vec::new(),
            replan: question.present.is_some(),
            changes: Vec::new(),
            moves: moves(&loadings),
            setup_fixed: question.setup_fixed_s,
            setup_pair: question.setup_pair_s,
        };
        for (bar, it) in model.bars.iter().enumerate() {
            model.bars_of[it.kind].push(bar);
        }
        let most = model.moves.iter().copied().max().unwrap_or(0);
        let length = |moves| {
            if moves == 0 { 0 } else { model.setup_fixed + moves * model.setup_pair }
        };
        model.changes = (0..=u32::from(most)).map(length).collect();
        model.scarce = (0..model.plates.len()).map(|size| model.can_run_short(size)).collect();
        model.gather(question)?;
        model.look_ahead()?;
        Ok(model)
    }

    /// Pairs moved from one loading to another.
    pub(crate) fn moves(&self, from: usize, to: usize) -> u32 {
        u32::from(self.moves[from * self.plates_on.len() + to])
    }

    /// Seconds to change a bar from one loading to another.
    pub(crate) fn setup(&self, from: usize, to: usize) -> u32 {
        match self.moves(from, to) {
            0 => 0,
            moves => self.setup_fixed + moves * self.setup_pair,
        }
    }

    /// The first second on the step that is not before this one.
    pub(crate) fn on_step(&self, second: u32) -> u32 {
        second.next_multiple_of(self.step)
    }

    fn can_run_short(&self, size: usize) -> bool {
        let on = |loading: usize| self.plates_on[loading].iter().find(|p| p.0 == size).map_or(0, |p| p.1);
        let most_of = |kind: usize| {
            let needs = self.bouts.iter().filter_map(|b| b.bar).filter(|n| n.kind == kind);
            needs.map(|n| on(n.loading)).max().unwrap_or(0)
        };
        let all: u32 = self.bars.iter().map(|bar| most_of(bar.kind).max(on(bar.loading))).sum();
        let plate = &self.plates[size];
        all + plate.taken.most(0, NONE) > plate.there
    }

    /// Units, who is kept apart, and what has happened.
    fn gather(&mut self, question: &Question) -> Result<(), Declined> {
        let group = causes::groups(question);
        self.unit_of = vec![0; group.len()];
        let mut unit_of_leader = vec![None; group.len()];
        for (athlete, &leader) in group.iter().enumerate() {
            let unit = *unit_of_leader[leader].get_or_insert_with(|| {
                self.units.push(Unit { athletes: Vec::new(), begun: None, before: None });
                self.units.len() - 1
            });
            self.units[unit].athletes.push(athlete);
            self.unit_of[athlete] = unit;
        }
        self.apart = vec![Vec::new(); self.units.len()];
        for pair in &question.apart {
            let (a, b) = (self.unit_of[pair.first as usize], self.unit_of[pair.second as usize]);
            self.apart[a].push(b);
            self.apart[b].push(a);
        }
        self.slots = self.most_heats.min(self.units.len());
        if let Some(present) = &question.present {
            self.slots = self.slots.max(present.heat_count as usize);
            self.remember(present)?;
        }
        self.done.resize(self.slots, vec![None; self.stages]);
        self.starts_before.resize(self.slots, vec![None; self.stages]);
        Ok(())
    }

    fn remember(&mut self, present: &Layout) -> Result<(), Declined> {
        self.done = vec![vec![None; self.stages]; self.slots];
        self.starts_before = self.done.clone();
        for bout in 0..self.bouts.len() {
            let (athlete, stage) = (self.bouts[bout].athlete, self.bouts[bout].stage);
            let heat = present.heat_of[athlete] as usize;
            if heat >= present.heat_count as usize {
                continue;
            }
            let unit = &mut self.units[self.unit_of[athlete]];
            unit.before = Some(heat);
            let bar = Some(present.bar_of[bout] as usize).filter(|bar| *bar < self.bars.len());
            self.bouts[bout].bar_before = bar;
            let start = present.starts[heat * self.stages + stage];
            self.starts_before[heat][stage] = Some(start).filter(|start| *start != NONE);
            if start != NONE && start < self.now {
                if unit.begun.is_some_and(|begun| begun != heat) {
                    return Err(Declined::from(
                        "Partners have begun in different heats and cannot be brought together.",
                    ));
                }
                unit.begun = Some(heat);
                self.bouts[bout].done = Some((start, bar));
                self.done[heat][stage] = Some(start);
            }
        }
        Ok(())
    }

    /// Refuses times that would overflow even with everybody in turn.
    fn look_ahead(&self) -> Result<(), Declined> {
        let change = u64::from(self.setup_fixed)
            + u64::from(self.moves.iter().copied().max().unwrap_or(0)) * u64::from(self.setup_pair);
        let work: u64 = self.bouts.iter().map(|b| u64::from(b.lag.max(b.length)) + change + u64::from(self.step)).sum();
        let from = self.athletes.iter().map(|a| a.ready).chain(self.bars.iter().map(|b| b.free_from)).chain([self.now]);
        if work + u64::from(from.max().unwrap_or(0)) < LAST_SECOND {
            Ok(())
        } else {
            Err(Declined::from("The work is longer than any class: look at the durations and rests."))
        }
    }
}

/// A run of positions.
pub(crate) fn span(first: u32, count: u32) -> std::ops::Range<usize> {
    first as usize..first as usize + count as usize
}

fn bouts(question: &Question) -> Vec<Bout> {
    let mut bouts: Vec<Bout> = Vec::with_capacity(question.bouts.len());
    for (at, it) in question.bouts.iter().enumerate() {
        let last = question.bouts.get(at + 1).is_none_or(|next| next.athlete != it.athlete);
        bouts.push(Bout {
            athlete: it.athlete as usize,
            stage: it.stage as usize,
            length: it.duration_s,
            lag: if last { 0 } else { it.duration_s.saturating_add(it.rest_least_s) },
            lag_most: (!last && it.rest_most_s != NONE).then(|| it.duration_s.saturating_add(it.rest_most_s)),
            bar: (it.loading != NONE).then_some(BarNeed { kind: it.bar_type as usize, loading: it.loading as usize }),
            uses: if it.watch > 0 { vec![(0, it.watch)] } else { Vec::new() },
            done: None,
            bar_before: None,
        });
    }
    for claim in question.claims.iter().filter(|c| c.count > 0) {
        bouts[claim.bout as usize].uses.push((1 + claim.kit as usize, claim.count));
    }
    bouts
}

fn things(question: &Question) -> Vec<Thing> {
    let kit = question.stock.iter().map(|row| row.count);
    let mut things: Vec<Thing> =
        [question.coach_span].into_iter().chain(kit).map(|there| Thing { there, taken: Profile::new() }).collect();
    for taken in question.taken.iter().filter(|t| t.kit != NONE) {
        things[1 + taken.kit as usize].taken.add(taken.from_s, taken.to_s, taken.count);
    }
    things
}

fn plates(question: &Question) -> Vec<Thing> {
    let mut plates: Vec<Thing> =
        question.plate_stock.iter().map(|row| Thing { there: row.pairs, taken: Profile::new() }).collect();
    for taken in question.taken.iter().filter(|t| t.plate != NONE) {
        plates[taken.plate as usize].taken.add(taken.from_s, taken.to_s, taken.count);
    }
    plates
}

/// Each size on a sleeve with how many of it.
pub(crate) fn counted(plates: &[u32]) -> Vec<(usize, u32)> {
    let mut counts: Vec<(usize, u32)> = Vec::new();
    for &plate in plates {
        match counts.iter_mut().find(|c| c.0 == plate as usize) {
            Some(count) => count.1 += 1,
            None => counts.push((plate as usize, 1)),
        }
    }
    counts
}

/// Pairs moved between any two loadings: all but the common inner ones.
fn moves(loadings: &[&[u32]]) -> Vec<u16> {
    let mut moves = Vec::with_capacity(loadings.len() * loadings.len());
    for from in loadings {
        for to in loadings {
            let common = from.iter().zip(*to).take_while(|(a, b)| a == b).count();
            moves.push((from.len() + to.len() - 2 * common) as u16);
        }
    }
    moves
}
