//! From the question to the model.
//!
//! Refuses a question that no plan can answer, with a sentence for the coach.

use classwright_sdk::heats::{Layout, Question};
use classwright_sdk::{Declined, NONE};

use crate::causes;
use crate::model::{Athlete, Bar, BarNeed, Bout, Model, Thing, Unit};
use crate::profile::Profile;
use crate::seats::MOST_BARS;

/// No second of a plan may be later than this; far beyond any class, far below where sums overflow.
pub(crate) const LAST_SECOND: u32 = 1 << 30;

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
            limited_rests: false,
            any_bars: false,
            place_of: Vec::new(),
            any_taken: false,
            loadings: loadings.iter().map(|l| l.to_vec()).collect(),
            width: 0,
            there: Vec::new(),
            demand: Vec::new(),
            ordered: Vec::new(),
            set_ups: Vec::new(),
            setup_fixed: question.setup_fixed_s,
            setup_pair: question.setup_pair_s,
        };
        for (bar, it) in model.bars.iter().enumerate() {
            if model.bars_of[it.kind].len() < MOST_BARS {
                model.bars_of[it.kind].push(bar);
            }
        }
        let moves = moves(&loadings);
        let most = moves.iter().copied().max().unwrap_or(0);
        let length = |moves| {
            if moves == 0 { 0 } else { model.setup_fixed + moves * model.setup_pair }
        };
        model.changes = (0..=u32::from(most)).map(length).collect();
        model.scarce = (0..model.plates.len()).map(|size| model.can_run_short(size)).collect();
        model.set_ups = moves.iter().map(|m| (length(u32::from(*m)), u32::from(*m))).collect();
        model.gather(question)?;
        model.look_ahead()?;
        model.count_demand();
        Ok(model)
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
        self.open_twins();
        Ok(())
    }

    /// Whoever has begun in a heat may go on in a new one that has begun at the same seconds: as many more numbers for
    /// each row of seconds at which heats have begun as there may be new heats.
    fn open_twins(&mut self) {
        let has_begun = |heat: &usize| self.done[*heat].iter().any(Option::is_some);
        let mut begun: Vec<usize> = (0..self.slots).filter(has_begun).collect();
        let new = self.most_heats.saturating_sub(begun.len());
        begun.sort_by_key(|heat| self.done[*heat].clone());
        begun.dedup_by_key(|heat| self.done[*heat].clone());
        for heat in begun.into_iter().flat_map(|heat| std::iter::repeat_n(heat, new)) {
            self.done.push(self.done[heat].clone());
            self.starts_before.push(self.starts_before[heat].clone());
            self.slots += 1;
        }
    }

    fn remember(&mut self, present: &Layout) -> Result<(), Declined> {
        self.done = vec![vec![None; self.stages]; self.slots];
        self.starts_before = self.done.clone();
        for (athlete, &heat) in present.heat_of.iter().enumerate().filter(|(_, heat)| **heat < present.heat_count) {
            self.units[self.unit_of[athlete]].before = Some(heat as usize);
        }
        for bout in 0..self.bouts.len() {
            let (athlete, stage) = (self.bouts[bout].athlete, self.bouts[bout].stage);
            let heat = present.heat_of[athlete] as usize;
            if heat >= present.heat_count as usize {
                continue;
            }
            let unit = &mut self.units[self.unit_of[athlete]];
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
            + u64::from(self.set_ups.iter().map(|set_up| set_up.1).max().unwrap_or(0)) * u64::from(self.setup_pair);
        let work: u64 = self.bouts.iter().map(|b| u64::from(b.lag.max(b.length)) + change + u64::from(self.step)).sum();
        let from = self.athletes.iter().map(|a| a.ready).chain(self.bars.iter().map(|b| b.free_from)).chain([self.now]);
        if work + u64::from(from.max().unwrap_or(0)) < u64::from(LAST_SECOND) {
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
            scarce_uses: Vec::new(),
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
