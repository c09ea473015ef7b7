//! Taking a component in: looked into, asked about built-in classes, kept by its digest. It is asked about no class of
//! the gym before the owner enables it.

use classwright_policies::Runtime;
use classwright_store::db::shelf::Entry;
use classwright_store::db::{Write, components, shelf};
use classwright_store::record::LimitsRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::conformance::{ConformanceDoc, conformance};
use super::{About, limits};
use crate::AppError;
use crate::policy_doc::{PolicyDoc, look_into};
use crate::service::{Service, Who};

/// No gym needs more, and a list of them is never longer than a page.
const MOST_POLICIES: usize = 50;

/// What was installed.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct InstalledDoc {
    /// What it is.
    pub policy: PolicyDoc,
    /// What it answered to built-in questions.
    pub conformance: ConformanceDoc,
    /// Where it is now.
    pub placed: Placed,
}

/// Where a component is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Placed {
    /// At the end of the shelf, not asked until it is enabled.
    New,
    /// On the shelf already, with this component.
    Standing,
    /// Beside the shelf, where the policy stands with another component: an upgrade goes over to this one.
    Waiting,
}

/// A component that was looked into, ready to be kept.
pub struct Looked {
    bytes: Vec<u8>,
    about: About,
}

/// The owner's wishes for a policy that is put on the shelf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Whether it is asked.
    pub enabled: bool,
    /// Settings.
    pub settings: Map<String, Value>,
    /// Limits.
    pub limits: LimitsRecord,
}

impl Looked {
    /// Looks into a component. Calls the policy: to be done in the pool.
    pub(crate) fn into(runtime: &Runtime, bytes: Vec<u8>) -> Result<Looked, AppError> {
        let (policy, doc) = look_into(runtime, &bytes)?;
        let conformance = conformance(&policy, &doc);
        Ok(Looked { bytes, about: About { policy: doc, conformance } })
    }

    /// The policy's name.
    pub fn name(&self) -> &str {
        &self.about.policy.name
    }

    /// Keeps it, and puts it at the end of the shelf where no policy of its name stands there yet.
    pub(crate) async fn keep(self, change: &mut Write, wishes: &Wishes) -> Result<InstalledDoc, AppError> {
        let Looked { bytes, about } = self;
        let gym = change.gym().to_owned();
        let (name, digest) = (&about.policy.name, &about.policy.digest);
        let kept = serde_json::to_value(&about).map_err(|error| AppError::Fault(error.to_string()))?;
        let new = components::keep(change, &bytes, &kept).await?;
        let placed = match shelf::find(change.conn(), &gym, name).await? {
            Some(stands) if stands.digest == *digest => Placed::Standing,
            Some(_) => Placed::Waiting,
            None => {
                if shelf::whole(change.conn(), &gym).await?.len() >= MOST_POLICIES {
                    let problem = format!("there are {MOST_POLICIES} policies on the shelf: remove one first");
                    return Err(AppError::input("", problem));
                }
                shelf::put(change, &entry(&about, wishes)?).await?;
                Placed::New
            }
        };
        if new || placed == Placed::New {
            let detail = json!({
                "digest": digest, "version": about.policy.version, "passed": about.conformance.passed, "placed": placed,
                "enabled": placed == Placed::New && wishes.enabled,
            });
            change.note("policy.installed", &format!("policy:{name}"), detail).await?;
        }
        Ok(InstalledDoc { policy: about.policy, conformance: about.conformance, placed })
    }
}

/// The entry of a policy that is put on the shelf, if its settings and limits hold.
fn entry(about: &About, wishes: &Wishes) -> Result<Entry, AppError> {
    let settings = Value::Object(wishes.settings.clone()).to_string();
    // What is not asked yet may have its settings set later.
    if wishes.enabled || !wishes.settings.is_empty() {
        super::must_hold(&settings, &about.policy.settings_schema)?;
    }
    limits::in_range(&wishes.limits)?;
    Ok(Entry {
        policy: about.policy.name.clone(),
        revision: 1,
        digest: about.policy.digest.clone(),
        enabled: wishes.enabled,
        settings,
        limits: serde_json::to_value(wishes.limits).map_err(|error| AppError::Fault(error.to_string()))?,
        faults: 0,
        set_aside: None,
    })
}

impl Service {
    /// Looks into a component, in the pool.
    pub async fn look_into(&self, gym: &str, bytes: Vec<u8>) -> Result<Looked, AppError> {
        let runtime = self.runtime().clone();
        self.in_pool(gym, move || Looked::into(&runtime, bytes)).await?
    }

    /// Installs a component. A policy of a new name is put at the end of the shelf, not asked until it is enabled; where
    /// one of that name stands there, the component waits beside it for an upgrade.
    pub async fn install_policy(&self, who: &Who, bytes: Vec<u8>) -> Result<InstalledDoc, AppError> {
        let looked = self.look_into(&who.gym, bytes).await?;
        let mut change = self.change(who).await?;
        let installed = looked.keep(&mut change, &Wishes::default()).await?;
        change.commit().await?;
        Ok(installed)
    }
}
