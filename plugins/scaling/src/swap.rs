//! The movement that stands in for another.
//!
//! A stand-in asks no more of any region than what it replaces, needs no more skill than was written or the athlete
//! has, is measured in the same way, needs only kit that is where the athlete trains, and carries no load where none
//! was written. Among those that fit, the choice is always the same: see [`Candidate`]'s order.

use std::cell::OnceCell;

use classwright_sdk::{Catalogue, Known, Measure, Piece, PlaceView, Severity, Sides};

use crate::settings::Settings;

/// What a stand-in must keep to.
pub(crate) struct Bounds<'a> {
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) stand_ins: &'a StandIns,
    pub(crate) settings: &'a Settings,
    pub(crate) kit: PlaceView<'a, 'a>,
    /// The worst severity on each region, in the order of the library's table.
    pub(crate) limited: &'a [Option<Severity>],
    /// 1 to 5; 0 unknown.
    pub(crate) skill: u32,
    /// In a complex the bar stays in the hands.
    pub(crate) same_load_kind: bool,
}

/// What may stand in for each movement of a class, whoever does it: worked out once, where it is first asked for.
/// By the movement's number.
pub(crate) struct StandIns(Vec<OnceCell<Lists>>);

/// Movements that ask no more of any region and no more skill.
struct Lists {
    /// Those that share a pattern, or are easier.
    all: Vec<u32>,
    /// Those that the library names as easier, and those easier still.
    easier: Vec<u32>,
}

impl StandIns {
    pub(crate) fn of_class(pieces: &[Piece]) -> Self {
        let end = pieces.iter().map(|piece| piece.movement as usize + 1).max().unwrap_or(0);
        StandIns((0..end).map(|_| OnceCell::new()).collect())
    }

    fn of(&self, catalogue: &Catalogue, written: Known<'_>) -> Option<&Lists> {
        let cell = self.0.get(written.number as usize)?;
        Some(cell.get_or_init(|| {
            let mut easier = easier(catalogue, written);
            let mut all: Vec<u32> =
                written.patterns.iter().flat_map(|link| catalogue.with_pattern(link.to)).copied().collect();
            all.extend(&easier);
            all.sort_unstable();
            all.dedup();
            for list in [&mut easier, &mut all] {
                list.retain(|&movement| asks_no_more(catalogue, written, movement));
            }
            Lists { all, easier }
        }))
    }
}

/// Easier movements, and those easier still.
fn easier(catalogue: &Catalogue, written: Known<'_>) -> Vec<u32> {
    let mut found: Vec<u32> = Vec::new();
    let mut open: Vec<u32> = written.easier.iter().map(|link| link.to).collect();
    while let Some(movement) = open.pop() {
        if movement != written.number && !found.contains(&movement) {
            found.push(movement);
            open.extend(catalogue.get(movement).iter().flat_map(|known| known.easier).map(|link| link.to));
        }
    }
    found
}

fn asks_no_more(catalogue: &Catalogue, written: Known<'_>, movement: u32) -> bool {
    let no_more = |known: Known<'_>| {
        known.fact.skill <= written.fact.skill && known.demand.iter().zip(written.demand).all(|(new, old)| new <= old)
    };
    movement != written.number && catalogue.get(movement).is_some_and(no_more)
}

/// A stand-in with its work worked out. The first in order is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Candidate {
    /// Not of the written movement's main pattern.
    other_pattern: bool,
    /// Sum of what it asks less of the regions.
    distance: u32,
    /// Sum of what the amount loses, in thousandths, for time or sides.
    lost: u32,
    other_load_kind: bool,
    /// How far its skill is below.
    easier_by: u32,
    /// Lower number last, so that the choice never hangs on anything else.
    pub(crate) movement: u32,
    pub(crate) amount_low: u32,
    pub(crate) amount_high: u32,
    /// 0 both, 1 each, 2 alternating.
    sides: u8,
    /// Of the written load, on each implement; 0 drops it.
    pub(crate) load_percent: u32,
}

impl Candidate {
    pub(crate) fn sides(&self) -> Sides {
        match self.sides {
            0 => Sides::Both,
            1 => Sides::Each,
            _ => Sides::Alternating,
        }
    }
}

impl Bounds<'_> {
    /// True where no limited region is asked for more than its limitation allows.
    pub(crate) fn spares(&self, demand: &[u8]) -> bool {
        demand.iter().zip(self.limited).all(|(&demand, limited)| {
            limited.is_none_or(|severity| u32::from(demand) <= self.settings.restriction(severity).highest_demand)
        })
    }

    /// The nearest movement that shares a pattern, or that the library names as easier.
    pub(crate) fn nearest(&self, piece: &Piece, written: Known<'_>) -> Option<Candidate> {
        let all = &self.stand_ins.of(self.catalogue, written)?.all;
        all.iter().filter_map(|&movement| self.candidate(piece, written, movement)).min()
    }

    /// The hardest of the easier movements that are within the athlete's skill.
    pub(crate) fn within_skill(&self, piece: &Piece, written: Known<'_>) -> Option<Candidate> {
        let easier = &self.stand_ins.of(self.catalogue, written)?.easier;
        let fit = easier.iter().filter_map(|&movement| self.candidate(piece, written, movement));
        fit.min_by_key(|candidate| (candidate.easier_by, *candidate))
    }

    /// A movement of the written one's [`Lists`], if it fits this athlete and place.
    fn candidate(&self, piece: &Piece, written: Known<'_>, movement: u32) -> Option<Candidate> {
        let known = self.catalogue.get(movement)?;
        let most_skill = if self.skill == 0 { written.fact.skill } else { written.fact.skill.min(self.skill) };
        let has_kit = || known.needs.iter().all(|need| self.kit.count(need.kit) >= need.count);
        if known.fact.skill > most_skill || !self.spares(known.demand) || !has_kit() {
            return None;
        }
        let load_percent = self.load_percent(piece, written, known)?;
        let (sides, low, high) = work(piece, written, known, load_percent)?;
        let asked = |demand: &[u8]| demand.iter().map(|&demand| u32::from(demand)).sum::<u32>();
        Some(Candidate {
            other_pattern: known.patterns.iter().all(|link| link.to != written.fact.pattern),
            distance: asked(written.demand) - asked(known.demand),
            lost: 1000 - (high.min(piece.amount_high) * 1000).checked_div(piece.amount_high).unwrap_or(1000),
            other_load_kind: known.fact.load_kind != written.fact.load_kind,
            easier_by: written.fact.skill - known.fact.skill,
            movement,
            amount_low: low,
            amount_high: high,
            sides,
            load_percent,
        })
    }

    /// What is left of the load, if the stand-in can carry it.
    fn load_percent(&self, piece: &Piece, written: Known<'_>, known: Known<'_>) -> Option<u32> {
        let (from, to) = (self.catalogue.load_kind(&written.fact), self.catalogue.load_kind(&known.fact));
        if self.same_load_kind && from != to {
            return None;
        }
        match to {
            "none" | "machine" | "band" => Some(0),
            // Never more in all hands together than was written.
            _ if piece.load_top_g > 0 => {
                self.settings.load_ratio(from, to).map(|percent| percent.min(100 * implements(from) / implements(to)))
            }
            // Without a known load: what carries one of its own is no stand-in for what carries none.
            "added" => Some(100),
            _ => (from == to).then_some(100),
        }
    }
}

fn implements(load_kind: &str) -> u32 {
    if load_kind == "pair" { 2 } else { 1 }
}

/// Sides and amount of a stand-in that takes no longer than what it replaces and is done no more often in all.
/// Lighter work may take longer in proportion to its load, up to twice as long. `None` where it cannot be measured so, or not even one fits.
fn work(piece: &Piece, written: Known<'_>, known: Known<'_>, load_percent: u32) -> Option<(u8, u32, u32)> {
    let (old_ms, new_ms) = match piece.measure {
        // The coach's own pace wins for the movement it was written for.
        Measure::Repetitions if piece.rep_ms > 0 => (piece.rep_ms, known.fact.rep_ms),
        Measure::Repetitions => (written.fact.rep_ms, known.fact.rep_ms),
        Measure::Metres => (written.fact.metre_ms, known.fact.metre_ms),
        Measure::Calories => (written.fact.calorie_ms, known.fact.calorie_ms),
        // A hold is replaced by a hold; other work may be done for a time.
        Measure::Seconds if written.fact.rep_ms == 0 && known.fact.timed == 0 => return None,
        Measure::Seconds => (1, 1),
    };
    if new_ms == 0 {
        return None;
    }
    let sides = match known.fact.sides {
        1 => 1,
        2 => 2,
        _ => 0,
    };
    if piece.amount_high == 0 {
        return Some((sides, 0, 0));
    }
    let was_each = u64::from(piece.sides == Sides::Each);
    let by_sides = |amount: u32| match (sides, was_each) {
        (1, 0) => amount / 2,
        _ => amount,
    };
    let high = u64::from(by_sides(piece.amount_high));
    let per_amount = if sides == 1 { 2 } else { 1 };
    let written_ms = u64::from(piece.amount_high) * (1 + was_each) * u64::from(old_ms);
    let most_ms = match load_percent {
        // Rounding of the load must not make the work longer than its share.
        1..100 if piece.load_top_g > 0 => (written_ms * 100 / u64::from(load_percent)).min(2 * written_ms),
        _ => written_ms,
    };
    // Where the written movement's pace is not known, nothing can be said of time and the host does not either.
    let fit = if old_ms == 0 { high } else { high.min(most_ms / (u64::from(new_ms) * per_amount)) };
    let high = u32::try_from(fit).ok().filter(|high| *high > 0)?;
    let low = by_sides(piece.amount_low).max(piece.amount_low.min(1)).min(high);
    Some((sides, low, high))
}
