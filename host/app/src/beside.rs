//! Plans of other classes in the same room: what stands, when, and where it meets the class that is planned.
//!
//! A plan is taken from its document alone. Refused is what cannot be held against this class: another gym's plan, one
//! without an hour, one by another clock, one of a day on which the two never meet.

use std::path::{Path, PathBuf};

use classwright_planning::floor::{Claims, FloorFault, check};
use classwright_planning::{Beside, Plan, wall_clock};
use classwright_training::Athlete;
use classwright_training::floor::{Floor, Layout};

use crate::AppError;
use crate::document::{PlanDoc, SessionDoc};
use crate::hour::Hour;

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
        let wrong = |problem: String| AppError::Beside { path: path.into(), problem };
        let text = std::fs::read_to_string(path)
            .map_err(|error| AppError::File { path: path.into(), problem: error.to_string() })?;
        let document: PlanDoc = serde_json::from_str(&text).map_err(|error| {
            wrong(format!("is no plan ({error}); write one with `classwright plan --class NAME --json`"))
        })?;
        let own = hour_of(&document.session, gym, class, hour).map_err(wrong)?;
        let named = document.floor.asked.floor().map_err(|error| wrong(error.to_string()))?;
        let layout = document.floor.layout(&named).map_err(|error| wrong(error.to_string()))?;
        if let Some(fault) = layout.as_ref().and_then(|layout| first_fault(&named.floor, layout)) {
            return Err(wrong(format!("is no plan that can be run ({fault}); plan that class again")));
        }
        Ok(Standing::new(&document, own, named.floor, layout.unwrap_or_default()))
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
        let names: Vec<&str> = twice.map(|athlete| athlete.name.as_str()).collect();
        if let Some((last, others)) = names.split_last() {
            let is = if others.is_empty() { "is" } else { "are" };
            let names =
                if others.is_empty() { (*last).to_owned() } else { format!("{} and {last}", others.join(", ")) };
            said.push(format!(
                "{names} {is} checked in to {class} too ({from} to {to}): take them out of one of the two."
            ));
        }
        said
    }
}

/// What keeps a plan from being run. People in turn may take more heats than the gym's rules have.
fn first_fault(floor: &Floor, layout: &Layout) -> Option<FloorFault> {
    let told = Floor { max_heats: u32::MAX, present: Some(layout.clone()), ..floor.clone() };
    check(&told, layout).into_iter().next()
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
