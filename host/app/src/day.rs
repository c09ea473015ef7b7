//! A whole day of one room: its classes in order of start, each planned around those before it.
//!
//! A class that runs past midnight stands in the way of the next day's too: where the day before has one, that day is
//! planned first, the same way, so that both days' plans agree.

use std::path::{Path, PathBuf};

use classwright_planning::waits;
use classwright_policies::PolicyFailure;
use classwright_store::ClassSheet;
use classwright_training::Session;
use classwright_training::session::Date;

use crate::AppError;
use crate::beside::{Standing, one_clock};
use crate::document::{DayClassDoc, DayDoc, iso};
use crate::hour::{Hour, day_before, days_between, read_date};
use crate::open_gym::{OpenGym, Wanted};
use crate::plan_class::{roster, schema};

/// Which day is to be planned.
#[derive(Clone, Debug)]
pub struct DayRequest<'a> {
    /// The gym's folder.
    pub gym: &'a Path,
    /// The day, such as 2026-12-07.
    pub date: &'a str,
    /// Where compiled components are kept between runs.
    pub cache_dir: Option<PathBuf>,
}

/// A planned day.
#[derive(Debug)]
pub struct PlannedDay {
    /// Its plans as a document.
    pub document: DayDoc,
    /// The first policy that failed, if one did. The plans stand all the same.
    pub failure: Option<PolicyFailure>,
    /// The first class of the day for which no floor plan was found.
    pub no_floor_plan: Option<String>,
}

/// A class that takes part in a day.
struct Turn<'a> {
    sheet: &'a ClassSheet,
    session: Session,
}

/// Plans a day.
pub fn plan_day(request: &DayRequest<'_>) -> Result<PlannedDay, AppError> {
    let date = read_date(request.date)
        .ok_or_else(|| AppError::Day(format!("`{}` is no day; write one such as 2026-12-07", request.date)))?;
    let open = OpenGym::open(request.gym, request.cache_dir.clone())?;
    let mut turns = of_date(&open, date)?;
    if turns.is_empty() {
        return Err(no_class(&open, date));
    }
    let mut first = date;
    loop {
        let before = day_before(first);
        let earlier = of_date(&open, before)?;
        if !earlier.iter().any(|turn| Hour::of(turn.sheet).clock_s() + turn.session.length_s > 86_400) {
            break;
        }
        turns.splice(0..0, earlier);
        first = before;
    }
    for pair in turns.windows(2) {
        let [a, b] = pair else { continue };
        one_clock(&a.sheet.id, &Hour::of(a.sheet), &b.sheet.id, &Hour::of(b.sheet)).map_err(AppError::Day)?;
    }
    let (mut standing, mut classes) = (Vec::new(), Vec::new());
    let (mut failure, mut no_floor_plan) = (None, None);
    for Turn { sheet, session } in &turns {
        let athletes = roster(&open.gym.athletes_on(Some(sheet.date)), Some(sheet), &[], &[])?;
        let wanted = Wanted { sheet: Some(sheet), session, athletes: &athletes, beside: &standing };
        let made = open.plan(&wanted);
        let hour = Hour::of(sheet);
        if sheet.date == date {
            let waits = waits(&open.class(&wanted), &made.plan);
            failure = failure.or(made.failure());
            no_floor_plan = no_floor_plan.or(made.no_floor_plan().then(|| sheet.id.clone()));
            classes.push(DayClassDoc::new(&made.document, &hour, waits.as_ref()));
        }
        standing.push(Standing::planned(&made.document, &made.plan, &hour));
    }
    let document = DayDoc { gym: open.gym.name.clone(), date: iso(date), classes };
    Ok(PlannedDay { document, failure, no_floor_plan })
}

/// JSON Schema (draft 2020-12) of a day.
pub fn day_schema() -> serde_json::Value {
    schema::<DayDoc>()
}

/// The classes of a day in order of start.
fn of_date(open: &OpenGym, date: Date) -> Result<Vec<Turn<'_>>, AppError> {
    let mut sheets: Vec<&ClassSheet> = open.gym.classes.iter().filter(|sheet| sheet.date == date).collect();
    sheets.sort_by_key(|sheet| (sheet.start_minute, &sheet.id));
    sheets.into_iter().map(|sheet| Ok(Turn { sheet, session: open.session(&sheet.session)? })).collect()
}

fn no_class(open: &OpenGym, date: Date) -> AppError {
    // Of two as near, the one that is still to come.
    let far = |own: Date| (days_between(date, own).abs(), days_between(date, own) < 0);
    let near = open.gym.classes.iter().map(|sheet| sheet.date).min_by_key(|own| far(*own));
    let hint = near.map_or_else(String::new, |near| format!("; the nearest day with one is {}", iso(near)));
    AppError::Day(format!("the gym has no class on {}{hint}", iso(date)))
}
