//! Who has which bar when, and what has to be changed on it before: the lines of a bar sheet.

use classwright_training::floor::{Floor, Layout};

/// One use of a bar, in the order of the bar's uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BarUse {
    /// Position in the floor's bars.
    pub bar: u32,
    /// Position in the floor's bouts.
    pub bout: u32,
    /// Who.
    pub athlete: u32,
    /// The loading that is on the bar before.
    pub from_loading: u32,
    /// The loading that the bout needs.
    pub to_loading: u32,
    /// Pairs of plates taken off or put on.
    pub moved_pairs: u32,
    /// When the change starts, done as late as it can be.
    pub setup_from_s: u32,
    /// When the bout starts.
    pub start_s: u32,
    /// When the bout ends.
    pub end_s: u32,
    /// Until when the plates stay on: the next change of this bar, or the end of its last bout.
    pub held_until_s: u32,
}

/// Every use of every bar, bar by bar in the order of their starts. Of a plan with faults, what can be told of it.
pub fn bar_uses(floor: &Floor, layout: &Layout) -> Vec<BarUse> {
    let mut uses: Vec<BarUse> = Vec::new();
    for (index, bout) in floor.bouts.iter().enumerate() {
        let (Some((_, loading)), Some(bar)) = (bout.bar, layout.bar_of.get(index).copied().flatten()) else {
            continue;
        };
        let Some(start) = start_s(floor, layout, index) else {
            continue;
        };
        if floor.bars.get(bar as usize).is_none() {
            continue;
        }
        let end = start.saturating_add(bout.duration_s);
        uses.push(BarUse {
            bar,
            bout: index as u32,
            athlete: bout.athlete,
            from_loading: 0,
            to_loading: loading,
            moved_pairs: 0,
            setup_from_s: start,
            start_s: start,
            end_s: end,
            held_until_s: end,
        });
    }
    uses.sort_by_key(|u| (u.bar, u.start_s, u.end_s, u.bout));
    for at in 0..uses.len() {
        let follows = at > 0 && uses[at - 1].bar == uses[at].bar;
        let from = if follows { uses[at - 1].to_loading } else { floor.bars[uses[at].bar as usize].loading };
        let to = uses[at].to_loading;
        uses[at].from_loading = from;
        uses[at].moved_pairs = floor.moves(from, to);
        uses[at].setup_from_s = uses[at].start_s.saturating_sub(floor.setup_s(from, to));
        if follows {
            uses[at - 1].held_until_s = uses[at].setup_from_s;
        }
    }
    uses
}

/// When a bout starts, where the plan says so.
pub(super) fn start_s(floor: &Floor, layout: &Layout, bout: usize) -> Option<u32> {
    let bout = floor.bouts.get(bout)?;
    let heat = *layout.heat_of.get(bout.athlete as usize)?;
    *layout.starts.get(heat as usize)?.get(bout.stage as usize)?
}

/// The start and bar of a bout that has already started, as the present plan has them.
pub(super) fn frozen(floor: &Floor, bout: usize) -> Option<(u32, Option<u32>)> {
    let present = floor.present.as_ref()?;
    let start = start_s(floor, present, bout).filter(|start| *start < floor.now_s)?;
    Some((start, present.bar_of.get(bout).copied().flatten()))
}
