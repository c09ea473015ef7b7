//! Plans that were right, damaged at random. Each stays one that both checkers can read.

use classwright_training::floor::{Floor, Layout};
use proptest::prelude::*;

/// One thing that is changed; numbers are taken modulo what there is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Damage {
    /// A start is earlier or later.
    Start { heat: usize, stage: usize, by_s: i64 },
    /// All starts of a heat are.
    Heat { heat: usize, by_s: i64 },
    /// An athlete is in another heat.
    Athlete { athlete: usize, heat: usize },
    /// A bout has another bar, or none.
    Bar { bout: usize, bar: usize },
    /// Two bouts change their bars.
    Swap { bout: usize, other: usize },
}

pub(crate) fn damage() -> impl Strategy<Value = Damage> {
    let small = || prop_oneof![-3..4i64, -60..61i64];
    let any = 0..64usize;
    prop_oneof![
        (any.clone(), any.clone(), small()).prop_map(|(heat, stage, by_s)| Damage::Start { heat, stage, by_s }),
        (any.clone(), small()).prop_map(|(heat, by_s)| Damage::Heat { heat, by_s }),
        (any.clone(), any.clone()).prop_map(|(athlete, heat)| Damage::Athlete { athlete, heat }),
        (any.clone(), any.clone()).prop_map(|(bout, bar)| Damage::Bar { bout, bar }),
        (any.clone(), any).prop_map(|(bout, other)| Damage::Swap { bout, other }),
    ]
}

impl Damage {
    /// Whether anything changed is for the checkers to see.
    pub(crate) fn put(self, floor: &Floor, plan: &mut Layout) {
        let (heats, bouts) = (plan.starts.len(), floor.bouts.len());
        let moved = |start: u32, by_s: i64| (i64::from(start) + by_s).max(0) as u32;
        match self {
            Damage::Start { heat, stage, by_s } => {
                let start = &mut plan.starts[heat % heats][stage % floor.stage_count as usize];
                *start = start.map(|start| moved(start, by_s));
            }
            Damage::Heat { heat, by_s } => {
                plan.starts[heat % heats].iter_mut().flatten().for_each(|start| *start = moved(*start, by_s));
            }
            Damage::Athlete { athlete, heat } => {
                let athlete = athlete % floor.athletes.len();
                plan.heat_of[athlete] = (heat % heats) as u32;
            }
            Damage::Bar { bout, bar } => {
                let bars = floor.bars.len();
                plan.bar_of[bout % bouts] = (bar % (bars + 1) < bars).then_some((bar % (bars + 1)) as u32);
            }
            Damage::Swap { bout, other } => plan.bar_of.swap(bout % bouts, other % bouts),
        }
        without_idle_starts(floor, plan);
    }
}

/// The contract knows no start at which nobody works; the statement's form cannot say that there is none.
fn without_idle_starts(floor: &Floor, plan: &mut Layout) {
    for (heat, row) in (0..).zip(&mut plan.starts) {
        for (stage, start) in (0..).zip(row) {
            let works = |bout: &classwright_training::floor::Bout| {
                bout.stage == stage && plan.heat_of[bout.athlete as usize] == heat
            };
            if !floor.bouts.iter().any(works) {
                *start = None;
            }
        }
    }
}
