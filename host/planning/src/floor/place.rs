//! Putting one heat on a floor that is partly planned: the earliest starts that break nothing, stage by stage.
//!
//! Bars are taken at the end of their day only, the one with the fewest changes first. Where a rest would be too long,
//! the stage before it is put later and the heat is placed anew.

use std::collections::BTreeMap;

use classwright_training::floor::{Floor, FloorBar, Layout};

use super::bars::{bar_uses, frozen, start_s};
use super::causes::bouts_of;
use super::check::{crowd, plates};

/// How often a heat is placed anew, and how many seconds are tried for one start, before it is given up.
const TRIES: usize = 400;

/// A heat to be placed.
pub(super) struct Heat<'a> {
    pub(super) number: usize,
    pub(super) members: &'a [u32],
    /// Nothing new of it starts earlier.
    pub(super) from: u32,
}

/// Puts the heat into the layout, or leaves it as it was.
pub(super) fn place(floor: &Floor, layout: &mut Layout, heat: &Heat<'_>) -> bool {
    let mut stages: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for athlete in heat.members {
        let first = floor.athletes[*athlete as usize].first_bout as usize;
        for (at, bout) in bouts_of(floor, *athlete).iter().enumerate() {
            stages.entry(bout.stage).or_default().push(first + at);
        }
    }
    let before = layout.clone();
    let mut later: BTreeMap<u32, u32> = BTreeMap::new();
    for _ in 0..TRIES {
        match attempt(floor, layout, heat, &stages, &later) {
            Attempt::Placed => return true,
            Attempt::Later(stage, second) => {
                later.insert(stage, second);
            }
            Attempt::Never => break,
        }
        layout.clone_from(&before);
    }
    layout.clone_from(&before);
    false
}

enum Attempt {
    Placed,
    /// A stage has to start no earlier than this.
    Later(u32, u32),
    Never,
}

fn attempt(
    floor: &Floor,
    layout: &mut Layout,
    heat: &Heat<'_>,
    stages: &BTreeMap<u32, Vec<usize>>,
    later: &BTreeMap<u32, u32>,
) -> Attempt {
    for (stage, bouts) in stages {
        if layout.starts[heat.number][*stage as usize].is_some() {
            continue;
        }
        let mut low = heat.from.max(floor.now_s).max(later.get(stage).copied().unwrap_or(0));
        let mut high: Option<(u32, usize)> = None;
        for &bout in bouts {
            let athlete = &floor.athletes[floor.bouts[bout].athlete as usize];
            low = low.max(athlete.ready_s);
            if bout as u32 == athlete.first_bout {
                continue;
            }
            let before = &floor.bouts[bout - 1];
            let Some(start) = start_s(floor, layout, bout - 1) else {
                return Attempt::Never;
            };
            let end = start.saturating_add(before.duration_s);
            low = low.max(end.saturating_add(before.rest_least_s));
            if let Some(most) = before.rest_most_s {
                let last = end.saturating_add(most);
                high = Some(high.map_or((last, bout - 1), |h| h.min((last, bout - 1))));
            }
        }
        let Some(start) = earliest(floor, layout, heat.number, *stage, bouts, low) else {
            return Attempt::Never;
        };
        if let Some((last, before)) = high
            && start > last
        {
            if frozen(floor, before).is_some() {
                return Attempt::Never;
            }
            let was = start_s(floor, layout, before).expect("its rest was counted from it");
            return Attempt::Later(floor.bouts[before].stage, was.saturating_add(start - last));
        }
    }
    Attempt::Placed
}

/// The first second from `low` on at which these bouts can start; they are left in the layout.
fn earliest(floor: &Floor, layout: &mut Layout, heat: usize, stage: u32, bouts: &[usize], low: u32) -> Option<u32> {
    let step = floor.start_step_s.max(1);
    let mut second = low.checked_next_multiple_of(step)?;
    for _ in 0..TRIES {
        let next = match bars_at(floor, layout, bouts, second)? {
            Some(free) => free,
            None => {
                layout.starts[heat][stage as usize] = Some(second);
                let mut faults = Vec::new();
                crowd(floor, layout, &mut faults);
                plates(floor, layout, &mut faults);
                if faults.is_empty() {
                    return Some(second);
                }
                layout.starts[heat][stage as usize] = None;
                next_event(floor, layout, second)?
            }
        };
        for &bout in bouts {
            layout.bar_of[bout] = None;
        }
        second = next.checked_next_multiple_of(step)?;
    }
    None
}

/// Gives each bout a bar that is ready by `second`. `Some(Some(later))` where one has to wait until then, `None` where
/// there is no bar at all.
fn bars_at(floor: &Floor, layout: &mut Layout, bouts: &[usize], second: u32) -> Option<Option<u32>> {
    let bars = stands(floor, layout);
    let mut used = vec![false; bars.len()];
    let mut wait = None;
    let mut open: Vec<usize> = bouts.iter().copied().filter(|b| floor.bouts[*b].bar.is_some()).collect();
    // Bouts that find their loading on a bar go first, so that nobody else takes it off.
    for settled_only in [true, false] {
        for bout in std::mem::take(&mut open) {
            let (kind, loading) = floor.bouts[bout].bar.expect("only those with a bar are open");
            let ready = |bar: usize| bars[bar].free_s.saturating_add(floor.setup_s(bars[bar].loading, loading));
            let choice = (0..bars.len())
                .filter(|bar| floor.bars[*bar].bar_type == kind && !used[*bar])
                .map(|bar| (ready(bar).max(second), floor.moves(bars[bar].loading, loading), bar))
                .min();
            match choice {
                None => return None,
                Some((at, moves, _)) if settled_only && (at > second || moves > 0) => open.push(bout),
                Some((at, _, bar)) => {
                    used[bar] = true;
                    layout.bar_of[bout] = Some(bar as u32);
                    wait = wait.max(Some(at).filter(|at| *at > second));
                }
            }
        }
    }
    Some(wait)
}

/// A bar at the end of what is planned for it.
pub(super) struct Stand {
    pub(super) free_s: u32,
    pub(super) loading: u32,
    /// Whether anybody has it in the plan.
    pub(super) used: bool,
}

/// Each bar as the last bout on it leaves it.
pub(super) fn stands(floor: &Floor, layout: &Layout) -> Vec<Stand> {
    let fresh = |bar: &FloorBar| Stand { free_s: bar.free_from_s, loading: bar.loading, used: false };
    let mut stands: Vec<Stand> = floor.bars.iter().map(fresh).collect();
    for turn in bar_uses(floor, layout) {
        let stand = &mut stands[turn.bar as usize];
        *stand = Stand { free_s: stand.free_s.max(turn.end_s), loading: turn.to_loading, used: true };
    }
    stands
}

/// The next second at which something ends, or a change that began then is done.
fn next_event(floor: &Floor, layout: &Layout, second: u32) -> Option<u32> {
    let ends = (0..floor.bouts.len())
        .filter_map(|bout| Some(start_s(floor, layout, bout)?.saturating_add(floor.bouts[bout].duration_s)));
    let others = floor.taken.iter().map(|t| t.to_s).filter(|to| *to != u32::MAX);
    let most_moves = 2 * floor.loadings.iter().map(Vec::len).max().unwrap_or(0) as u32;
    let changes = (0..=most_moves).map(|n| if n == 0 { 0 } else { floor.setup_fixed_s + n * floor.setup_pair_s });
    let changes: Vec<u32> = changes.collect();
    ends.chain(others).flat_map(|at| changes.iter().map(move |c| at.saturating_add(*c))).filter(|at| *at > second).min()
}
