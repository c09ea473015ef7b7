//! Having a policy asked, or not.

use classwright_store::db::shelf::{self, Entry};
use serde_json::json;

use super::{Shelved, ShelvedDoc};
use crate::AppError;
use crate::service::{Service, Stored, Who};

impl Service {
    /// Has a policy asked from the next plan on. One that was set aside comes back, its faults counted anew. A component
    /// that failed the built-in questions is refused unless the owner wants it `anyway`.
    pub async fn enable_policy(&self, who: &Who, policy: &str, anyway: bool) -> Result<Stored<ShelvedDoc>, AppError> {
        let mut change = self.change(who).await?;
        let Shelved { entry: stood, about } = super::entry(change.conn(), &who.gym, policy).await?;
        super::must_hold(&stood.settings, &about.policy.settings_schema)?;
        if !anyway {
            super::must_have_passed(&about)?;
        }
        if stood.is_asked() {
            return Shelved { entry: stood, about }.doc();
        }
        let with = |entry: &mut Entry| (entry.enabled, entry.faults, entry.set_aside) = (true, 0, None);
        let entry = shelf::edit(&mut change, policy, None, with).await?;
        let detail = json!({ "digest": stood.digest, "was-set-aside": stood.set_aside.is_some(), "anyway": anyway });
        change.note("policy.enabled", &format!("policy:{policy}"), detail).await?;
        change.commit().await?;
        Shelved { entry, about }.doc()
    }

    /// Has a policy not asked any more. It keeps its place, its settings and its history.
    pub async fn disable_policy(&self, who: &Who, policy: &str) -> Result<Stored<ShelvedDoc>, AppError> {
        let mut change = self.change(who).await?;
        let shelved = super::entry(change.conn(), &who.gym, policy).await?;
        if !shelved.entry.enabled {
            return shelved.doc();
        }
        let entry = shelf::edit(&mut change, policy, None, |entry| entry.enabled = false).await?;
        change.note("policy.disabled", &format!("policy:{policy}"), json!({})).await?;
        change.commit().await?;
        Shelved { entry, ..shelved }.doc()
    }
}
