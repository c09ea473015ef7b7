//! All plans there are of a small floor on which every start is a multiple of a step: what a re-plan is held against.

use classwright_planning::floor::check;
use classwright_training::floor::{Bout, Floor, Layout};

use super::happened::in_service;
use super::quality_tests::STEP;
use crate::document::{NamedFloor, OUT_OF_SERVICE_S};

/// All plans there are of a floor, with the present one in it, that end by some second.
pub(super) struct Everything<'a> {
    floor: &'a Floor,
    present: &'a Layout,
    limit: u32,
}

impl<'a> Everything<'a> {
    pub(super) fn new(now: &'a NamedFloor, limit: u32) -> Self {
        let present = now.floor.present.as_ref().expect("a present plan");
        Everything { floor: &now.floor, present, limit }
    }

    fn started(&self, bout: usize) -> bool {
        let it = &self.floor.bouts[bout];
        self.present.starts[self.present.heat_of[it.athlete as usize] as usize][it.stage as usize]
            .is_some_and(|start| start < self.floor.now_s)
    }

    /// Whether there is one with at most so many people moved.
    pub(super) fn with(&self, people: usize) -> bool {
        let athletes = self.floor.athletes.len();
        // Whoever has a bar that is gone has to move.
        (0..1u32 << athletes).filter(|set| set.count_ones() as usize == people.min(athletes)).any(|set| {
            let (free, fixed): (Vec<usize>, Vec<usize>) = (0..athletes).partition(|at| set >> at & 1 == 1);
            if fixed.into_iter().any(|at| self.to_come(at).into_iter().any(|bout| self.bar_is_gone(bout))) {
                return false;
            }
            let mut layout = Layout { starts: Vec::new(), ..self.present.clone() };
            self.heats(&free, &mut layout)
        })
    }

    /// Every heat for each of those who may move; heats have no gaps.
    fn heats(&self, free: &[usize], layout: &mut Layout) -> bool {
        match free.split_first() {
            None => {
                let all: Vec<usize> =
                    (0..self.floor.bouts.len()).filter(|bout| self.may_change(layout, *bout)).collect();
                let most = layout.heat_of.iter().max().map_or(0, |most| most + 1);
                let gap = (0..most).any(|heat| !layout.heat_of.contains(&heat));
                // Where even without bars there are no starts, no choice of bars has any.
                !gap && most <= self.floor.max_heats && self.timed(layout, false) && self.bars(&all, layout)
            }
            Some((first, others)) => {
                let was = layout.heat_of[*first];
                // Of heats that nobody is in one is as good as another.
                let used = |heat: u32| {
                    (0..layout.heat_of.len())
                        .any(|at| at != *first && !others.contains(&at) && layout.heat_of[at] == heat)
                };
                let new = (0..self.floor.max_heats).find(|heat| !used(*heat));
                let may =
                    |heat: &u32| Some(*heat) == new || used(*heat) && self.same_past(*first, *heat, others, layout);
                for heat in (0..self.floor.max_heats).filter(may).collect::<Vec<_>>() {
                    layout.heat_of[*first] = heat;
                    for bout in self.to_come(*first) {
                        layout.bar_of[bout] = None;
                    }
                    if self.heats(others, layout) {
                        return true;
                    }
                }
                layout.heat_of[*first] = was;
                for bout in self.to_come(*first) {
                    layout.bar_of[bout] = self.present.bar_of[bout];
                }
                false
            }
        }
    }

    /// Whether somebody has started what all have who are in the heat so far, at the same seconds, and nothing else.
    fn same_past(&self, athlete: usize, heat: u32, open: &[usize], layout: &Layout) -> bool {
        let past = |athlete: usize, stage: u32| {
            let it = self.floor.athletes[athlete];
            let own = |bout: &u32| self.floor.bouts[*bout as usize].stage == stage;
            let bout = (it.first_bout..it.first_bout + it.bout_count).find(own)? as usize;
            let start = self.present.starts[self.present.heat_of[athlete] as usize][stage as usize];
            Some(start.filter(|_| self.started(bout)))
        };
        let there = (0..layout.heat_of.len()).filter(|other| *other != athlete && !open.contains(other));
        let mut members = there.filter(|other| layout.heat_of[*other] == heat);
        members.all(|other| {
            (0..self.floor.stage_count).all(|stage| match (past(athlete, stage), past(other, stage)) {
                (Some(mine), Some(theirs)) => mine == theirs,
                _ => true,
            })
        })
    }

    fn to_come(&self, athlete: usize) -> Vec<usize> {
        let it = self.floor.athletes[athlete];
        (it.first_bout..it.first_bout + it.bout_count).map(|b| b as usize).filter(|b| !self.started(*b)).collect()
    }

    fn bar_is_gone(&self, bout: usize) -> bool {
        let bar = self.present.bar_of[bout];
        bar.is_some_and(|bar| self.floor.bars[bar as usize].free_from_s >= OUT_OF_SERVICE_S)
    }

    fn may_change(&self, layout: &Layout, bout: usize) -> bool {
        self.floor.bouts[bout].bar.is_some() && layout.bar_of[bout].is_none()
    }

    fn bars(&self, bouts: &[usize], layout: &mut Layout) -> bool {
        let Some((first, others)) = bouts.split_first() else {
            return self.timed(layout, true);
        };
        let (kind, _) = self.floor.bouts[*first].bar.expect("a bout with a bar");
        for bar in in_service(self.floor, kind) {
            layout.bar_of[*first] = Some(bar as u32);
            if self.bars(others, layout) {
                return true;
            }
        }
        layout.bar_of[*first] = None;
        false
    }

    /// Whether there are starts; where not `whole`, whoever has no bar yet needs none.
    fn timed(&self, layout: &mut Layout, whole: bool) -> bool {
        let stages = self.floor.stage_count as usize;
        let heats = layout.heat_of.iter().max().map_or(0, |most| *most as usize + 1);
        layout.starts = vec![vec![None; stages]; heats];
        let mut cells = Vec::new();
        for (bout, it) in self.floor.bouts.iter().enumerate() {
            let (heat, stage) = (layout.heat_of[it.athlete as usize] as usize, it.stage as usize);
            if self.started(bout) {
                let present = self.present.heat_of[it.athlete as usize] as usize;
                layout.starts[heat][stage] = self.present.starts[present][stage];
            } else {
                cells.push((heat, stage));
            }
        }
        cells.sort_unstable();
        cells.dedup();
        // Somebody who comes new into a heat that has begun would have to have begun with it.
        if cells.iter().any(|(heat, stage)| layout.starts[*heat][*stage].is_some()) {
            return false;
        }
        self.starts(&cells, layout, whole)
    }

    /// Every start on the step for each heat and stage.
    fn starts(&self, cells: &[(usize, usize)], layout: &mut Layout, whole: bool) -> bool {
        let Some((&(heat, stage), others)) = cells.split_first() else {
            return !whole || check(self.floor, layout).is_empty();
        };
        let members = |bout: &&Bout| layout.heat_of[bout.athlete as usize] as usize == heat;
        let of = |stage: usize| self.floor.bouts.iter().filter(members).filter(move |b| b.stage as usize == stage);
        let (mut from, mut to) = (self.floor.now_s, self.limit);
        for bout in of(stage) {
            from = from.max(self.floor.athletes[bout.athlete as usize].ready_s);
            to = to.min(self.limit.saturating_sub(bout.duration_s));
            let before = self.floor.bouts.iter().rfind(|b| b.athlete == bout.athlete && b.stage < bout.stage);
            let Some(before) = before else { continue };
            let Some(start) = layout.starts[heat][before.stage as usize] else { return false };
            let end = start + before.duration_s;
            from = from.max(end + before.rest_least_s);
            to = to.min(before.rest_most_s.map_or(u32::MAX, |most| end + most));
        }
        let first = from.div_ceil(STEP) * STEP;
        for start in (first..=to).step_by(STEP as usize) {
            layout.starts[heat][stage] = Some(start);
            if self.bearable(heat, stage, layout) && self.starts(others, layout, whole) {
                return true;
            }
        }
        layout.starts[heat][stage] = None;
        false
    }

    /// Whether what is placed so far leaves this start possible: bars one by one, the coach and the kit.
    fn bearable(&self, heat: usize, stage: usize, layout: &Layout) -> bool {
        let start = |bout: &Bout| layout.starts[layout.heat_of[bout.athlete as usize] as usize][bout.stage as usize];
        let placed: Vec<(usize, &Bout, u32)> =
            self.floor.bouts.iter().enumerate().filter_map(|(at, bout)| Some((at, bout, start(bout)?))).collect();
        let new = placed.iter().filter(|(_, bout, _)| {
            bout.stage as usize == stage && layout.heat_of[bout.athlete as usize] as usize == heat
        });
        for &(at, bout, from) in new {
            let overlaps = |other: &Bout, start: u32| start < from + bout.duration_s && from < start + other.duration_s;
            for &(other_at, other, start) in placed.iter().filter(|(other_at, ..)| *other_at != at) {
                if layout.bar_of[at].is_some() && layout.bar_of[at] == layout.bar_of[other_at] && overlaps(other, start)
                {
                    return false;
                }
            }
            for second in (from..from + bout.duration_s).step_by(STEP as usize) {
                let now = placed.iter().filter(|(_, b, start)| *start <= second && second < *start + b.duration_s);
                let (mut watch, mut claimed) = (0, 0);
                for (_, bout, _) in now {
                    watch += bout.watch;
                    claimed += bout.claims.iter().map(|claim| claim.1).sum::<u32>();
                }
                if watch > self.floor.coach_span || claimed > self.floor.stock[0].count {
                    return false;
                }
            }
        }
        true
    }
}
