//! A gym that is open for planning: its files read, its shelf ready; and one class of it planned.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use classwright_planning::{Class, Given, Plan, plan_given};
use classwright_policies::{PolicyFailure, Runtime, RuntimeOptions};
use classwright_store::{ClassSheet, Gym};
use classwright_training::{Athlete, AthleteIx, MovementLibrary, Session};

use crate::beside::Standing;
use crate::document::{Occasion, PlanDoc};
use crate::hour::Hour;
use crate::{AppError, Shelf, open_shelf, read_session};

/// A gym with everything that its classes are planned with: read from a folder, or from what a service keeps.
pub(crate) struct OpenGym {
    pub(crate) gym: Gym,
    pub(crate) library: Arc<MovementLibrary>,
    shelf: Shelf,
}

/// Who and what is planned.
pub(crate) struct Wanted<'a> {
    pub(crate) sheet: Option<&'a ClassSheet>,
    pub(crate) session: &'a Session,
    pub(crate) athletes: &'a [Athlete],
    /// Other classes, with their hours.
    pub(crate) beside: &'a [Standing],
}

/// A plan with its document.
pub(crate) struct Made {
    pub(crate) plan: Plan,
    pub(crate) document: PlanDoc,
}

impl OpenGym {
    /// Reads the gym folder. Compiled components are kept in `cache_dir`.
    pub(crate) fn open(folder: &Path, cache_dir: Option<PathBuf>) -> Result<OpenGym, AppError> {
        let gym = classwright_store::open(folder).map_err(AppError::Gym)?;
        let runtime = Runtime::new(RuntimeOptions { cache_dir, ..RuntimeOptions::default() })?;
        let shelf = open_shelf(&gym, &runtime)?;
        Ok(OpenGym::of(gym, shelf))
    }

    /// A gym that has been read, with its policies loaded.
    pub(crate) fn of(gym: Gym, shelf: Shelf) -> OpenGym {
        OpenGym { library: Arc::new(gym.library.clone()), gym, shelf }
    }

    /// A written session.
    pub(crate) fn session(&self, path: &Path) -> Result<Session, AppError> {
        Ok(read_session(path, &self.library)?.session)
    }

    /// The class to be planned.
    pub(crate) fn class<'a>(&'a self, wanted: &Wanted<'a>) -> Class<'a> {
        Class {
            session: wanted.session,
            library: &self.library,
            athletes: wanted.athletes,
            floor_kit: wanted.sheet.map_or(&self.gym.floor_kit, |sheet| &sheet.floor_kit),
            home_kits: &self.gym.home_kits,
            rules: wanted.sheet.map_or(&self.gym.rules, |sheet| &sheet.rules),
            shelf: &self.shelf.policies,
            unloaded: &self.shelf.unloaded,
        }
    }

    /// Plans a class around the others.
    pub(crate) fn plan(&self, wanted: &Wanted<'_>) -> Made {
        let class = self.class(wanted);
        let hour = wanted.sheet.map(Hour::of);
        let beside: Vec<_> =
            hour.iter().flat_map(|hour| wanted.beside.iter().map(|other| other.beside(hour))).collect();
        let pairs = |pairs: fn(&ClassSheet) -> &Vec<(AthleteIx, AthleteIx)>| -> Vec<(AthleteIx, AthleteIx)> {
            let own = |ix: AthleteIx| {
                let id = &self.gym.athletes[ix.0 as usize].id;
                wanted.athletes.iter().position(|athlete| athlete.id == *id).map(|at| AthleteIx(at as u32))
            };
            let all = wanted.sheet.into_iter().flat_map(pairs);
            all.filter_map(|&(a, b)| Some((own(a)?, own(b)?))).collect()
        };
        let (together, apart) = (pairs(|sheet| &sheet.together), pairs(|sheet| &sheet.apart));
        let mut plan = plan_given(&class, &Given { beside: &beside, together: &together, apart: &apart });
        if let (Some(hour), Some(sheet)) = (&hour, wanted.sheet) {
            let finish = plan.floor.finish_s().max(wanted.session.length_s);
            let told = wanted.beside.iter().flat_map(|other| other.meets(hour, finish, &sheet.coach, wanted.athletes));
            plan.notices.splice(0..0, told.collect::<Vec<_>>());
        }
        let occasion = Occasion { gym: &self.gym.name, sheet: wanted.sheet };
        let document = PlanDoc::new(&occasion, &class, &plan);
        Made { plan, document }
    }
}

impl Made {
    /// The first policy that failed, if one did.
    pub(crate) fn failure(&self) -> Option<PolicyFailure> {
        self.plan.faults.first().map(|fault| fault.failure.clone())
    }

    /// True where people are on the floor and no plan of it was found.
    pub(crate) fn no_floor_plan(&self) -> bool {
        !self.plan.floor.athletes.is_empty() && self.plan.floor.layout.starts.is_empty()
    }
}
