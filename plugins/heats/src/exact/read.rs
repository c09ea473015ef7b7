//! What an exact search asks of a floor, and which floors suit it.

use crate::exact::state::{MOST_BARS, MOST_KINDS, MOST_OF_KIND, MOST_UNITS};
use crate::loadings::ways;
use crate::model::{Athlete, Bout, Model};

/// A use of a bar.
#[derive(Clone, Copy, Debug)]
pub(super) struct Use {
    pub(super) unit: usize,
    pub(super) stage: usize,
    pub(super) length: u32,
    pub(super) loading: usize,
    /// Seconds that its athlete still needs after it.
    pub(super) after: u32,
}

/// Whether a floor is small and plain enough to be looked at as a whole.
pub(crate) fn suits(model: &Model) -> bool {
    let every_stage = |athlete: &Athlete| athlete.bouts.len() == model.stages;
    model.now == 0
        && !model.replan
        && model.units.len() <= MOST_UNITS
        && model.stages <= 16
        && model.bars.len() <= MOST_BARS
        && model.bars_of.len() <= MOST_KINDS
        && model.bars_of.iter().all(|bars| bars.len() <= MOST_OF_KIND)
        && model.loadings.len() <= 256
        && model.athletes.iter().all(every_stage)
        && ways(model).is_some()
}

/// Whether a plan that keeps what an exact search looks at keeps every rule.
pub(crate) fn is_whole(model: &Model) -> bool {
    !model.limited_rests && !model.any_taken && !model.scarce.contains(&true)
}

/// Uses of bars by kind, and how long each unit needs at least.
pub(super) fn uses(model: &Model) -> (Vec<Vec<Use>>, Vec<u32>) {
    let mut uses = vec![Vec::new(); model.bars_of.len()];
    let mut unit_tail = vec![0; model.units.len()];
    for (unit, it) in model.units.iter().enumerate() {
        for &athlete in &it.athletes {
            let mut after = 0;
            let bouts = model.athletes[athlete].bouts.clone();
            for at in bouts.clone().rev() {
                let bout = &model.bouts[at];
                if at + 1 < bouts.end {
                    after += bout.lag - bout.length;
                }
                if let Some(need) = bout.bar {
                    let (stage, length, loading) = (bout.stage, bout.length, need.loading);
                    uses[need.kind].push(Use { unit, stage, length, loading, after });
                }
                after += bout.length;
            }
            unit_tail[unit] = unit_tail[unit].max(after);
        }
    }
    uses.iter_mut().for_each(|uses| uses.sort_by_key(|used| std::cmp::Reverse(used.after)));
    (uses, unit_tail)
}

/// Whether two units of one athlete each do the same.
pub(super) fn alike(model: &Model, one: usize, other: usize) -> bool {
    let ([a], [b]) = (&model.units[one].athletes[..], &model.units[other].athletes[..]) else { return false };
    let (a, b) = (&model.athletes[*a], &model.athletes[*b]);
    let same = |(a, b): (usize, usize)| {
        let (a, b) = (&model.bouts[a], &model.bouts[b]);
        let bar = |bout: &Bout| bout.bar.map(|need| (need.kind, need.loading));
        (a.stage, a.length, a.lag, &a.uses, bar(a)) == (b.stage, b.length, b.lag, &b.uses, bar(b))
    };
    a.ready == b.ready && a.bouts.len() == b.bouts.len() && a.bouts.clone().zip(b.bouts.clone()).all(same)
}
