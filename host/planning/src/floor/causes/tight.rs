//! What only more heats or a longer class would mend: more people than the heats hold, work and rests that are longer
//! than the class, kit that others give back too late.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::floor::{Floor, Taken};
use classwright_training::time::clock;

use super::supply::{Need, Supply, levels};
use super::{Cause, bout_indexes, bouts_of, groups, smallest};
use crate::floor::bars::frozen;

/// All that is too tight: heats first, then time. A cause that many share is told once, of the one it hits hardest.
pub fn too_tight(floor: &Floor) -> Vec<Cause> {
    let mut causes = heats(floor);
    causes.extend(time(floor));
    causes
}

/// No plan has fewer heats, as far as counting tells.
pub fn heats_needed(floor: &Floor) -> u32 {
    let counted = crowds(floor).into_iter().map(|crowd| crowd.heats).max().unwrap_or(0);
    counted.max(apart(floor).len() as u32).max(u32::from(!floor.athletes.is_empty()))
}

fn heats(floor: &Floor) -> Vec<Cause> {
    let most = floor.max_heats;
    if most == 0 {
        return Vec::new();
    }
    let over = crowds(floor).into_iter().filter(|crowd| crowd.heats > most);
    let mut causes: Vec<Cause> = over
        .map(|Crowd { what, stage, people, needed, there, heats }| {
            let what = what.name(floor);
            Cause::Heats { what, stage, people, needed, there, heats, most }
        })
        .collect();
    let mut athletes = apart(floor);
    if athletes.len() as u32 > most {
        athletes.truncate(most as usize + 1);
        causes.push(Cause::Apart { athletes, most });
    }
    causes
}

/// What so many people need at a stage.
struct Crowd {
    what: Need,
    stage: u32,
    people: u32,
    needed: u32,
    there: u32,
    heats: u32,
}

/// Of each thing the stage at which it needs most heats.
fn crowds(floor: &Floor) -> Vec<Crowd> {
    let supply = Supply::at_best(floor);
    let mut sums: BTreeMap<(Need, u32), (u32, u32)> = BTreeMap::new();
    for (index, bout) in floor.bouts.iter().enumerate() {
        if frozen(floor, index).is_some() {
            continue;
        }
        for (what, needed) in supply.needs(floor, bout).into_iter().filter(|(_, needed)| *needed > 0) {
            let sum = sums.entry((what, bout.stage)).or_default();
            *sum = (sum.0 + 1, sum.1.saturating_add(needed));
        }
    }
    let mut worst: BTreeMap<Need, Crowd> = BTreeMap::new();
    for ((what, stage), (people, needed)) in sums {
        let there = supply.there(what);
        // What is not there at all is no matter of heats.
        if there == 0 {
            continue;
        }
        let heats = needed.div_ceil(there);
        if worst.get(&what).is_none_or(|crowd| crowd.heats < heats) {
            worst.insert(what, Crowd { what, stage, people, needed, there, heats });
        }
    }
    worst.into_values().collect()
}

/// People of whom each is apart from each other, as many as a quick look finds.
fn apart(floor: &Floor) -> Vec<u32> {
    let group = groups(floor);
    let mut near: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
    for &(a, b) in &floor.apart {
        let (a, b) = (group[a as usize], group[b as usize]);
        if a != b {
            near.entry(a).or_default().insert(b);
            near.entry(b).or_default().insert(a);
        }
    }
    let mut most: Vec<u32> = Vec::new();
    for (&first, theirs) in &near {
        let mut found = vec![first];
        let mut open = theirs.clone();
        while let Some(next) = open.iter().copied().max_by_key(|at| near[at].intersection(&open).count()) {
            found.push(next);
            open = open.intersection(&near[&next]).copied().collect();
        }
        if found.len() > most.len() {
            most = found;
        }
    }
    most.sort_unstable();
    most
}

/// What an athlete's end depends on beside their own work and rests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Delay {
    Ready,
    Step,
    Stock(u32),
    Plates(u32),
    Bars(u32),
}

fn time(floor: &Floor) -> Vec<Cause> {
    let mut causes: BTreeMap<(u32, Vec<Delay>), Cause> = BTreeMap::new();
    let mut rests: BTreeMap<u32, Cause> = BTreeMap::new();
    let window = floor.window_s;
    for athlete in 0..floor.athletes.len() as u32 {
        let indexes = bout_indexes(floor, athlete);
        if indexes.is_empty() || indexes.clone().any(|bout| frozen(floor, bout).is_some()) {
            continue;
        }
        let last = indexes.end - 1;
        let longest = indexes.filter(|bout| *bout != last).max_by_key(|bout| floor.bouts[*bout].rest_least_s);
        if let Some(bout) = longest.filter(|bout| floor.bouts[*bout].rest_least_s > window) {
            let rest = floor.bouts[bout].rest_least_s;
            let stage = floor.bouts[bout].stage;
            let cause = Cause::LongRest { athlete, bout: bout as u32, rest, window, more: 0 };
            join(&mut rests, stage, cause, rest);
            continue;
        }
        let all = delays(floor, athlete);
        let end = |with: &[Delay]| earliest_end(floor, athlete, with);
        if end(&all) > window {
            let with = smallest(&all, |with| end(with) > window);
            let seconds = end(&with);
            let words = with.iter().map(|delay| words(floor, athlete, *delay)).collect();
            let cause = Cause::Window { athlete, seconds, window, with: words, more: 0 };
            join(&mut causes, (u32::from(!with.is_empty()), with), cause, seconds);
        }
    }
    rests.into_values().chain(causes.into_values()).collect()
}

/// The worst of those who have the same trouble, with how many more there are.
fn join<K: Ord>(causes: &mut BTreeMap<K, Cause>, key: K, cause: Cause, size: u32) {
    let counted = |cause: &Cause| match cause {
        Cause::LongRest { rest, more, .. } => (*rest, *more),
        Cause::Window { seconds, more, .. } => (*seconds, *more),
        _ => (0, 0),
    };
    let with = |mut cause: Cause, count: u32| {
        if let Cause::LongRest { more, .. } | Cause::Window { more, .. } = &mut cause {
            *more = count;
        }
        cause
    };
    let joined = match causes.remove(&key) {
        None => cause,
        Some(known) => {
            let (other, more) = counted(&known);
            with(if size > other { cause } else { known }, more + 1)
        }
    };
    causes.insert(key, joined);
}

/// Everything that may keep this athlete waiting.
fn delays(floor: &Floor, athlete: u32) -> Vec<Delay> {
    let mut all = BTreeSet::from([Delay::Ready, Delay::Step]);
    for bout in bouts_of(floor, athlete) {
        all.extend(bout.claims.iter().map(|(row, _)| Delay::Stock(*row)));
        if let Some((kind, loading)) = bout.bar {
            all.insert(Delay::Bars(kind));
            all.extend(floor.loadings[loading as usize].iter().map(|plate| Delay::Plates(*plate)));
        }
    }
    all.into_iter().collect()
}

/// The end of their last bout, each as early as it can be with nobody else of the class there.
fn earliest_end(floor: &Floor, athlete: u32, with: &[Delay]) -> u32 {
    let step = if with.contains(&Delay::Step) { floor.start_step_s.max(1) } else { 1 };
    let supply = Supply::untouched(floor);
    let mut at = if with.contains(&Delay::Ready) { floor.athletes[athlete as usize].ready_s } else { 0 };
    let mut end = 0;
    for bout in bouts_of(floor, athlete) {
        if let Some((kind, _)) = bout.bar.filter(|(kind, _)| with.contains(&Delay::Bars(*kind))) {
            let free = floor.bars.iter().filter(|bar| bar.bar_type == kind).map(|bar| bar.free_from_s).min();
            at = at.max(free.unwrap_or(0));
        }
        let mut held: Vec<(u32, u32)> = Vec::new();
        for (what, needed) in supply.needs(floor, bout) {
            let counts = match what {
                Need::Kit(row) => with.contains(&Delay::Stock(row)),
                Need::Plate(plate) => with.contains(&Delay::Plates(plate)),
                Need::Watch | Need::BarType(_) => false,
            };
            if counts {
                held.extend(blocked(floor, what, needed, supply.there(what)));
            }
        }
        held.sort_unstable();
        at = at.next_multiple_of(step);
        while let Some((_, to)) = held.iter().find(|(from, to)| *from < at.saturating_add(bout.duration_s) && *to > at)
        {
            let Some(next) = to.checked_next_multiple_of(step) else { return u32::MAX };
            at = next;
        }
        end = at.saturating_add(bout.duration_s);
        at = end.saturating_add(bout.rest_least_s);
    }
    end
}

/// When others leave less than that many.
fn blocked(floor: &Floor, what: Need, needed: u32, there: u32) -> Vec<(u32, u32)> {
    let own = |taken: &&Taken| taken.stock.map(Need::Kit).or(taken.plate.map(Need::Plate)) == Some(what);
    let rows: Vec<&Taken> = floor.taken.iter().filter(own).collect();
    let levels = levels(&rows);
    let left = |held: u64| u64::from(there).saturating_sub(held);
    levels.windows(2).filter(|two| left(two[0].1) < u64::from(needed)).map(|two| (two[0].0, two[1].0)).collect()
}

fn words(floor: &Floor, athlete: u32, delay: Delay) -> String {
    match delay {
        Delay::Ready => format!("nothing started before {}", clock(floor.athletes[athlete as usize].ready_s)),
        Delay::Step => format!("starts on multiples of {} s", floor.start_step_s),
        Delay::Stock(row) => format!("the {} that others hold", floor.stock[row as usize].name),
        Delay::Plates(plate) => format!("the {} plates that others hold", floor.plates[plate as usize].0),
        Delay::Bars(kind) => format!("every {} held by others at first", floor.bar_types[kind as usize].0),
    }
}
