//! Planning a class from a gym folder and a session file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use classwright_planning::{Class, Plan, plan};
use classwright_policies::{PolicyFailure, Runtime, RuntimeOptions};
use classwright_store::{ClassSheet, Gym};
use classwright_training::{Athlete, AthleteIx};

use crate::document::PlanDoc;
use crate::{AppError, open_shelf, read_session};

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
    let gym = classwright_store::open(request.gym).map_err(AppError::Gym)?;
    let sheet = request.class.map(|id| sheet(&gym, id)).transpose()?;
    let session = request.session.or(sheet.map(|sheet| sheet.session.as_path())).ok_or(AppError::NoSession)?;
    let library = Arc::new(gym.library.clone());
    let session = read_session(session, &library)?.session;
    let athletes = roster(&gym.athletes, sheet, request)?;
    let runtime = Runtime::new(RuntimeOptions { cache_dir: request.cache_dir.clone(), ..RuntimeOptions::default() })?;
    let shelf = open_shelf(&gym, &runtime)?;
    let class = Class {
        session: &session,
        library: &library,
        athletes: &athletes,
        floor_kit: sheet.map_or(&gym.floor_kit, |sheet| &sheet.floor_kit),
        home_kits: &gym.home_kits,
        rules: &gym.rules,
        shelf: &shelf.policies,
        unloaded: &shelf.unloaded,
    };
    let plan: Plan = plan(&class);
    let failure = plan.faults.first().map(|fault| fault.failure.clone());
    let no_floor_plan = !plan.floor.athletes.is_empty() && plan.floor.layout.starts.is_empty();
    Ok(Planned { document: PlanDoc::new(&gym.name, &class, &plan), failure, no_floor_plan })
}

/// JSON Schema (draft 2020-12) of a plan.
pub fn plan_schema() -> serde_json::Value {
    schemars::generate::SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<PlanDoc>()
        .to_value()
}

fn sheet<'a>(gym: &'a Gym, id: &str) -> Result<&'a ClassSheet, AppError> {
    gym.classes.iter().find(|sheet| sheet.id == id).ok_or_else(|| AppError::NoSuch {
        what: "class",
        id: id.into(),
        nearest: nearest(id, gym.classes.iter().map(|sheet| sheet.id.as_str())),
    })
}

fn roster(all: &[Athlete], sheet: Option<&ClassSheet>, request: &PlanRequest<'_>) -> Result<Vec<Athlete>, AppError> {
    for id in request.present.iter().chain(request.absent) {
        if !all.iter().any(|athlete| athlete.id == *id) {
            let nearest = nearest(id, all.iter().map(|athlete| athlete.id.as_str()));
            return Err(AppError::NoSuch { what: "athlete", id: id.clone(), nearest });
        }
    }
    let of_class = |at: usize| sheet.is_none_or(|sheet| sheet.present.contains(&AthleteIx(at as u32)));
    let comes = |(at, athlete): &(usize, &Athlete)| {
        let wanted = if request.present.is_empty() { of_class(*at) } else { request.present.contains(&athlete.id) };
        wanted && !request.absent.contains(&athlete.id)
    };
    Ok(all.iter().enumerate().filter(comes).map(|(_, athlete)| athlete.clone()).collect())
}

/// The known id nearest to what was written, if any is near.
fn nearest<'a>(id: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let distance = |known: &str| strsim::damerau_levenshtein(known, id);
    let near = known.min_by_key(|known| distance(known))?;
    (distance(near) <= 1 + id.chars().count() / 3).then(|| near.to_owned())
}
