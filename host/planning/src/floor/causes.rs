//! Why no plan can exist, whoever makes it: what is asked for that is not there.
//!
//! Each cause stands alone: as long as it holds, no order of work and no number of heats helps. That nothing is named
//! does not mean that there is a plan.

use std::collections::BTreeMap;

use classwright_training::floor::{Bout, Floor, Taken};
use thiserror::Error;

use super::bars::frozen;

/// One reason why the floor has no plan.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Cause {
    /// One bout claims more of some kit than there ever is.
    #[error("athlete {athlete}, bout {bout}: claims {claimed} of {kit}, and there are {there}")]
    Kit {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// What.
        kit: String,
        /// How many it claims.
        claimed: u32,
        /// How many there are for this class.
        there: u32,
    },
    /// One loading needs more pairs of a plate than there ever are.
    #[error("athlete {athlete}, bout {bout}: its bar needs {needed} pairs of {plate} plates, and there are {there}")]
    Plates {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The mass of one plate.
        plate: String,
        /// Pairs on the bar.
        needed: u32,
        /// Pairs there are for this class.
        there: u32,
    },
    /// No bar of the type that a bout needs.
    #[error("athlete {athlete}, bout {bout}: needs a {bar_type}, and there is none")]
    Bar {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// The type's name.
        bar_type: String,
    },
    /// One bout takes more of the coach's eye than the coach has.
    #[error("athlete {athlete}, bout {bout}: takes {watch} of the coach's span of {span}")]
    Watch {
        /// The athlete.
        athlete: u32,
        /// The bout.
        bout: u32,
        /// Its weight.
        watch: u32,
        /// The coach's span.
        span: u32,
    },
    /// The written rest admits no start on the step.
    #[error("athlete {athlete}, bout {bout}: the rest after it leads to no start on a multiple of {step} s")]
    Step {
        /// The athlete.
        athlete: u32,
        /// The bout before the rest.
        bout: u32,
        /// The step.
        step: u32,
    },
    /// The rests leave no time to change plates, even from one bar to the other.
    #[error(
        "athlete {athlete}, bout {bout}: the rests before it leave no time to change plates, with {bars} {bar_type}"
    )]
    Setup {
        /// The athlete.
        athlete: u32,
        /// The last of the bouts that one bar would have to serve two of.
        bout: u32,
        /// The type's name.
        bar_type: String,
        /// How many there are.
        bars: u32,
    },
    /// Two who work together are also kept apart.
    #[error("athletes {first} and {second} have to be together and apart")]
    Contradiction {
        /// One of them.
        first: u32,
        /// The other.
        second: u32,
    },
    /// Those who work together need more at one time than there is.
    #[error("athlete {athlete} and partners need {needed} of {what} at stage {stage}, and there are {there}")]
    Partners {
        /// The first of them.
        athlete: u32,
        /// The stage.
        stage: u32,
        /// What.
        what: String,
        /// How many they need at once.
        needed: u32,
        /// How many there are for this class.
        there: u32,
    },
    /// The rests of those who work together leave no common starts.
    #[error("athlete {athlete} and partners cannot start together: their rests do not agree")]
    Rests {
        /// The first of them.
        athlete: u32,
    },
    /// The plain plan finds no place for an athlete and partners, even alone on the floor.
    #[error("no place was found for athlete {athlete}, even with the floor to themselves")]
    NoPlace {
        /// The first of them.
        athlete: u32,
    },
    /// Alone on the floor they have a place, and the plain plan finds none beside the others.
    #[error("no turn was found for athlete {athlete} beside the others, in any of the orders that were tried")]
    NoTurn {
        /// The first of them.
        athlete: u32,
    },
    /// The plain plan finds no way to go on from what has happened.
    #[error("athlete {athlete} has begun, and no way was found to go on from there")]
    Begun {
        /// The first of those in the heat.
        athlete: u32,
    },
    /// No heat is allowed.
    #[error("no heat is allowed")]
    NoHeat,
}

/// All causes that are plain to see: of kit, plates and bar types the first bout each; of changes one an athlete; of
/// partners one a group. Of what has happened none.
pub fn impossible(floor: &Floor) -> Vec<Cause> {
    let mut causes = Vec::new();
    if floor.max_heats == 0 && !floor.athletes.is_empty() {
        causes.push(Cause::NoHeat);
    }
    let supply = Supply::at_best(floor);
    let mut seen = std::collections::BTreeSet::new();
    for (bout, it) in (0..).zip(&floor.bouts).filter(|(bout, _)| frozen(floor, *bout as usize).is_none()) {
        let athlete = it.athlete;
        if it.watch > floor.coach_span && it.duration_s > 0 && seen.insert((0, 0)) {
            causes.push(Cause::Watch { athlete, bout, watch: it.watch, span: floor.coach_span });
        }
        for (what, needed) in supply.needs(floor, it) {
            let there = supply.there(what);
            if needed <= there || matches!(what, Need::Watch) {
                continue;
            }
            match what {
                Need::Kit(kit) if seen.insert((1, kit)) => {
                    let kit = floor.stock[kit as usize].name.clone();
                    causes.push(Cause::Kit { athlete, bout, kit, claimed: needed, there });
                }
                Need::Plate(plate) if seen.insert((2, plate)) => {
                    let plate = floor.plates[plate as usize].0.to_string();
                    causes.push(Cause::Plates { athlete, bout, plate, needed, there });
                }
                Need::BarType(kind) if seen.insert((3, kind)) => {
                    let bar_type = floor.bar_types[kind as usize].0.clone();
                    causes.push(Cause::Bar { athlete, bout, bar_type });
                }
                _ => {}
            }
        }
        if !rest_meets_step(floor, bout) {
            causes.push(Cause::Step { athlete, bout, step: floor.start_step_s });
        }
    }
    if causes.is_empty() {
        causes.extend((0..floor.athletes.len() as u32).filter_map(|athlete| setup(floor, athlete)));
        partners(floor, &supply, &mut causes);
    }
    causes
}

fn partners(floor: &Floor, supply: &Supply, causes: &mut Vec<Cause>) {
    let group = groups(floor);
    let apart = floor.apart.iter().filter(|(a, b)| group[*a as usize] == group[*b as usize]);
    causes.extend(apart.map(|&(first, second)| Cause::Contradiction { first, second }));
    let mut members: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (athlete, &leader) in (0..).zip(&group) {
        members.entry(leader).or_default().push(athlete);
    }
    for (&athlete, members) in members.iter().filter(|(_, m)| m.len() > 1) {
        if let Some((stage, what, needed)) = supply.short(floor, members) {
            let (what, there) = (what.name(floor), supply.there(what));
            causes.push(Cause::Partners { athlete, stage, what, needed, there });
        } else if !rests_agree(floor, members) {
            causes.push(Cause::Rests { athlete });
        }
    }
}

/// Of any so many bouts with one type of bar as there are bars and one more, some bar serves two.
fn setup(floor: &Floor, athlete: u32) -> Option<Cause> {
    let bouts = bouts_of(floor, athlete);
    // The most seconds from the end of one of their bouts to the start of a later one.
    let most = |from: usize, to: usize| -> Option<u64> {
        let rests = bouts[from..to].iter().map(|bout| bout.rest_most_s.map(u64::from)).sum::<Option<u64>>()?;
        Some(rests + bouts[from + 1..to].iter().map(|bout| u64::from(bout.duration_s)).sum::<u64>())
    };
    for (kind, (bar_type, _)) in (0..).zip(&floor.bar_types) {
        let bars = floor.bars.iter().filter(|bar| bar.bar_type == kind).count();
        let first = floor.athletes[athlete as usize].first_bout as usize;
        let loaded = |(at, bout): (usize, &Bout)| {
            let to_come = frozen(floor, first + at).is_none();
            bout.bar.filter(|(own, _)| *own == kind && to_come).map(|(_, loading)| (at, loading))
        };
        let uses: Vec<(usize, u32)> = bouts.iter().enumerate().filter_map(loaded).collect();
        let can_change = |(a, from): (usize, u32), (b, to): (usize, u32)| {
            most(a, b).is_none_or(|most| most >= u64::from(floor.setup_s(from, to)))
        };
        let stuck = uses
            .windows(bars + 1)
            .filter(|_| bars > 0)
            .find(|few| (1..few.len()).all(|later| few[..later].iter().all(|before| !can_change(*before, few[later]))));
        if let Some((last, _)) = stuck.and_then(|few| few.last()) {
            let (bout, bar_type, bars) = ((first + last) as u32, bar_type.clone(), bars as u32);
            return Some(Cause::Setup { athlete, bout, bar_type, bars });
        }
    }
    None
}

fn rest_meets_step(floor: &Floor, bout: u32) -> bool {
    let step = u64::from(floor.start_step_s.max(1));
    let it = &floor.bouts[bout as usize];
    let next_is_theirs = floor.bouts.get(bout as usize + 1).is_some_and(|next| next.athlete == it.athlete);
    let Some(most) = it.rest_most_s.filter(|_| next_is_theirs) else {
        return true;
    };
    let first = u64::from(it.duration_s) + u64::from(it.rest_least_s);
    first.div_ceil(step) * step <= u64::from(it.duration_s) + u64::from(most)
}

/// For each athlete the lowest of those who have to be in the same heat.
pub(super) fn groups(floor: &Floor) -> Vec<u32> {
    let mut group: Vec<u32> = (0..floor.athletes.len() as u32).collect();
    for &(a, b) in &floor.together {
        let (a, b) = (group[a as usize], group[b as usize]);
        for leader in group.iter_mut().filter(|g| **g == a || **g == b) {
            *leader = a.min(b);
        }
    }
    group
}

/// Something that is needed in a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Need {
    Watch,
    Kit(u32),
    BarType(u32),
    Plate(u32),
}

impl Need {
    fn name(self, floor: &Floor) -> String {
        match self {
            Need::Watch => "the coach's eye".to_owned(),
            Need::Kit(kit) => floor.stock[kit as usize].name.clone(),
            Need::BarType(kind) => floor.bar_types[kind as usize].0.clone(),
            Need::Plate(plate) => format!("the pairs of {} plates", floor.plates[plate as usize].0),
        }
    }
}

/// What there is for this class.
pub(super) struct Supply {
    there: BTreeMap<Need, u32>,
}

impl Supply {
    /// At the best second that is still to come.
    fn at_best(floor: &Floor) -> Self {
        let seconds = floor.taken.iter().map(|t| t.to_s).filter(|to| *to > floor.now_s && *to < u32::MAX);
        let mut best = Self::but(floor, |taken| (taken.from_s..taken.to_s).contains(&floor.now_s));
        for second in seconds {
            let then = Self::but(floor, |taken| (taken.from_s..taken.to_s).contains(&second));
            for (what, count) in then.there {
                best.there.entry(what).and_modify(|most| *most = count.max(*most));
            }
        }
        best
    }

    /// When others have given back all that they ever give back.
    pub(super) fn in_the_end(floor: &Floor) -> Self {
        Self::but(floor, |taken| taken.to_s == u32::MAX)
    }

    /// All but what others hold in these rows.
    fn but(floor: &Floor, held: impl Fn(&Taken) -> bool) -> Self {
        let mut there = BTreeMap::from([(Need::Watch, floor.coach_span)]);
        there.extend((0..).zip(&floor.stock).map(|(kit, row)| (Need::Kit(kit), row.count)));
        there.extend((0..).zip(&floor.plates).map(|(plate, row)| (Need::Plate(plate), row.1)));
        for bar in &floor.bars {
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

    pub(super) fn there(&self, what: Need) -> u32 {
        self.there.get(&what).copied().unwrap_or(0)
    }

    pub(super) fn needs(&self, floor: &Floor, bout: &Bout) -> Vec<(Need, u32)> {
        if bout.duration_s == 0 {
            return Vec::new();
        }
        let mut needs = BTreeMap::from([(Need::Watch, bout.watch)]);
        for &(kit, count) in &bout.claims {
            *needs.entry(Need::Kit(kit)).or_insert(0) += count;
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
    pub(super) fn short(&self, floor: &Floor, members: &[u32]) -> Option<(u32, Need, u32)> {
        let mut sums: BTreeMap<(u32, Need), u32> = BTreeMap::new();
        let to_come = |bout: &usize| frozen(floor, *bout).is_none();
        for bout in members.iter().flat_map(|athlete| bout_indexes(floor, *athlete)).filter(to_come) {
            let bout = &floor.bouts[bout];
            for (what, needed) in self.needs(floor, bout) {
                *sums.entry((bout.stage, what)).or_insert(0) += needed;
            }
        }
        sums.into_iter()
            .find(|((_, what), sum)| *sum > self.there(*what))
            .map(|((stage, what), sum)| (stage, what, sum))
    }
}

/// An athlete's bouts in order.
pub(super) fn bouts_of(floor: &Floor, athlete: u32) -> &[Bout] {
    let it = floor.athletes[athlete as usize];
    &floor.bouts[it.first_bout as usize..][..it.bout_count as usize]
}

/// Where they stand among the floor's bouts.
pub(super) fn bout_indexes(floor: &Floor, athlete: u32) -> std::ops::Range<usize> {
    let it = floor.athletes[athlete as usize];
    it.first_bout as usize..(it.first_bout + it.bout_count) as usize
}

/// Whether one row of starts can keep all these athletes' rests: no circle of least and most times has a gain.
pub(super) fn rests_agree(floor: &Floor, members: &[u32]) -> bool {
    let mut arcs: Vec<(usize, usize, i64)> = Vec::new();
    let indexes = members.iter().flat_map(|athlete| bout_indexes(floor, *athlete).skip(1));
    for index in indexes.filter(|index| frozen(floor, *index).is_none()) {
        let pair = &floor.bouts[index - 1..=index];
        let (from, to, work) = (pair[0].stage as usize, pair[1].stage as usize, i64::from(pair[0].duration_s));
        arcs.push((from, to, work + i64::from(pair[0].rest_least_s)));
        if let Some(most) = pair[0].rest_most_s {
            arcs.push((to, from, -(work + i64::from(most))));
        }
    }
    let mut at = vec![0; floor.stage_count as usize];
    for _ in 0..=floor.stage_count {
        let mut moved = false;
        for &(from, to, lag) in &arcs {
            if at[to] < at[from] + lag {
                at[to] = at[from] + lag;
                moved = true;
            }
        }
        if !moved {
            return true;
        }
    }
    false
}
