//! A heat that keeps its bars: each athlete has bars of their own for the whole heat, and the starts follow.
//!
//! Bars are handed out first, one of a type to an athlete and more only where that does not do; then the starts are
//! the earliest that keep the written rests and leave time for each change. A way that breaks a rule is dropped for
//! the next: other bars, every change after all else has ended, every stage after the one before it, kit given back.
//!
//! Where all need one type of bar, somebody alone who can do with one bar always finds a place once others have given
//! their kit back: on the bar whose last bout ends last, no other bar holds anything then.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use classwright_training::floor::{Floor, Layout};

use super::bars::{bar_uses, frozen};
use super::causes::{bout_indexes, bouts_of};
use super::check::{crowd, plates};
use super::place::{Heat, Stand, stands};
use super::starts::{Way, starts};

/// Which bar an athlete gets who has to have another one.
#[derive(Clone, Copy)]
enum Pick {
    /// With the fewest pairs to move.
    Nearest,
    /// That nobody has had, so that nothing is held on it.
    Unused,
    /// That somebody had last, so that no plates are held for long.
    Latest,
    /// This one before all others.
    First(usize),
}

/// Puts the heat into the layout, or leaves it as it was.
pub(super) fn lay(floor: &Floor, layout: &mut Layout, heat: &Heat<'_>) -> bool {
    let most = most_of_a_type(floor, heat.members);
    let mut picks = vec![Pick::Nearest, Pick::Unused, Pick::Latest];
    if heat.members.len() == 1 {
        picks.extend((0..floor.bars.len()).map(Pick::First));
    }
    let stands = stands(floor, layout);
    let mut ways: Vec<Vec<Option<u32>>> = Vec::new();
    for own in 1..=most.max(1) {
        for pick in &picks {
            if let Some(way) = hand_out(floor, &stands, heat.members, own, *pick)
                && !ways.contains(&way)
            {
                ways.push(way);
            }
        }
    }
    let windows = windows(floor, heat);
    let mut all = windows.iter().flat_map(|window| ways.iter().map(|bars| Way { bars, ..*window }));
    all.any(|way| settle(floor, layout, heat, &stands, &way))
}

/// Goes on with a heat as the present plan has it, later where somebody is late.
pub(super) fn go_on(floor: &Floor, layout: &mut Layout, heat: &Heat<'_>, present: &Layout) -> bool {
    let stands = stands(floor, layout);
    let bars = &present.bar_of;
    let way = Way { bars, from: floor.now_s, changes_from: 0, whole_stages: false, present: Some(present) };
    settle(floor, layout, heat, &stands, &way)
}

/// The most bars of one type that an athlete could put to use.
fn most_of_a_type(floor: &Floor, members: &[u32]) -> usize {
    let uses = members.iter().map(|athlete| {
        let mut types: BTreeMap<u32, usize> = BTreeMap::new();
        for (kind, _) in bouts_of(floor, *athlete).iter().filter_map(|bout| bout.bar) {
            *types.entry(kind).or_default() += 1;
        }
        let there = |kind: u32| floor.bars.iter().filter(|bar| bar.bar_type == kind).count();
        types.into_iter().map(|(kind, uses)| uses.min(there(kind))).max().unwrap_or(0)
    });
    uses.max().unwrap_or(0)
}

/// From the earliest to the one in which nobody else holds anything that is ever given back.
fn windows(floor: &Floor, heat: &Heat<'_>) -> Vec<Way<'static>> {
    let from = heat.from.max(floor.now_s);
    let mut given_back: Vec<u32> =
        floor.taken.iter().map(|t| t.to_s).filter(|to| *to > from && *to < u32::MAX).collect();
    given_back.sort_unstable();
    given_back.dedup();
    let mut windows = vec![(from, 0), (from, from)];
    windows.extend(given_back.into_iter().map(|second| (second, second)));
    let whole: &[bool] = if heat.members.len() > 1 { &[false, true] } else { &[false] };
    let with = |(from, changes_from)| {
        let way = move |whole_stages: &bool| Way {
            bars: &[],
            from,
            changes_from,
            whole_stages: *whole_stages,
            present: None,
        };
        whole.iter().map(way)
    };
    windows.into_iter().flat_map(with).collect()
}

/// A bar for each bout of these athletes, at most so many of a type for each athlete and none for two of them.
fn hand_out(floor: &Floor, stands: &[Stand], members: &[u32], own: usize, pick: Pick) -> Option<Vec<Option<u32>>> {
    let mut bar_of = vec![None; floor.bouts.len()];
    let mut loading: Vec<u32> = stands.iter().map(|stand| stand.loading).collect();
    let mut given = vec![false; floor.bars.len()];
    // What somebody has already had in this heat stays theirs.
    for bout in members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)) {
        if let Some((_, bar)) = frozen(floor, bout) {
            bar_of[bout] = bar;
            if let Some(there) = bar.and_then(|bar| given.get_mut(bar as usize)) {
                *there = true;
            }
        }
    }
    for athlete in members {
        // Their bars, the one that has rested longest first.
        let mut theirs: Vec<usize> = Vec::new();
        for bout in bout_indexes(floor, *athlete) {
            let Some((kind, needed)) = floor.bouts[bout].bar else { continue };
            let bar = match bar_of[bout] {
                Some(bar) => bar as usize,
                None if frozen(floor, bout).is_some() => continue,
                None => {
                    let of_type = || theirs.iter().copied().filter(|bar| floor.bars[*bar].bar_type == kind);
                    let key = |bar: usize| rank(floor, &stands[bar], bar, needed, pick);
                    let another = || {
                        let free = |bar: &usize| !given[*bar] && floor.bars[*bar].bar_type == kind;
                        (0..given.len()).filter(free).min_by_key(|bar| key(*bar))
                    };
                    let loaded = of_type().find(|bar| floor.moves(loading[*bar], needed) == 0);
                    let more = || (of_type().count() < own).then(another).flatten();
                    loaded.or_else(more).or_else(|| of_type().next())?
                }
            };
            theirs.retain(|b| *b != bar);
            theirs.push(bar);
            (given[bar], loading[bar], bar_of[bout]) = (true, needed, Some(bar as u32));
        }
    }
    Some(bar_of)
}

fn rank(floor: &Floor, stand: &Stand, bar: usize, needed: u32, pick: Pick) -> (u32, Reverse<u32>, u32) {
    let moves = floor.moves(stand.loading, needed);
    let last = Reverse(stand.free_s);
    match pick {
        Pick::Nearest => (moves, last, 0),
        Pick::Unused => (u32::from(stand.used || stand.loading != 0), Reverse(0), moves),
        Pick::Latest => (u32::from(!stand.used), last, moves),
        Pick::First(first) => (u32::from(bar != first), last, moves),
    }
}

/// Puts the heat into the layout in this way, or leaves the layout as it was.
fn settle(floor: &Floor, layout: &mut Layout, heat: &Heat<'_>, stands: &[Stand], way: &Way<'_>) -> bool {
    let Some(starts) = starts(floor, &layout.starts[heat.number], heat.members, stands, way) else {
        return false;
    };
    let before = layout.clone();
    layout.starts[heat.number] = starts;
    for bout in heat.members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)) {
        layout.bar_of[bout] = way.bars[bout];
    }
    let sound = sound(floor, layout);
    if !sound {
        *layout = before;
    }
    sound
}

/// Whether what is laid so far keeps the rules of kit, plates, bars and the coach.
fn sound(floor: &Floor, layout: &Layout) -> bool {
    let mut faults = Vec::new();
    crowd(floor, layout, &mut faults);
    plates(floor, layout, &mut faults);
    let uses = bar_uses(floor, layout);
    let in_time = |(at, turn): (usize, &super::BarUse)| {
        let same_day = uses[..at].iter().rev().take_while(|before| before.bar == turn.bar);
        let first_free = floor.bars[turn.bar as usize].free_from_s;
        let free = same_day.map(|before| before.end_s).chain([first_free]).max().unwrap_or(0);
        let change = floor.setup_s(turn.from_loading, turn.to_loading);
        frozen(floor, turn.bout as usize).is_some() || free.saturating_add(change) <= turn.start_s
    };
    faults.is_empty() && uses.iter().enumerate().all(in_time)
}
