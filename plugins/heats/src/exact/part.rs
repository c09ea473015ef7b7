//! A part of a floor, looked at by itself at every step of the whole: those who need one kind of bar.

use crate::exact::state::{HeatState, State};
use crate::exact::{Exact, Start, Target};

/// Steps of one look. A part that is not settled by then is taken to have hope.
const STEPS: u64 = 3_000;

#[derive(Debug)]
pub(crate) struct Part<'m> {
    exact: Exact<'m>,
    /// Its unit for each unit of the whole.
    place: Vec<Option<usize>>,
}

impl<'m> Exact<'m> {
    /// Looks at a part at every step; `place` gives its unit for each unit of the whole.
    pub(crate) fn watch(&mut self, mut exact: Exact<'m>, place: Vec<Option<usize>>, target: Target) {
        exact.target = target;
        exact.memory.forget(target.moves != u32::MAX);
        self.parts.push(Part { exact, place });
    }
}

impl Part<'_> {
    pub(super) fn join(&mut self, unit: usize, heat: usize) {
        if let Some(own) = self.place[unit] {
            let joined = self.exact.crews.join(self.exact.model, own, heat);
            debug_assert!(joined, "what fits in the whole fits in a part");
        }
    }

    pub(super) fn leave(&mut self, unit: usize) {
        if let Some(own) = self.place[unit] {
            self.exact.crews.leave(self.exact.model, own);
        }
    }

    pub(super) fn build(&mut self, heat: usize) {
        self.exact.crews.build(self.exact.model, heat);
    }

    /// Whether this part cannot come to an end that keeps to its target from a state of the whole.
    pub(super) fn hopeless(&mut self, state: &State, starts: &[Start], work: &mut u64) -> bool {
        let exact = &mut self.exact;
        let mine = seen_from(exact, state, &self.place);
        let before = exact.work;
        let sign = exact.memory.sign(exact.model, &exact.crews, &mine);
        if exact.memory.failed(&sign, work) {
            return true;
        }
        if exact.memory.fine(&sign) {
            return false;
        }
        let (finish, moves) = exact.bounds(&mine);
        let mut fails = finish > exact.target.finish || moves > exact.target.moves;
        if !fails {
            exact.starts.clear();
            exact.starts.extend(starts.iter().filter(|start| !exact.crews.members[start.heat].is_empty()));
            exact.until = exact.work + STEPS;
            exact.found = None;
            exact.branch(&mine);
            fails = !exact.over();
            exact.found = None;
        }
        if fails {
            exact.memory.note(&sign);
        } else {
            exact.memory.note_fine(&sign);
        }
        *work += exact.work - before;
        fails
    }
}

/// The state of the whole as far as it concerns a part.
fn seen_from(exact: &Exact<'_>, state: &State, place: &[Option<usize>]) -> State {
    let mut mine = *state;
    mine.waiting = 0;
    for (unit, own) in place.iter().enumerate() {
        if let Some(own) = own
            && state.waiting >> unit & 1 == 1
        {
            mine.waiting |= 1 << own;
        }
    }
    for (kind, _) in exact.uses.iter().enumerate().filter(|(_, uses)| uses.is_empty()) {
        mine.moves[kind] = 0;
        exact.model.bars_of[kind].iter().for_each(|bar| mine.bars[*bar] = (0, 0));
    }
    for (heat, it) in mine.heats[..mine.heat_count].iter_mut().enumerate() {
        if exact.crews.members[heat].is_empty() {
            *it = HeatState { started: exact.model.stages as u8, last: 0 };
        }
    }
    mine
}
