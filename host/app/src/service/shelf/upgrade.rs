//! Going over to another component of the same policy: what would differ, and doing it.

use classwright_store::db::shelf::{self, Entry};
use classwright_store::db::{DbError, now_ms, plans};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::differences::{DifferenceDoc, differences};
use super::{About, ConformanceDoc, SettingFaultDoc, Shelved, ShelvedDoc, settings};
use crate::AppError;
use crate::service::attempt::{AttemptDoc, TriedPolicy};
use crate::service::standing::{DAY_MS, first_day};
use crate::service::{Service, Stored, Who};

/// The most classes that are planned for one report.
const MOST_CLASSES: u32 = 50;

/// Which component, and whether to go over to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct UpgradeRequest {
    /// An installed component of the same policy, by its digest.
    pub digest: String,
    /// Settings for it; those that are set now where they are left out.
    #[serde(default)]
    pub settings: Option<Map<String, Value>>,
    /// Only says what would differ, and changes nothing.
    #[serde(default)]
    pub dry_run: bool,
    /// How many of the last classes are planned with it, to see what would differ; 0 to 50.
    #[serde(default)]
    pub classes: u32,
    /// Goes over even to a component that failed the built-in questions.
    #[serde(default)]
    pub anyway: bool,
}

/// What an upgrade changes.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct UpgradeDoc {
    /// The policy.
    pub policy: String,
    /// The component that it stood with.
    pub from: String,
    /// The other one.
    pub to: String,
    /// What they say of themselves differently; the schema of the settings is compared by itself.
    pub describe: Vec<DifferenceDoc>,
    /// Where the schemas of their settings differ.
    pub settings_schema: Vec<DifferenceDoc>,
    /// What the other schema says against the settings; empty where they hold.
    pub settings_faults: Vec<SettingFaultDoc>,
    /// What the other one answered to built-in questions.
    pub conformance: ConformanceDoc,
    /// What would differ in the last classes, where it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attempt: Option<AttemptDoc>,
    /// How many of those classes there was no time for: a trial of the component goes through all of them.
    #[serde(default)]
    pub not_tried: u32,
    /// How the policy stands now, where it was gone over to the other component.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<Stored<ShelvedDoc>>,
}

impl Service {
    /// Goes over to another component of a policy, or says what that would change. What it stood with is kept, settings
    /// and all; faults are counted anew.
    pub async fn upgrade_policy(
        &self,
        who: &Who,
        policy: &str,
        request: &UpgradeRequest,
    ) -> Result<UpgradeDoc, AppError> {
        let mut conn = self.db().read().await?;
        let stands = super::entry(&mut conn, &who.gym, policy).await?;
        let other = super::about(&mut conn, &who.gym, &request.digest).await?;
        drop(conn);
        fits(policy, &stands, &other, request)?;
        let wanted = request.settings.clone().map(|settings| Value::Object(settings).to_string());
        let settings = wanted.unwrap_or_else(|| stands.entry.settings.clone());
        let mut report = report(policy, &stands.about, &other, &settings);
        if request.classes > 0 && report.settings_faults.is_empty() {
            let (attempt, not_tried) = self.last_classes(who, &stands.entry, request, &settings).await?;
            (report.attempt, report.not_tried) = (Some(attempt), not_tried);
        }
        if request.dry_run {
            return Ok(report);
        }
        super::must_hold(&settings, &other.policy.settings_schema)?;
        if stands.entry.enabled && !request.anyway {
            super::must_have_passed(&other)?;
        }
        let mut change = self.change(who).await?;
        let entry = shelf::edit(&mut change, policy, Some(stands.entry.revision), |entry| {
            entry.digest.clone_from(&request.digest);
            entry.settings = settings;
            (entry.faults, entry.set_aside) = (0, None);
        })
        .await?;
        let detail = json!({
            "from": report.from, "from-version": stands.about.policy.version, "to": report.to,
            "to-version": other.policy.version, "anyway": request.anyway,
        });
        change.note("policy.upgraded", &format!("policy:{policy}"), detail).await?;
        change.commit().await?;
        report.done = Some(Shelved { entry, about: other }.doc()?);
        Ok(report)
    }

    /// What a component would change in the last classes.
    async fn last_classes(
        &self,
        who: &Who,
        stands: &Entry,
        request: &UpgradeRequest,
        settings: &str,
    ) -> Result<(AttemptDoc, u32), AppError> {
        let damaged = |error: serde_json::Error| DbError::Damaged(format!("policy {}: {error}", stands.policy));
        let tried = TriedPolicy {
            policy: stands.policy.clone(),
            digest: request.digest.clone(),
            settings: serde_json::from_str(settings).map_err(damaged)?,
            limits: serde_json::from_value(stands.limits.clone()).map_err(damaged)?,
        };
        let days = ("", &*first_day(now_ms() + DAY_MS));
        let limit = i64::from(request.classes);
        let found = plans::standing_of_days(&mut *self.db().read().await?, &who.gym, days, limit).await?;
        let found: Vec<String> = found.into_iter().map(|head| head.plan).collect();
        let (attempt, done) = self.attempt_one(who, &tried, &found).await?;
        Ok((attempt, (found.len() - done) as u32))
    }
}

/// An error unless a policy can go over to a component.
fn fits(policy: &str, stands: &Shelved, other: &About, request: &UpgradeRequest) -> Result<(), AppError> {
    if request.classes > MOST_CLASSES {
        return Err(AppError::input("classes", format!("is {}; write 0 to {MOST_CLASSES}", request.classes)));
    }
    let wrong = |problem: String| Err(AppError::input("digest", problem));
    if other.policy.name != policy {
        return wrong(format!("is a component of `{}`, and the policy is `{policy}`", other.policy.name));
    }
    if other.policy.digest == stands.entry.digest {
        return wrong(format!("is the component that {policy} stands with already"));
    }
    Ok(())
}

fn report(policy: &str, stands: &About, other: &About, settings: &str) -> UpgradeDoc {
    let said = |about: &About| {
        let mut said = serde_json::to_value(&about.policy).unwrap_or_default();
        if let Some(said) = said.as_object_mut() {
            said.remove("settings_schema");
            said.remove("digest");
        }
        said
    };
    UpgradeDoc {
        policy: policy.to_owned(),
        from: stands.policy.digest.clone(),
        to: other.policy.digest.clone(),
        describe: differences(&said(stands), &said(other)),
        settings_schema: differences(&stands.policy.settings_schema, &other.policy.settings_schema),
        settings_faults: settings::faults(settings, &other.policy.settings_schema),
        conformance: other.conformance.clone(),
        attempt: None,
        not_tried: 0,
        done: None,
    }
}
