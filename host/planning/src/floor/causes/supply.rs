//! What there is for a class, and what a bout needs of it.

use std::collections::BTreeMap;

use classwright_training::floor::{Bout, Floor, Taken};

use super::bout_indexes;
use crate::floor::bars::frozen;

/// A bar that is not free before this second is out of service: no class lasts as long.
pub const OUT_OF_SERVICE_S: u32 = 1_000_000;

/// Something that is needed in a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::floor) enum Need {
    Watch,
    Kit(u32),
    BarType(u32),
    Plate(u32),
}

impl Need {
    pub(in crate::floor) fn name(self, floor: &Floor) -> String {
        match self {
            Need::Watch => "the coach's eye".to_owned(),
            Need::Kit(kit) => floor.stock[kit as usize].name.clone(),
            Need::BarType(kind) => floor.bar_types[kind as usize].0.clone(),
            Need::Plate(plate) => format!("the pairs of {} plates", floor.plates[plate as usize].0),
        }
    }
}

/// How much is held from each second on until the next in the list.
pub(super) fn levels(rows: &[&Taken]) -> Vec<(u32, u64)> {
    let mut steps: BTreeMap<u32, i64> = BTreeMap::new();
    for taken in rows.iter().filter(|taken| taken.from_s < taken.to_s) {
        *steps.entry(taken.from_s).or_default() += i64::from(taken.count);
        *steps.entry(taken.to_s).or_default() -= i64::from(taken.count);
    }
    let mut held = 0;
    let levels = steps.into_iter().map(|(second, step)| {
        held += step;
        (second, held.max(0) as u64)
    });
    levels.collect()
}

/// What there is for this class.
pub(in crate::floor) struct Supply {
    there: BTreeMap<Need, u32>,
}

impl Supply {
    /// At the best second that is still to come.
    pub(in crate::floor) fn at_best(floor: &Floor) -> Self {
        let mut rows: BTreeMap<Need, Vec<&Taken>> = BTreeMap::new();
        for taken in floor.taken.iter().filter(|taken| taken.from_s < taken.to_s) {
            if let Some(what) = taken.stock.map(Need::Kit).or(taken.plate.map(Need::Plate)) {
                rows.entry(what).or_default().push(taken);
            }
        }
        let mut best = Self::untouched(floor);
        for (what, rows) in rows {
            let levels = levels(&rows);
            let now = levels.partition_point(|(second, _)| *second <= floor.now_s);
            let at_now = now.checked_sub(1).map_or(0, |at| levels[at].1);
            let later = levels[now..].iter().filter(|(second, _)| *second < u32::MAX).map(|(_, held)| *held);
            let least = later.fold(at_now, u64::min);
            if let Some(there) = best.there.get_mut(&what) {
                *there = there.saturating_sub(u32::try_from(least).unwrap_or(u32::MAX));
            }
        }
        best
    }

    /// When others have given back all that they ever give back.
    pub(in crate::floor) fn in_the_end(floor: &Floor) -> Self {
        Self::but(floor, |taken| taken.to_s == u32::MAX)
    }

    /// As if others held nothing.
    pub(super) fn untouched(floor: &Floor) -> Self {
        Self::but(floor, |_| false)
    }

    /// All but what others hold in these rows.
    fn but(floor: &Floor, held: impl Fn(&Taken) -> bool) -> Self {
        let mut there = BTreeMap::from([(Need::Watch, floor.coach_span)]);
        there.extend((0..).zip(&floor.stock).map(|(kit, row)| (Need::Kit(kit), row.count)));
        there.extend((0..).zip(&floor.plates).map(|(plate, row)| (Need::Plate(plate), row.1)));
        for bar in floor.bars.iter().filter(|bar| bar.free_from_s < OUT_OF_SERVICE_S) {
            *there.entry(Need::BarType(bar.bar_type)).or_insert(0) += 1;
        }
        for taken in floor.taken.iter().filter(|taken| held(taken)) {
            let what = taken.stock.map(Need::Kit).or(taken.plate.map(Need::Plate));
            if let Some(left) = what.and_then(|what| there.get_mut(&what)) {
                *left = left.saturating_sub(taken.count);
            }
        }
        Supply { there }
    }

    pub(in crate::floor) fn there(&self, what: Need) -> u32 {
        self.there.get(&what).copied().unwrap_or(0)
    }

    pub(in crate::floor) fn needs(&self, floor: &Floor, bout: &Bout) -> Vec<(Need, u32)> {
        if bout.duration_s == 0 {
            return Vec::new();
        }
        let mut needs = BTreeMap::from([(Need::Watch, bout.watch)]);
        for &(kit, count) in &bout.claims {
            let sum = needs.entry(Need::Kit(kit)).or_insert(0);
            *sum = sum.saturating_add(count);
        }
        if let Some((kind, loading)) = bout.bar {
            needs.insert(Need::BarType(kind), 1);
            for &plate in &floor.loadings[loading as usize] {
                *needs.entry(Need::Plate(plate)).or_insert(0) += 1;
            }
        }
        needs.into_iter().collect()
    }

    /// What these athletes, starting together, need more of at some stage than there is.
    pub(in crate::floor) fn short(&self, floor: &Floor, members: &[u32]) -> Option<(u32, Need, u32)> {
        let sums = self.sums(floor, members);
        let over = |&(&(_, what), sum): &(&(u32, Need), &u32)| *sum > self.there(what);
        sums.iter().find(over).map(|(&(stage, what), sum)| (stage, what, *sum))
    }

    /// All of that, by stage.
    pub(super) fn all_short(&self, floor: &Floor, members: &[u32]) -> Vec<(u32, Need, u32)> {
        let sums = self.sums(floor, members).into_iter();
        sums.filter(|((_, what), sum)| *sum > self.there(*what))
            .map(|((stage, what), sum)| (stage, what, sum))
            .collect()
    }

    /// What these athletes need at each stage, of what is still to come.
    pub(super) fn sums(&self, floor: &Floor, members: &[u32]) -> BTreeMap<(u32, Need), u32> {
        let mut sums: BTreeMap<(u32, Need), u32> = BTreeMap::new();
        let to_come = |bout: &usize| frozen(floor, *bout).is_none();
        for bout in members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)).filter(to_come) {
            let bout = &floor.bouts[bout];
            for (what, needed) in self.needs(floor, bout) {
                let sum = sums.entry((bout.stage, what)).or_insert(0);
                *sum = sum.saturating_add(needed);
            }
        }
        sums
    }
}
