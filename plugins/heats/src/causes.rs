//! Why there can be no plan: what a question asks for that is not there, each as one sentence for the coach.

use std::collections::BTreeMap;

use classwright_sdk::heats::{Question, Taken};
use classwright_sdk::{Declined, NONE};

use crate::read::{counted, span};

/// Something that bouts need in a number: its name, and how many there are for this class.
type Supply = BTreeMap<(u8, u32), (String, u32)>;

const COACH: u8 = 0;
const KIT: u8 = 1;
const BAR: u8 = 2;
const PLATE: u8 = 3;

/// Refuses a question that no plan answers. That it refuses nothing does not mean that there is a plan.
pub(crate) fn refuse(question: &Question) -> Result<(), Declined> {
    if question.max_heats == 0 && !question.athletes.is_empty() {
        return Err(Declined::from("No heat is allowed, so nobody can start."));
    }
    let supply = supply(question);
    let alone: Vec<u32> = (0..question.athletes.len() as u32).collect();
    for athlete in &alone {
        short(question, &supply, std::slice::from_ref(athlete), "One athlete")?;
        off_step(question, *athlete)?;
    }
    let group = groups(question);
    let contradiction =
        |pair: &&classwright_sdk::heats::Pair| group[pair.first as usize] == group[pair.second as usize];
    if let Some(pair) = question.apart.iter().find(contradiction) {
        let sentence = format!("Athletes {} and {} have to be in one heat and in two.", pair.first, pair.second);
        return Err(Declined(sentence));
    }
    let mut members: BTreeMap<usize, Vec<u32>> = BTreeMap::new();
    for (athlete, leader) in (0..).zip(group) {
        members.entry(leader).or_default().push(athlete);
    }
    for members in members.values().filter(|m| m.len() > 1) {
        short(question, &supply, members, "Partners who start together")?;
        if !rests_agree(question, members) {
            return Err(Declined::from("Partners who start together have rests that do not agree."));
        }
    }
    crowded(question, &supply)
}

/// For each athlete the lowest of those who have to be in the same heat.
pub(crate) fn groups(question: &Question) -> Vec<usize> {
    let mut group: Vec<usize> = (0..question.athletes.len()).collect();
    for pair in &question.together {
        let (a, b) = (group[pair.first as usize], group[pair.second as usize]);
        for leader in group.iter_mut().filter(|g| **g == a || **g == b) {
            *leader = a.min(b);
        }
    }
    group
}

fn supply(question: &Question) -> Supply {
    let name = |text: u32| question.texts[text as usize].clone();
    let gone = |taken: &&Taken| taken.to_s == NONE;
    let mut supply = Supply::from([((COACH, 0), ("places under the coach's eye".into(), question.coach_span))]);
    for (kit, row) in (0..).zip(&question.stock) {
        supply.insert((KIT, kit), (name(row.kit), row.count));
    }
    for (kind, row) in (0..).zip(&question.bar_types) {
        let bars = question.bars.iter().filter(|b| b.bar_type == kind).count() as u32;
        supply.insert((BAR, kind), (name(row.name), bars));
    }
    for (plate, row) in (0..).zip(&question.plate_stock) {
        let kg = f64::from(row.mass_g) / 1000.0;
        supply.insert((PLATE, plate), (format!("pairs of {kg} kg plates"), row.pairs));
    }
    for taken in question.taken.iter().filter(gone) {
        for key in [(KIT, taken.kit), (PLATE, taken.plate)] {
            if let Some(row) = supply.get_mut(&key) {
                row.1 = row.1.saturating_sub(taken.count);
            }
        }
    }
    supply
}

/// Whether a bout has started already: what it used was there.
fn has_started(question: &Question, athlete: u32, stage: u32) -> bool {
    let Some(present) = &question.present else { return false };
    let heat = present.heat_of[athlete as usize];
    heat < present.heat_count && present.starts[(heat * question.stage_count + stage) as usize] < question.now_s
}

/// What a set of athletes still needs at each stage if they start together.
fn needs(question: &Question, athletes: &[u32]) -> BTreeMap<(u32, (u8, u32)), u32> {
    let mut needs = BTreeMap::new();
    for &athlete in athletes {
        let it = &question.athletes[athlete as usize];
        for number in span(it.first_bout, it.bout_count) {
            let bout = &question.bouts[number];
            if has_started(question, athlete, bout.stage) {
                continue;
            }
            let mut need = |key, count| *needs.entry((bout.stage, key)).or_insert(0u32) += count;
            need((COACH, 0), bout.watch);
            let first = question.claims.partition_point(|c| (c.bout as usize) < number);
            for claim in question.claims[first..].iter().take_while(|c| c.bout as usize == number) {
                need((KIT, claim.kit), claim.count);
            }
            if bout.loading != NONE {
                need((BAR, bout.bar_type), 1);
                let loading = &question.loadings[bout.loading as usize];
                for (plate, count) in counted(&question.plates[span(loading.first, loading.count)]) {
                    need((PLATE, plate as u32), count);
                }
            }
        }
    }
    needs
}

fn short(question: &Question, supply: &Supply, athletes: &[u32], who: &str) -> Result<(), Declined> {
    for ((_, key), needed) in needs(question, athletes) {
        let (name, there) = &supply[&key];
        if needed > *there {
            let there = if *there == 0 { "there are none".into() } else { format!("there are {there}") };
            return Err(Declined(format!(
                "{who} (number {}) needs {needed} {name} at once, and {there}.",
                athletes[0]
            )));
        }
    }
    Ok(())
}

/// A rest whose length admits no start on the step.
fn off_step(question: &Question, athlete: u32) -> Result<(), Declined> {
    let step = u64::from(question.start_step_s.max(1));
    let it = &question.athletes[athlete as usize];
    let bouts = &question.bouts[span(it.first_bout, it.bout_count)];
    for bout in &bouts[..bouts.len().saturating_sub(1)] {
        let first = u64::from(bout.duration_s) + u64::from(bout.rest_least_s);
        let last = u64::from(bout.duration_s) + u64::from(bout.rest_most_s);
        // What has started may stand off the step, so a plan in progress is not judged here.
        if question.now_s == 0 && bout.rest_most_s != NONE && first.next_multiple_of(step) > last {
            let sentence = format!("A rest of athlete {athlete} leads to no start on a multiple of {step} seconds.");
            return Err(Declined(sentence));
        }
    }
    Ok(())
}

/// More than all heats together can take at one stage.
fn crowded(question: &Question, supply: &Supply) -> Result<(), Declined> {
    let all: Vec<u32> = (0..question.athletes.len() as u32).collect();
    for ((_, key), needed) in needs(question, &all) {
        let (name, there) = &supply[&key];
        let heats = needed.div_ceil((*there).max(1));
        if heats > question.max_heats {
            return Err(Declined(format!(
                "The class needs {needed} {name} in all and there are {there}: that takes {heats} heats, and {} are allowed.",
                question.max_heats
            )));
        }
    }
    Ok(())
}

/// Whether one row of starts can keep all these rests.
fn rests_agree(question: &Question, athletes: &[u32]) -> bool {
    let mut lags = Lags::default();
    for &athlete in athletes {
        let it = &question.athletes[athlete as usize];
        for pair in question.bouts[span(it.first_bout, it.bout_count)].windows(2) {
            let (from, to, work) = (pair[0].stage as usize, pair[1].stage as usize, i64::from(pair[0].duration_s));
            let most = (pair[0].rest_most_s != NONE).then(|| work + i64::from(pair[0].rest_most_s));
            lags.add(from, to, work + i64::from(pair[0].rest_least_s), most);
        }
    }
    lags.agree(question.stage_count as usize)
}

/// Least and most times between stages.
#[derive(Debug, Default)]
pub(crate) struct Lags {
    arcs: Vec<(usize, usize, i64)>,
    bounded: bool,
}

impl Lags {
    pub(crate) fn add(&mut self, from: usize, to: usize, least: i64, most: Option<i64>) {
        self.arcs.push((from, to, least));
        if let Some(most) = most {
            self.arcs.push((to, from, -most));
            self.bounded = true;
        }
    }

    /// Whether starts exist that keep all of them: no circle of least and most times has a gain.
    pub(crate) fn agree(&self, stages: usize) -> bool {
        if !self.bounded {
            return true;
        }
        let mut at = vec![0i64; stages];
        for _ in 0..=stages {
            let mut moved = false;
            for &(from, to, lag) in &self.arcs {
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
}
