//! Bars where plates can run short: what stays on them counts too.

use crate::crew::BarBout;
use crate::model::{Model, NEVER};
use crate::profile::Profile;
use crate::read::LAST_SECOND;
use crate::seats::{Seats, ready};

impl Seats {
    /// Bars bout by bout where plates can run short: all of them at that second, or the next second worth a try.
    pub(crate) fn one_by_one(
        &mut self,
        model: &Model,
        bars: &[(u32, u32)],
        plates: &[Profile],
        wanted: &[BarBout],
        second: u32,
    ) -> Result<(), u32> {
        self.chosen.clear();
        self.plates.resize(plates.len(), Profile::new());
        self.plates.iter_mut().zip(plates).for_each(|(mine, its)| mine.reset(its));
        let mut later = NEVER;
        for want in wanted {
            let mut best: Option<(u32, u32, usize)> = None;
            for &bar in &model.bars_of[want.kind as usize] {
                self.looks += 2;
                let (ready, moved) = ready(model, bars, bar, want);
                if self.chosen.contains(&(bar as u32)) || ready > second {
                    later = later.min(if ready > second { ready } else { NEVER });
                    continue;
                }
                if holds(model, bars[bar], want, second).iter().all(|hold| self.enough(model, hold)) {
                    let free = bars[bar].0;
                    let other = model.replan && model.bouts[want.bout as usize].bar_before != Some(bar);
                    let moves = moved + 1000 * u32::from(other);
                    let key = (moves, second.saturating_sub(free), bar);
                    best = best.into_iter().chain([key]).min();
                }
            }
            let Some((_, _, bar)) = best else {
                return Err(later.min(next_step(model, plates, second)));
            };
            for hold in holds(model, bars[bar], want, second) {
                for &(size, pairs) in model.plates_on[hold.loading].iter().filter(|p| model.scarce[p.0]) {
                    self.plates[size].add(hold.from, hold.to, pairs);
                }
            }
            self.chosen.push(bar as u32);
        }
        Ok(())
    }

    fn enough(&self, model: &Model, hold: &Hold) -> bool {
        let from = hold.from.max(model.now);
        model.plates_on[hold.loading].iter().filter(|p| model.scarce[p.0]).all(|&(size, pairs)| {
            from >= hold.to || self.plates[size].most(from, hold.to) + pairs <= model.plates[size].there
        })
    }
}

/// Plates that stay on a bar.
struct Hold {
    loading: usize,
    from: u32,
    to: u32,
}

/// What a use makes a bar hold: what was on it until its change begins, and then its own.
fn holds(model: &Model, (free, on): (u32, u32), want: &BarBout, second: u32) -> [Hold; 2] {
    let (on, loading) = (on as usize, want.loading as usize);
    let change = second - model.setup(on, loading);
    [Hold { loading: on, from: free, to: change }, Hold { loading, from: change, to: second + want.length }]
}

/// The next second at which plates in use change, as a change of some length would see it.
fn next_step(model: &Model, plates: &[Profile], second: u32) -> u32 {
    let mut soonest = NEVER;
    for plate in plates.iter().enumerate().filter(|(size, _)| model.scarce[*size]).map(|p| p.1) {
        for &change in &model.changes {
            let step = plate.next_step(second.saturating_sub(change)).filter(|step| *step < LAST_SECOND);
            soonest = soonest.min(step.map_or(NEVER, |step| step + change).max(second + 1));
        }
    }
    soonest
}
