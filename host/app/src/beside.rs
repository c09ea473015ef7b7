//! Plans of other classes in the same room: what stands, when, and where it meets the class that is planned.
//!
//! A plan is taken from its document alone, once that could be run as it stands. Refused is what cannot be held against
//! this class: another gym's plan, one without an hour, one by another clock, one of a day on which the two never meet.

use std::path::{Path, PathBuf};

use classwright_planning::floor::Claims;
use classwright_planning::{Beside, Plan, wall_clock};
use classwright_training::Athlete;
use classwright_training::floor::{Floor, Layout};

use crate::AppError;
use crate::document::{PlanDoc, SessionDoc};
use crate::hour::Hour;
use crate::plan_file::{StoodPlan, read_plan};
use crate::replan::and;

/// A class whose plan stands.
pub(crate) struct Standing {
    /// Its name.
    pub(crate) class: String,
    hour: Hour,
    /// Its length, or the end of its plan where that is later.
    end_s: u32,
    coach: Option<String>,
    /// Ids of those who are checked in.
    athletes: Vec<String>,
    floor: Floor,
    layout: Layout,
}

impl Standing {
    /// A class that has just been planned.
    pub(crate) fn planned(document: &PlanDoc, plan: &Plan, hour: &Hour) -> Standing {
        Standing::new(document, hour.clone(), plan.floor.floor.clone(), plan.floor.layout.clone())
    }

    /// The class of a plan's document in a file, as far as it can be held against a class of a gym.
    pub(crate) fn read(path: &Path, gym: &str, class: &str, hour: &Hour) -> Result<Standing, AppError> {
        let stood = read_plan(path)?;
        Standing::stood(stood, gym, class, hour).map_err(|problem| AppError::Beside { path: path.into(), problem })
    }

    /// The class of a plan, or why it cannot be held against a class of a gym.
    pub(crate) fn stood(plan: StoodPlan, gym: &str, class: &str, hour: &Hour) -> Result<Standing, String> {
        let StoodPlan { doc, named, layout } = plan;
        let own = hour_of(&doc.session, gym, class, hour)?;
        Ok(Standing::new(&doc, own, named.floor, layout.unwrap_or_default()))
    }

    fn new(document: &PlanDoc, hour: Hour, floor: Floor, layout: Layout) -> Standing {
        let session = &document.session;
        Standing {
            class: session.class.clone().unwrap_or_else(|| session.title.clone()),
            hour,
            end_s: session.length_s.max(session.finish_s),
            coach: session.coach.clone(),
            athletes: document.cards.iter().map(|card| card.athlete.clone()).collect(),
            floor,
            layout,
        }
    }

    /// What of it concerns a class that starts at this hour.
    pub(crate) fn beside(&self, hour: &Hour) -> Beside {
        let claims = match self.layout.starts.is_empty() {
            true => Claims::default(),
            false => Claims::of(&self.floor, &self.layout, self.hour.later_than(hour)),
        };
        Beside { class: self.class.clone(), claims, clock_s: hour.clock_s() }
    }

    /// What the coach of a class should know of the other: no plan to go by, the same coach, the same people.
    pub(crate) fn meets(&self, hour: &Hour, end_s: u32, coach: &str, athletes: &[Athlete]) -> Vec<String> {
        let later = self.hour.later_than(hour);
        if later >= i64::from(end_s) || later + i64::from(self.end_s) <= 0 {
            return Vec::new();
        }
        let clock = |second| wall_clock(self.hour.clock_s(), second);
        let (class, from, to) = (&self.class, clock(0), clock(self.end_s));
        let mut said = Vec::new();
        if self.layout.starts.is_empty() && !self.floor.athletes.is_empty() {
            said.push(format!("{class} ({from} to {to}) has no floor plan, so nobody knows what kit it holds."));
        }
        if self.coach.as_deref() == Some(coach) {
            said.push(format!(
                "{coach} also coaches {class} from {from} to {to}: have somebody else at one of the two."
            ));
        }
        let twice = athletes.iter().filter(|athlete| self.athletes.contains(&athlete.id));
        let names: Vec<String> = twice.map(|athlete| athlete.name.clone()).collect();
        if let Some(who) = and(&names) {
            let is = if names.len() == 1 { "is" } else { "are" };
            said.push(format!(
                "{who} {is} checked in to {class} too ({from} to {to}): take them out of one of the two."
            ));
        }
        said
    }
}

/// The other plans of a class; none may stand twice.
pub(crate) fn read_all(paths: &[PathBuf], gym: &str, class: &str, hour: &Hour) -> Result<Vec<Standing>, AppError> {
    let mut all: Vec<Standing> = Vec::new();
    for path in paths {
        let other = Standing::read(path, gym, class, hour)?;
        if all.iter().any(|known| known.class == other.class && known.hour == other.hour) {
            let problem = format!("is a second plan of {}; keep the one that holds", other.class);
            return Err(AppError::Beside { path: path.clone(), problem });
        }
        all.push(other);
    }
    Ok(all)
}

fn hour_of(session: &SessionDoc, gym: &str, class: &str, hour: &Hour) -> Result<Hour, String> {
    if session.gym != gym {
        return Err(format!("is a plan of {}, and this class is in {gym}: name a plan of this gym", session.gym));
    }
    let (Some(date), Some(starts), Some(zone)) = (&session.date, &session.starts, &session.zone) else {
        return Err("does not say when it starts: plan its class with --class".into());
    };
    let other = Hour::read(date, starts, zone)
        .ok_or_else(|| format!("starts at `{starts}` on `{date}`, which is no time of any day"))?;
    if session.class.as_deref() == Some(class) && other == *hour {
        return Err("is a plan of this very class: name the plans of the others".into());
    }
    one_clock(session.class.as_deref().unwrap_or("it"), &other, class, hour)?;
    let later = other.later_than(hour);
    let meet = later + i64::from(session.length_s.max(session.finish_s)) > 0;
    if other.date != hour.date && !(meet && later < 86_400) {
        let (its, ours) = (crate::document::iso(other.date), crate::document::iso(hour.date));
        return Err(format!("is of {its}, and this class is on {ours}: the two never meet"));
    }
    Ok(other)
}

/// Two classes of one gym go by one clock.
pub(crate) fn one_clock(name: &str, other: &Hour, class: &str, hour: &Hour) -> Result<(), String> {
    if other.zone == hour.zone {
        return Ok(());
    }
    Err(format!(
        "{name} goes by the clock of {}, and {class} by that of {}: a room has one clock",
        other.zone, hour.zone
    ))
}
