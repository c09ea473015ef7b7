//! What a plan is made from, written down so that it can be made again.
//!
//! [`Question`] is kept with the plan as JSON, always in the same bytes for the same question. It names everything by
//! digest: the files of a gym folder that holds this one class and whoever comes to it, plans of other classes, and the
//! components in the order in which they are asked. [`plan_from`] answers it, for a plan and for its replay alike.

use std::collections::BTreeMap;
use std::path::Path;

use classwright_policies::{Limits, PolicyFailure};
use classwright_store::record::{AthleteRecords, ClassRecord, GymRecords, LimitsRecord};
use classwright_store::{Files, ShelfLimits, db, read_files};
use classwright_training::notation;
use serde::{Deserialize, Serialize};

use crate::again::Again;
use crate::beside::Standing;
use crate::document::PlanDoc;
use crate::hour::Hour;
use crate::open_gym::{OpenGym, Wanted};
use crate::plan_file::stood;
use crate::replan::replan_stood;
use crate::shelf::{Loaded, limits};
use crate::{AppError, Shelf};

/// This host, as a question names it.
pub(crate) const HOST: &str = env!("CARGO_PKG_VERSION");

/// What a plan answers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Question {
    /// Version of the host that answered.
    pub(crate) host: String,
    /// What is planned.
    pub(crate) asked: Asked,
    /// Policies in the order in which they are asked.
    pub(crate) shelf: Vec<ShelfInput>,
}

/// What is planned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) enum Asked {
    /// A class.
    Class {
        /// Its id.
        class: String,
        /// Digests of the texts of a gym folder, by name.
        files: BTreeMap<String, String>,
        /// Plans of other classes in the same room.
        beside: Vec<PlanInput>,
    },
    /// A class again, after something has happened.
    Again {
        /// The plan that stood.
        parent: PlanInput,
        /// What has happened.
        happened: Again,
    },
}

/// A plan that something is made from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct PlanInput {
    /// Its id.
    pub(crate) plan: String,
    /// Digest of its document.
    pub(crate) digest: String,
}

/// A policy that is asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct ShelfInput {
    /// Its name on the shelf.
    pub(crate) policy: String,
    /// The component.
    pub(crate) digest: String,
    /// The owner's settings: an object.
    pub(crate) settings: serde_json::Value,
    /// What one call may use, where the owner said so.
    pub(crate) limits: LimitsRecord,
}

/// A question with all that it names but the components.
#[derive(Clone, Debug)]
pub(crate) struct Inputs {
    pub(crate) question: Question,
    /// Texts by digest: files, and documents of plans.
    pub(crate) texts: BTreeMap<String, String>,
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    /// The plan.
    pub(crate) document: PlanDoc,
}

/// Loads a component by digest, to be called within limits.
pub(crate) type Load<'a> = dyn Fn(&str, &Limits) -> Result<Loaded, PolicyFailure> + 'a;

impl Question {
    /// As it is kept.
    pub(crate) fn text(&self) -> Result<String, AppError> {
        serde_json::to_string(self).map_err(|error| AppError::Fault(format!("a question has no JSON form: {error}")))
    }

    /// Digests of the texts that it names by digest alone, and of what each of them is.
    pub(crate) fn files(&self) -> impl Iterator<Item = (&str, &str)> {
        let files = match &self.asked {
            Asked::Class { files, .. } => Some(files),
            Asked::Again { .. } => None,
        };
        files.into_iter().flatten().map(|(name, digest)| (name.as_str(), digest.as_str()))
    }

    /// The plans that it is made from.
    pub(crate) fn plans(&self) -> &[PlanInput] {
        match &self.asked {
            Asked::Class { beside, .. } => beside,
            Asked::Again { parent, .. } => std::slice::from_ref(parent),
        }
    }
}

impl ShelfInput {
    /// What one call may use.
    pub(crate) fn limits(&self) -> Limits {
        let LimitsRecord { fuel, wall_ms, memory_mib, answer_mib } = self.limits;
        limits(&ShelfLimits { fuel, wall_ms, memory_mib, answer_mib })
    }
}

/// The folder of a gym that has this class alone, with whoever comes to it: the class as it is checked in, the text of
/// its session.
pub(crate) fn class_files(gym: &GymRecords, class: &ClassRecord, session: &str) -> Files {
    let comes = |athlete: &&AthleteRecords| match (&class.present, &class.absent) {
        (Some(present), _) => present.contains(&athlete.record.id),
        (None, Some(absent)) => !absent.contains(&athlete.record.id),
        (None, None) => true,
    };
    let athletes: Vec<AthleteRecords> = gym.athletes.iter().filter(comes).cloned().collect();
    let there = |id: &String| athletes.iter().any(|athlete| athlete.record.id == *id);
    let pairs = |pairs: &[[String; 2]]| pairs.iter().filter(|pair| pair.iter().all(there)).cloned().collect();
    let (together, apart) = (pairs(&class.together), pairs(&class.apart));
    let present = athletes.iter().map(|athlete| athlete.record.id.clone()).collect();
    let class = ClassRecord { present: Some(present), absent: None, together, apart, ..class.clone() };
    let gym = GymRecords {
        athletes,
        sessions: [(class.session.clone(), session.to_owned())].into(),
        classes: vec![class],
        shelf: Vec::new(),
        ..gym.clone()
    };
    gym.files()
}

/// Digests of files by name, and their texts by digest.
pub(crate) fn by_digest(files: Files) -> (BTreeMap<String, String>, BTreeMap<String, String>) {
    let named = files.into_iter().map(|(name, text)| (name, db::digest(&text), text));
    named.map(|(name, digest, text)| ((name, digest.clone()), (digest, text))).unzip()
}

/// Answers a question. The same question and the same components give the same document.
pub(crate) fn plan_from(inputs: &Inputs, load: &Load<'_>) -> Result<Answer, AppError> {
    let Question { asked, shelf, .. } = &inputs.question;
    let shelf = open(shelf, load);
    match asked {
        Asked::Class { class, files, beside } => {
            let texts: Files = files
                .iter()
                .map(|(name, digest)| Ok((name.clone(), inputs.text(digest)?.to_owned())))
                .collect::<Result<_, AppError>>()?;
            plan_class_of(class, &texts, &inputs.stood(beside)?, shelf)
        }
        Asked::Again { parent, happened } => {
            let stood = stood(inputs.text(&parent.digest)?.as_bytes())
                .map_err(|problem| AppError::Fault(format!("plan {}: {problem}", parent.plan)))?;
            let policies = |_| Ok(shelf.policies);
            let (document, _) = replan_stood(stood, &happened.read()?, policies)?;
            Ok(Answer { document })
        }
    }
}

impl Inputs {
    fn text(&self, digest: &str) -> Result<&str, AppError> {
        let text = self.texts.get(digest);
        text.map(String::as_str).ok_or_else(|| AppError::Fault(format!("the text {digest} is not at hand")))
    }

    fn stood<'a>(&'a self, plans: &'a [PlanInput]) -> Result<Vec<(&'a str, &'a str)>, AppError> {
        plans.iter().map(|own| Ok((own.plan.as_str(), self.text(&own.digest)?))).collect()
    }
}

fn plan_class_of(class: &str, files: &Files, beside: &[(&str, &str)], shelf: Shelf) -> Result<Answer, AppError> {
    let gym = read_files(files).map_err(AppError::Gym)?;
    let sheet = gym.classes.iter().find(|sheet| sheet.id == class);
    let sheet = sheet.cloned().ok_or_else(|| AppError::missing("class", class))?;
    let name = sheet.session.to_string_lossy();
    let text = files.get(name.as_ref()).ok_or_else(|| AppError::Fault(format!("{name} is not at hand")))?;
    let open = OpenGym::of(gym, shelf);
    let session = notation::parse_bytes(text.as_bytes(), &open.library).map_err(|errors| AppError::Session {
        path: sheet.session.clone(),
        text: text.clone(),
        errors,
    })?;
    let hour = Hour::of(&sheet);
    let mut standing = Vec::new();
    for (plan, body) in beside {
        let of = |problem: String| AppError::Beside { path: Path::new(plan).into(), problem };
        let stood = stood(body.as_bytes()).map_err(of)?;
        standing.push(Standing::stood(stood, &open.gym.name, class, &hour).map_err(of)?);
    }
    let athletes = open.gym.athletes_on(Some(sheet.date));
    let made = open.plan(&Wanted { sheet: Some(&sheet), session: &session, athletes: &athletes, beside: &standing });
    Ok(Answer { document: made.document })
}

/// The shelf of a question. A component that is not to be had is a failure of the plan, as one in a folder is.
fn open(shelf: &[ShelfInput], load: &Load<'_>) -> Shelf {
    let mut open = Shelf::default();
    for entry in shelf {
        let limits = entry.limits();
        let named = |failure: PolicyFailure| match failure.policy.is_empty() {
            true => PolicyFailure { policy: entry.policy.clone(), ..failure },
            false => failure,
        };
        let loaded = load(&entry.digest, &limits).map_err(named);
        open.put(loaded.as_ref(), &entry.settings.to_string(), limits);
    }
    open
}
