//! Asking for the new plan: bars that are out of service are no part of the question, and of several ways to go without
//! some the best is kept.

use classwright_planning::floor::{Cause, FloorFault, NeededLater, check, heats_needed, objective, reached, too_tight};
use classwright_planning::{Answered, Component, OnShelf, answer};
use classwright_policies::{Kind, PolicyFailure};
use classwright_training::floor::{Floor, Layout};
use classwright_training::time::clock;

use super::diff::{Side, moved};
use super::words::Words;
use crate::document::{NamedFloor, OUT_OF_SERVICE_S};

/// So many seconds of finish are worth moving one person, where the owner's settings do not say otherwise.
pub(super) const SECONDS_A_PERSON: u32 = 20;

/// Who is asked, and how much.
#[derive(Clone, Copy)]
pub(super) struct Asking<'a> {
    pub(super) shelf: &'a [OnShelf],
    pub(super) effort: u64,
}

/// A plan of a floor, checked.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The floor, with the plan before as its present one.
    pub(super) named: NamedFloor,
    pub(super) layout: Layout,
    /// The earliest end of all plans that were looked at, whoever it would have moved.
    pub(super) earliest_s: u32,
    /// What only more heats or a longer class would mend.
    pub(super) tight: Vec<Cause>,
    pub(super) lower_bound_s: Option<u32>,
    pub(super) optimal: bool,
    pub(super) by_host: bool,
    pub(super) heats_over: u32,
    pub(super) components: Vec<Component>,
    pub(super) failures: Vec<PolicyFailure>,
}

impl Asking<'_> {
    /// The best plan of several floors that differ in the bars that go; the causes of the first where none has one.
    pub(super) fn best(&self, before: Side<'_>, choices: &[NamedFloor]) -> Result<Found, Vec<Cause>> {
        let found: Vec<Result<Found, Vec<Cause>>> = choices.iter().map(|named| self.plan(named)).collect();
        let worth = |found: &Found| {
            let moved = moved(before, Side { named: &found.named, layout: &found.layout }).len() as u64;
            let (finish, heats, pairs) = objective(&found.named.floor, &found.layout);
            (found.by_host, u64::from(finish) + self.seconds_a_person() * moved, moved, heats, pairs)
        };
        let there = found.iter().filter_map(|found| found.as_ref().ok());
        let all: Vec<Found> = there.flat_map(|found| [Some(found.clone()), found.unchanged()]).flatten().collect();
        let earliest_s = all.iter().map(|found| found.earliest_s).min().unwrap_or(0);
        match all.iter().min_by_key(|found| worth(found)) {
            Some(best) => Ok(Found { earliest_s, ..best.clone() }),
            None => found.into_iter().find_map(Result::err).map_or(Err(Vec::new()), Err),
        }
    }

    /// What moving one person is worth to the owner, as the first heat policy has it in its settings.
    fn seconds_a_person(&self) -> u64 {
        let first = self.shelf.iter().find(|entry| entry.kinds.contains(&Kind::Heats));
        let settings = first.and_then(|entry| serde_json::from_str::<serde_json::Value>(&entry.settings).ok());
        let own = settings.and_then(|settings| settings.get("seconds-a-person")?.as_u64());
        own.map_or(u64::from(SECONDS_A_PERSON), |own| own.min(100_000))
    }

    /// A checked plan of one floor, that is done with the bars that another class needs later by then.
    pub(super) fn plan(&self, named: &NamedFloor) -> Result<Found, Vec<Cause>> {
        let (mut named, mut later) = (named.clone(), named.later.clone());
        loop {
            let found = self.plan_once(&named)?;
            let reached = kept_too_long(&found.named.floor, &found.layout, &later);
            if reached.is_empty() {
                return Ok(found);
            }
            for bar in &reached {
                let free_from_s = &mut named.floor.bars[bar.bar as usize].free_from_s;
                *free_from_s = bar.to_s.max(*free_from_s);
            }
            later.retain(|bar| !reached.contains(bar));
        }
    }

    fn plan_once(&self, named: &NamedFloor) -> Result<Found, Vec<Cause>> {
        let (mut floor, bars) = in_service(&named.floor);
        // As in a first plan: one that takes more heats than the gym's rules have is still of use.
        let tight = too_tight(&floor);
        floor.max_heats = heats_needed(&floor).max(floor.max_heats);
        let mut named = named.clone();
        named.floor.max_heats = floor.max_heats;
        let Answered { plan, lower_bound_s, optimal, by_host, heats_over, components, failures } =
            answer(&floor, self.shelf, self.effort)?;
        let layout = restored(&named.floor, plan, &bars);
        Ok(Found {
            earliest_s: named.floor.finish_s(&layout),
            layout,
            named,
            tight,
            lower_bound_s,
            optimal,
            by_host,
            heats_over,
            components,
            failures,
        })
    }
}

impl Found {
    /// The present plan, where it still holds: a policy may have looked for something else than to change little.
    fn unchanged(&self) -> Option<Found> {
        let floor = &self.named.floor;
        let present = floor.present.clone().filter(|present| check(floor, present).is_empty())?;
        if !kept_too_long(floor, &present, &self.named.later).is_empty() {
            return None;
        }
        let as_good = objective(floor, &present) == objective(floor, &self.layout);
        let earliest_s = floor.finish_s(&present);
        Some(Found {
            layout: present,
            earliest_s,
            optimal: self.optimal && as_good,
            by_host: false,
            heats_over: 0,
            ..self.clone()
        })
    }

    /// What the whole floor, with the bars that are out of service, has against the plan. People in turn may take more
    /// heats than the gym's rules have.
    pub(super) fn fault(&self) -> Option<FloorFault> {
        let max_heats = self.named.floor.max_heats.saturating_add(self.heats_over);
        let floor = Floor { max_heats, ..self.named.floor.clone() };
        check(&floor, &self.layout).into_iter().next()
    }
}

/// Bars that are in use when another class begins with them, but for those that come back from it.
fn kept_too_long(floor: &Floor, layout: &Layout, later: &[NeededLater]) -> Vec<NeededLater> {
    let comes_back = |bar: &NeededLater| floor.bars[bar.bar as usize].free_from_s >= bar.to_s;
    reached(floor, layout, later).into_iter().filter(|bar| !comes_back(bar)).collect()
}

/// The floor without bars that are out of service, and where the others stood. Work that was done on one of them is
/// over and needs none any more.
fn in_service(floor: &Floor) -> (Floor, Vec<u32>) {
    let mut now = floor.clone();
    let stays = |bar: &u32| floor.bars[*bar as usize].free_from_s < OUT_OF_SERVICE_S;
    let bars: Vec<u32> = (0..floor.bars.len() as u32).filter(stays).collect();
    now.bars = bars.iter().map(|bar| floor.bars[*bar as usize].clone()).collect();
    if let Some(present) = &mut now.present {
        for bout in 0..now.bouts.len() {
            let Some(bar) = present.bar_of[bout] else { continue };
            present.bar_of[bout] = bars.binary_search(&bar).ok().map(|at| at as u32);
            if !stays(&bar) && super::happened::started(floor, bout) {
                now.bouts[bout].bar = None;
            }
        }
    }
    (now, bars)
}

/// The plan with bars by their places on the whole floor.
fn restored(floor: &Floor, mut plan: Layout, bars: &[u32]) -> Layout {
    for (bout, bar) in plan.bar_of.iter_mut().enumerate() {
        *bar = bar.map(|at| bars[at as usize]);
        if let Some(present) = floor.present.as_ref().filter(|_| super::happened::started(floor, bout)) {
            *bar = present.bar_of[bout];
        }
    }
    plan
}

/// The smallest part of what has happened that still leaves no plan: what can be taken away is, one by one.
pub(super) fn smallest<T: Clone>(events: &[T], fails: impl Fn(&[T]) -> bool) -> Vec<T> {
    let mut guilty = events.to_vec();
    for at in (0..events.len()).rev() {
        let mut fewer = guilty.clone();
        fewer.remove(at);
        if fails(&fewer) {
            guilty = fewer;
        }
    }
    guilty
}

/// Causes with people and sets by name.
pub(super) fn sentences(causes: &[Cause], named: &NamedFloor, words: &Words) -> Vec<String> {
    causes.iter().map(|cause| with_names(&cause.to_string(), named, words)).collect()
}

/// `athlete 3, bout 9: …` with the name and the set; bars by what they are called, heats from 1, seconds as the clock.
pub(crate) fn with_names(sentence: &str, named: &NamedFloor, words: &Words) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut list = sentence.split(' ').peekable();
    while let Some(word) = list.next() {
        let next = list.peek().copied().unwrap_or_default();
        let digits = next.len() - next.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let (number, rest) = next.split_at(digits);
        let said = number.parse::<usize>().ok().and_then(|number| match word.to_lowercase().as_str() {
            "athlete" => named.athletes.get(number).map(|id| words.person(id).to_owned()),
            "bout" => named.floor.bouts.get(number).map(|b| words.stage(named.stages[b.stage as usize])),
            "stage" => named.stages.get(number).map(|stage| words.stage(*stage)),
            "bar" => named.floor.bars.get(number).map(|bar| format!("{word} {}", bar.id)),
            "heat" => Some(format!("{word} {}", number + 1)),
            "second" => u32::try_from(number).ok().map(clock),
            _ => None,
        });
        match said {
            Some(said) => {
                list.next();
                out.push(said + rest);
            }
            None => out.push(word.to_owned()),
        }
    }
    out.join(" ")
}
