//! Planning a class from a gym folder and a session file.

use std::path::{Path, PathBuf};

use classwright_policies::PolicyFailure;
use classwright_store::{ClassSheet, Gym};
use classwright_training::{Athlete, AthleteIx};

use crate::document::PlanDoc;
use crate::hour::Hour;
use crate::open_gym::{OpenGym, Wanted};
use crate::{AppError, beside};

/// Which class is to be planned.
#[derive(Clone, Debug)]
pub struct PlanRequest<'a> {
    /// The gym's folder.
    pub gym: &'a Path,
    /// The session file; the class's own where it is left out.
    pub session: Option<&'a Path>,
    /// The class (the name of its file in `classes/`): its session, who comes, and the kit of that hour.
    pub class: Option<&'a str>,
    /// Athletes (ids) who come; those of the class, or everybody on the roster, where it is empty.
    pub present: &'a [String],
    /// Athletes (ids) who do not.
    pub absent: &'a [String],
    /// Plans (files) of other classes in the same room, whose kit is taken as theirs.
    pub beside: &'a [PathBuf],
    /// Where compiled components are kept between runs.
    pub cache_dir: Option<PathBuf>,
}

/// A planned class.
#[derive(Debug)]
pub struct Planned {
    /// The plan as a document.
    pub document: PlanDoc,
    /// The first policy that failed, if one did. The plan stands all the same.
    pub failure: Option<PolicyFailure>,
    /// True where people are on the floor and no plan of it was found.
    pub no_floor_plan: bool,
}

/// Plans a class.
pub fn plan_class(request: &PlanRequest<'_>) -> Result<Planned, AppError> {
    let open = OpenGym::open(request.gym, request.cache_dir.clone())?;
    let sheet = request.class.map(|id| sheet(&open.gym, id)).transpose()?;
    let session = request.session.or(sheet.map(|sheet| sheet.session.as_path())).ok_or(AppError::NoSession)?;
    let session = open.session(session)?;
    let day = sheet.map(|sheet| sheet.date).or(session.date);
    let athletes = roster(&open.gym.athletes_on(day), sheet, request.present, request.absent)?;
    let beside = match (sheet, request.beside) {
        (_, []) => Vec::new(),
        (None, _) => return Err(AppError::BesideNoClass),
        (Some(sheet), paths) => beside::read_all(paths, &open.gym.name, &sheet.id, &Hour::of(sheet))?,
    };
    let made = open.plan(&Wanted { sheet, session: &session, athletes: &athletes, beside: &beside });
    let (failure, no_floor_plan) = (made.failure(), made.no_floor_plan());
    Ok(Planned { document: made.document, failure, no_floor_plan })
}

/// JSON Schema (draft 2020-12) of a plan.
pub fn plan_schema() -> serde_json::Value {
    schema::<PlanDoc>()
}

/// JSON Schema (draft 2020-12) of what a command prints.
pub(crate) fn schema<T: schemars::JsonSchema>() -> serde_json::Value {
    schemars::generate::SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>()
        .to_value()
}

fn sheet<'a>(gym: &'a Gym, id: &str) -> Result<&'a ClassSheet, AppError> {
    gym.classes.iter().find(|sheet| sheet.id == id).ok_or_else(|| AppError::NoSuch {
        what: "class",
        id: id.into(),
        nearest: nearest(id, gym.classes.iter().map(|sheet| sheet.id.as_str())),
    })
}

/// Who comes, in roster order: those who are named as present, else those of the class, else all; less the absent.
pub(crate) fn roster(
    all: &[Athlete],
    sheet: Option<&ClassSheet>,
    present: &[String],
    absent: &[String],
) -> Result<Vec<Athlete>, AppError> {
    for id in present.iter().chain(absent) {
        if !all.iter().any(|athlete| athlete.id == *id) {
            let nearest = nearest(id, all.iter().map(|athlete| athlete.id.as_str()));
            return Err(AppError::NoSuch { what: "athlete", id: id.clone(), nearest });
        }
    }
    let of_class = |at: usize| sheet.is_none_or(|sheet| sheet.present.contains(&AthleteIx(at as u32)));
    let comes = |(at, athlete): &(usize, &Athlete)| {
        let wanted = if present.is_empty() { of_class(*at) } else { present.contains(&athlete.id) };
        wanted && !absent.contains(&athlete.id)
    };
    Ok(all.iter().enumerate().filter(comes).map(|(_, athlete)| athlete.clone()).collect())
}

/// The known id nearest to what was written, if any is near.
pub(crate) fn nearest<'a>(id: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let distance = |known: &str| strsim::damerau_levenshtein(known, id);
    let near = known.min_by_key(|known| distance(known))?;
    (distance(near) <= 1 + id.chars().count() / 3).then(|| near.to_owned())
}
