//! Where a class stands at a start, and what can still come of it.

use crate::bounds::filled;
use crate::crew::BarBout;
use crate::exact::Exact;
use crate::loadings::StepCount;
use crate::model::Model;

pub(super) const MOST_UNITS: usize = 16;
pub(super) const MOST_BARS: usize = 16;
pub(super) const MOST_KINDS: usize = 4;
pub(super) const MOST_OF_KIND: usize = 8;

/// How far a heat is.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct HeatState {
    /// Stages that have started.
    pub(super) started: u8,
    /// When the last of them did.
    pub(super) last: u32,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub(super) now: u32,
    /// When each bar is free, and its loading.
    pub(super) bars: [(u32, u32); MOST_BARS],
    /// Pairs moved so far on bars of each kind.
    pub(super) moves: [u32; MOST_KINDS],
    pub(super) heats: [HeatState; MOST_UNITS],
    pub(super) heat_count: usize,
    /// Units that are in no heat yet, a bit each.
    pub(super) waiting: u32,
}

impl State {
    pub(super) fn begin(model: &Model) -> Self {
        let mut bars = [(0, 0); MOST_BARS];
        for (bar, it) in bars.iter_mut().zip(&model.bars) {
            *bar = (it.free_from, it.loading as u32);
        }
        State {
            now: 0,
            bars,
            moves: [0; MOST_KINDS],
            heats: [HeatState::default(); MOST_UNITS],
            heat_count: 0,
            waiting: (1u32 << model.units.len()) - 1,
        }
    }

    pub(super) fn heats(&self) -> &[HeatState] {
        &self.heats[..self.heat_count]
    }

    /// With one more heat, of these units.
    pub(super) fn with_heat(&self, members: &[u32]) -> Self {
        let mut next = *self;
        next.waiting = members.iter().fold(next.waiting, |waiting, unit| waiting & !(1 << unit));
        next.heats[next.heat_count] = HeatState::default();
        next.heat_count += 1;
        next
    }

    /// After a heat's next start, with these bars.
    pub(super) fn after(&self, model: &Model, heat: usize, second: u32, bouts: &[BarBout], bars: &[usize]) -> Self {
        let mut next = *self;
        next.now = second;
        next.heats[heat] = HeatState { started: self.heats[heat].started + 1, last: second };
        for (want, &bar) in bouts.iter().zip(bars) {
            let on = next.bars[bar].1 as usize;
            next.moves[want.kind as usize] += model.moves(on, want.loading as usize);
            next.bars[bar] = (second + want.length, want.loading);
        }
        next
    }
}

impl Exact<'_> {
    /// The earliest end and the fewest plates moved that can come of a state.
    pub(super) fn bounds(&mut self, state: &State) -> (u32, u32) {
        let model = self.model;
        self.work += 1;
        let mut finish = 0;
        for (heat, it) in state.heats().iter().enumerate() {
            let cells = &self.crews.nodes[heat * model.stages..][..model.stages];
            if let Some(node) = cells.get(it.started as usize) {
                let rest = node.rests.first().map_or(0, |rest| it.last + rest.1);
                finish = finish.max(state.now.max(rest).max(node.ready) + node.tail);
            }
        }
        for (unit, tail) in self.unit_tail.iter().enumerate() {
            if state.waiting >> unit & 1 == 1 {
                finish = finish.max(state.now + tail);
            }
        }
        let mut moves = 0;
        for kind in 0..self.uses.len() {
            let (end, least) = self.bar_bounds(state, kind);
            finish = finish.max(end);
            moves += (state.moves[kind] + least).max(self.least_moves[kind]);
        }
        (finish, moves)
    }

    /// The bars of a kind have to find time for all that is to come and for the changes that it makes necessary.
    fn bar_bounds(&self, state: &State, kind: usize) -> (u32, u32) {
        let model = self.model;
        let there = &model.bars_of[kind];
        let mut free = [0u32; MOST_OF_KIND];
        let free = &mut free[..there.len()];
        let mut seen = [0u64; 4];
        let mut covered = 0;
        for (free, &bar) in free.iter_mut().zip(there) {
            let (from, on) = state.bars[bar];
            *free = from;
            covered |= self.ways[on as usize];
            seen[on as usize / 64] |= 1 << (on % 64);
        }
        free.sort_unstable();
        let mut steps = StepCount::new(covered, there.len());
        let (mut work, mut changes, mut finish) = (0, 0, 0);
        for used in &self.uses[kind] {
            let waits = state.waiting >> used.unit & 1 == 1;
            if !waits && state.heats[self.crews.heat_of[used.unit]].started as usize > used.stage {
                continue;
            }
            work += u64::from(used.length);
            let (word, bit) = (used.loading / 64, 1 << (used.loading % 64));
            if seen[word] & bit == 0 {
                seen[word] |= bit;
                changes += 1;
                steps.add(self.ways[used.loading]);
            }
            let setups = model.setup_seconds(changes, steps.moves().max(changes));
            finish = finish.max(filled(free, work + u64::from(setups)) as u32 + used.after);
        }
        (finish, steps.moves().max(changes))
    }
}
