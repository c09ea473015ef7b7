//! A plan bends when the day changes: what has happened stays, the rest is planned anew around the present plan.
//!
//! The plan's document stands by itself; the gym's files are read for its policies only, and the house policy stands in
//! for them. The answer goes through the host's checks like any other. Where no plan is left, the smallest set of what
//! has happened that makes it so is told, and why.

mod answer;
mod diff;
#[cfg(test)]
mod diff_tests;
mod document;
#[cfg(test)]
mod every_plan;
mod happened;
#[cfg(test)]
mod quality_tests;
mod request;
#[cfg(test)]
mod request_tests;
mod why;
mod words;

use std::path::{Path, PathBuf};

use classwright_planning::OnShelf;
use classwright_planning::floor::Cause;
use classwright_policies::{PolicyFailure, Runtime, RuntimeOptions};
use classwright_training::time::clock;

use crate::document::{NamedFloor, PlanDoc};
use crate::heats_solve::widen;
use crate::hour::read_minute;
use crate::house::house_heats;
use crate::plan_file::{StoodPlan, read_plan};
use crate::{AppError, open_shelf};
use answer::Asking;
use diff::Side;
use happened::floors;
use request::{Event, events};

pub(crate) use answer::with_names;
pub use request::{At, KitCount, Late};
pub(crate) use words::{Words, and};

/// What has happened to a class that was planned.
#[derive(Clone, Debug)]
pub struct ReplanRequest<'a> {
    /// The plan, as `plan --json` or an earlier re-plan printed it.
    pub plan: &'a Path,
    /// When it is; as the plan has it where it is left out.
    pub at: Option<At>,
    /// Kit in service from now on.
    pub kit: &'a [KitCount],
    /// Who comes late.
    pub late: &'a [Late],
    /// Who is gone.
    pub gone: &'a [String],
    /// Whether to say what binds, and what more would give.
    pub why: bool,
    /// The gym whose policies are asked; the house policy is, where it is left out.
    pub gym: Option<&'a Path>,
    /// Effort asked of the policy; the plan's own where it is left out.
    pub effort: Option<u64>,
    /// Where compiled components are kept between runs.
    pub cache_dir: Option<PathBuf>,
}

/// What is said of a class since it was planned: [`ReplanRequest`] without places to read from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Happened {
    pub(crate) at: Option<At>,
    pub(crate) kit: Vec<KitCount>,
    pub(crate) late: Vec<Late>,
    pub(crate) gone: Vec<String>,
    pub(crate) why: bool,
    pub(crate) effort: Option<u64>,
}

/// A class planned anew.
#[derive(Debug)]
pub struct Replanned {
    /// The new plan, with its changes.
    pub document: PlanDoc,
    /// The first policy that failed, if one did. The plan stands all the same.
    pub failure: Option<PolicyFailure>,
}

/// Plans a class anew around what has happened.
pub fn replan(request: &ReplanRequest<'_>) -> Result<Replanned, AppError> {
    let stood = read_plan(request.plan)?;
    let ReplanRequest { at, kit, late, gone, why, effort, .. } = *request;
    let happened = Happened { at, kit: kit.to_vec(), late: late.to_vec(), gone: gone.to_vec(), why, effort };
    let shelf = |effort| {
        let options = RuntimeOptions { cache_dir: request.cache_dir.clone(), ..RuntimeOptions::default() };
        heat_policies(request.gym, &Runtime::new(options)?, effort)
    };
    let (document, failures) = replan_stood(stood, &happened, shelf)?;
    Ok(Replanned { failure: failures.into_iter().next(), document })
}

/// Plans a class anew from the plan that stood and what is said of it since, asking the policies that `shelf` gives
/// for an effort. Gives the new plan and what went wrong with a policy.
pub(crate) fn replan_stood(
    mut stood: StoodPlan,
    happened: &Happened,
    shelf: impl FnOnce(u64) -> Result<Vec<OnShelf>, AppError>,
) -> Result<(PlanDoc, Vec<PolicyFailure>), AppError> {
    let words = Words::new(&stood.doc, &stood.named);
    stood.named.floor.now_s = now_s(&stood, happened.at).map_err(AppError::Replan)?;
    let events =
        events(&stood.named, &words, &happened.kit, &happened.late, &happened.gone).map_err(AppError::Replan)?;
    let effort = happened.effort.unwrap_or(stood.named.effort);
    let shelf = shelf(effort)?;
    let asking = Asking { shelf: &shelf, effort };
    stood.named.effort = asking.effort;
    let shared = |one: &str, other: &str, part: u32| {
        let teams = stood.doc.session.parts.iter().filter(|own| own.part == part).flat_map(|own| &own.teams);
        teams.into_iter().any(|team| [one, other].iter().all(|id| team.iter().any(|own| own == id)))
    };
    let choices = |events: &[Event]| floors(&stood.named, stood.layout.as_ref(), events, &words, &shared);
    let empty = classwright_training::floor::Layout::default();
    let before = Side { named: &stood.named, layout: stood.layout.as_ref().unwrap_or(&empty) };
    let now = choices(&events).map_err(AppError::Replan)?;
    let found = asking.best(before, &now).map_err(|causes| {
        let fails = |some: &[Event]| choices(some).is_ok_and(|now| asking.best(before, &now).is_err());
        let guilty = answer::smallest(&events, fails);
        AppError::NoneLeft {
            because: guilty.iter().map(|event| event.said(&stood.named.floor, &words)).collect(),
            causes: sentences(&causes, &now[0], &words),
        }
    })?;
    if let Some(fault) = found.fault() {
        let fault = with_names(&fault.to_string(), &found.named, &words);
        return Err(AppError::Replan(format!("this is a fault in classwright: the new plan cannot be run ({fault})")));
    }
    let after = Side { named: &found.named, layout: &found.layout };
    let mut document = document::new(&stood, &found, &events, &words);
    let gone = events.iter().filter_map(|event| match event {
        Event::Gone(id) => Some(id.as_str()),
        _ => None,
    });
    document.changes = diff::changes(before, after, &gone.collect::<Vec<_>>(), &words);
    if happened.why {
        document.why = Some(why::why(&asking, &found));
    }
    Ok((document, found.failures))
}

/// Why there is no plan. Somebody who has begun and is away longer than the written rest lasts is a cause that is
/// plainer than any that the floor itself knows.
fn sentences(causes: &[Cause], named: &NamedFloor, words: &Words) -> Vec<String> {
    let away = happened::away_too_long(named, words);
    if away.is_empty() { answer::sentences(causes, named, words) } else { away }
}

/// The second of the class that it is.
fn now_s(stood: &StoodPlan, at: Option<At>) -> Result<u32, String> {
    let session = &stood.doc.session;
    let before = stood.named.floor.now_s;
    let now = match at {
        None => before,
        Some(At::Into(seconds)) => seconds,
        Some(At::Clock(second)) => {
            let starts = session.starts.as_deref().and_then(|starts| Some((starts, read_minute(starts)?)));
            let Some((starts, minute)) = starts else {
                return Err(
                    "this plan does not say when the class starts: say how far in it is, as in --at +22:00".into()
                );
            };
            let start = u32::from(minute) * 60;
            // A class may run past midnight.
            let into = if second >= start { second - start } else { second + 86_400 - start };
            if into >= 43_200 {
                let at = format!("{:02}:{:02}", second / 3600, second / 60 % 60);
                return Err(format!(
                    "at {at} nothing has happened yet, for the class starts at {starts}: leave out --at to plan all of it"
                ));
            }
            into
        }
    };
    let finish = stood.doc.floor.finish_s;
    if stood.layout.is_some() && now >= finish && at.is_some() {
        return Err(format!(
            "the class is over at {}, and that is {} into it: there is nothing left to plan",
            clock(finish),
            clock(now)
        ));
    }
    if now < before {
        return Err(format!("this plan was made {} into the class, after that: say a later time", clock(before)));
    }
    Ok(now)
}

/// A gym's policies keep the limits that their owner gave them; the house policy has room for the effort.
fn heat_policies(gym: Option<&Path>, runtime: &Runtime, effort: u64) -> Result<Vec<OnShelf>, AppError> {
    let Some(folder) = gym else {
        let mut house = house_heats(runtime)?;
        widen(&mut house, effort);
        return Ok(vec![house]);
    };
    let gym = classwright_store::open(folder).map_err(AppError::Gym)?;
    Ok(open_shelf(&gym, runtime)?.policies)
}
