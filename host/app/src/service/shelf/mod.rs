//! The shelf of a gym: policies installed, tried, put in order, set, gone over to newer versions and back.
//!
//! A component is kept by the digest of its bytes; a policy, which is a name, stands on the shelf with one of them. It is
//! never asked before the owner has said so, and is taken out of the order where it is at fault three times in a row.
//! Every change is in the ledger, without a word that a policy said of a class.

mod conformance;
mod differences;
mod enable;
mod install;
mod limits;
mod list;
mod order;
mod outcome;
mod probes;
mod remove;
mod rollback;
mod settings;
mod show;
mod trial;
mod upgrade;

use classwright_store::db::components::Component;
use classwright_store::db::shelf::Entry;
use classwright_store::db::{AnyConnection, DbError, components, shelf};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::Stored;
use crate::AppError;
use crate::policy_doc::PolicyDoc;

pub use classwright_store::record::LimitsRecord;
pub use conformance::{ConformanceDoc, ProbeDoc};
pub use differences::DifferenceDoc;
pub use install::{InstalledDoc, Looked, Placed, Wishes};
pub use outcome::{FAULTS_IN_A_ROW, note_outcome};
pub use settings::{SettingDoc, SettingFaultDoc};
pub use show::{ShownDoc, StoodDoc, WaitingDoc};
pub use trial::{TrialDoc, TrialRequest, TripDoc};
pub use upgrade::{UpgradeDoc, UpgradeRequest};

/// A policy on the shelf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ShelvedDoc {
    /// Its name.
    pub policy: String,
    /// Version of the component that it stands with.
    pub version: String,
    /// What it is for, in a line.
    pub purpose: String,
    /// What it is asked for.
    pub kinds: Vec<String>,
    /// The component that it stands with.
    pub digest: String,
    /// Whether the owner wants it asked.
    pub enabled: bool,
    /// Whether it is asked: enabled, and not set aside.
    pub asked: bool,
    /// Whether it passed what every component is asked at its installation.
    pub passed: bool,
    /// The owner's settings.
    pub settings: Map<String, Value>,
    /// The owner's limits; what is not said is the host's.
    pub limits: LimitsRecord,
    /// Classes in a row that it was at fault in.
    pub faults: u32,
    /// Why it is not asked any more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_aside: Option<SetAsideDoc>,
}

/// Why a policy was taken out of the order. What was said of people stands in the plan, and nowhere else.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetAsideDoc {
    /// The class in which it was at fault last.
    pub class: String,
    /// The plan that has the fault.
    pub plan: String,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// Its version then.
    pub version: String,
    /// The component.
    pub digest: String,
    /// What was called.
    pub call: String,
    /// Kind of failure.
    pub kind: String,
    /// The rule that was broken, where one was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
}

/// What is kept of a component.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct About {
    pub(crate) policy: PolicyDoc,
    pub(crate) conformance: ConformanceDoc,
}

/// A policy on the shelf, with what is known of its component.
pub(crate) struct Shelved {
    pub(crate) entry: Entry,
    pub(crate) about: About,
}

/// Reads what is known of a component.
pub(crate) async fn about(conn: &mut AnyConnection, gym: &str, digest: &str) -> Result<About, DbError> {
    let component = components::get(conn, gym, digest).await?;
    serde_json::from_value(component.about)
        .map_err(|error| DbError::Damaged(format!("what is known of component {digest}: {error}")))
}

/// The components of a policy, the oldest first.
async fn components_of(conn: &mut AnyConnection, gym: &str, policy: &str) -> Result<Vec<Component>, DbError> {
    let all = components::list(conn, gym).await?;
    Ok(all.into_iter().filter(|component| component.about["policy"]["name"] == policy).collect())
}

async fn entry(conn: &mut AnyConnection, gym: &str, policy: &str) -> Result<Shelved, AppError> {
    let entry = shelf::get(conn, gym, policy).await?;
    let about = about(conn, gym, &entry.digest).await?;
    Ok(Shelved { entry, about })
}

impl Shelved {
    /// What is told of it.
    fn doc(self) -> Result<Stored<ShelvedDoc>, AppError> {
        let Shelved { entry, about } = self;
        let damaged = |error: serde_json::Error| DbError::Damaged(format!("policy {}: {error}", entry.policy));
        let doc = ShelvedDoc {
            version: about.policy.version,
            purpose: about.policy.purpose,
            kinds: about.policy.kinds,
            enabled: entry.enabled,
            asked: entry.is_asked(),
            passed: about.conformance.passed,
            settings: serde_json::from_str(&entry.settings).map_err(damaged)?,
            limits: serde_json::from_value(entry.limits.clone()).map_err(damaged)?,
            faults: u32::try_from(entry.faults).unwrap_or(u32::MAX),
            set_aside: entry.set_aside.clone().map(serde_json::from_value).transpose().map_err(damaged)?,
            digest: entry.digest,
            policy: entry.policy.clone(),
        };
        Ok(Stored { revision: entry.revision, value: doc })
    }
}

/// An error that names every place at which settings do not suit a schema.
fn must_hold(settings: &str, schema: &Value) -> Result<(), AppError> {
    let faults = settings::faults(settings, schema);
    let place = |fault: &SettingFaultDoc| match fault.place.as_str() {
        "" => "settings".to_owned(),
        place => format!("settings.{place}"),
    };
    let Some((first, rest)) = faults.split_first() else { return Ok(()) };
    let more: String = rest.iter().map(|fault| format!("; {}: {}", place(fault), fault.problem)).collect();
    Err(AppError::Input { field: Some(place(first)), problem: format!("{}{more}", first.problem) })
}

/// An error where a component failed the built-in questions.
fn must_have_passed(about: &About) -> Result<(), AppError> {
    let Some(failed) = about.conformance.probes.iter().find(|probe| probe.outcome == "failed") else { return Ok(()) };
    let why = failed.fault.as_ref().map_or("", |fault| fault.for_coach.as_str());
    let problem = format!(
        "{} {} failed a built-in question ({}, class `{}`): {why} Say `anyway` to have it asked all the same",
        about.policy.name, about.policy.version, failed.kind, failed.class
    );
    Err(AppError::input("", problem))
}
