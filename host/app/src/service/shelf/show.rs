//! Everything about one policy.

use classwright_store::db::components::Component;
use classwright_store::db::{AnyConnection, DbError, components, plans, shelf};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{ConformanceDoc, SetAsideDoc, SettingDoc, ShelvedDoc, settings};
use crate::AppError;
use crate::document::{FaultDoc, PlanDoc};
use crate::policy_doc::PolicyDoc;
use crate::service::{Service, Stored, Who};

/// A policy with all that is known of it.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ShownDoc {
    /// How it stands on the shelf.
    pub shelf: ShelvedDoc,
    /// The component that it stands with.
    pub component: PolicyDoc,
    /// Who installed that: a user's id.
    pub installed_by: String,
    /// When, in milliseconds since 1970.
    pub installed_at: i64,
    /// What it answered to built-in questions.
    pub conformance: ConformanceDoc,
    /// Everything that can be set, with what is set.
    pub settings: Vec<SettingDoc>,
    /// The fault for which it was set aside, as the plan has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<FaultDoc>,
    /// What it stood with before, the first first. A rollback takes the last.
    pub before: Vec<StoodDoc>,
    /// Other components of its name, for an upgrade.
    pub waiting: Vec<WaitingDoc>,
}

/// What a policy stood with before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StoodDoc {
    /// Version.
    pub version: String,
    /// The component.
    pub digest: String,
    /// The settings then.
    pub settings: Map<String, Value>,
}

/// A component that is kept and does not stand on the shelf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct WaitingDoc {
    /// Version.
    pub version: String,
    /// Its digest.
    pub digest: String,
    /// Who installed it.
    pub installed_by: String,
    /// When, in milliseconds since 1970.
    pub installed_at: i64,
}

impl Service {
    /// Everything about one policy.
    pub async fn policy(&self, who: &Who, policy: &str) -> Result<Stored<ShownDoc>, AppError> {
        let gym = &who.gym;
        let mut conn = self.db().read().await?;
        let shelved = super::entry(&mut conn, gym, policy).await?;
        let (digest, set) = (shelved.entry.digest.clone(), shelved.entry.settings.clone());
        let about = shelved.about.clone();
        let Stored { revision, value: shelf } = shelved.doc()?;
        let installed = components::get(&mut conn, gym, &digest).await?;
        let mut before = Vec::new();
        for stood in shelf::before(&mut conn, gym, policy).await? {
            let about = super::about(&mut conn, gym, &stood.digest).await?;
            let settings = serde_json::from_str(&stood.settings).unwrap_or_default();
            before.push(StoodDoc { version: about.policy.version, digest: stood.digest, settings });
        }
        let of_it = super::components_of(&mut conn, gym, policy).await?;
        let stands = |of: &str| of == digest || before.iter().any(|stood| stood.digest == of);
        let waiting = of_it.into_iter().filter(|waiting| !stands(&waiting.digest)).map(WaitingDoc::from).collect();
        let fault = match &shelf.set_aside {
            Some(aside) => fault_of(&mut conn, gym, aside).await?,
            None => None,
        };
        let shown = ShownDoc {
            settings: settings::listed(&about.policy.settings_schema, &set),
            component: about.policy,
            conformance: about.conformance,
            installed_by: installed.installed_by,
            installed_at: installed.installed_at,
            shelf,
            fault,
            before,
            waiting,
        };
        Ok(Stored { revision, value: shown })
    }
}

impl From<Component> for WaitingDoc {
    fn from(component: Component) -> Self {
        let Component { digest, about, installed_by, installed_at } = component;
        let version = about["policy"]["version"].as_str().unwrap_or_default().to_owned();
        WaitingDoc { version, digest, installed_by, installed_at }
    }
}

/// The fault for which a policy was set aside, read from the plan.
async fn fault_of(conn: &mut AnyConnection, gym: &str, aside: &SetAsideDoc) -> Result<Option<FaultDoc>, AppError> {
    let document: PlanDoc = serde_json::from_str(&plans::body(conn, gym, &aside.plan).await?)
        .map_err(|error| DbError::Damaged(format!("plan {}: {error}", aside.plan)))?;
    Ok(document.faults.into_iter().rev().find(|fault| fault.digest == aside.digest))
}
