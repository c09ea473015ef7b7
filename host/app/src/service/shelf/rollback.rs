//! Going back to what a policy stood with before.

use classwright_store::db::shelf;
use serde_json::json;

use super::{Shelved, ShelvedDoc};
use crate::AppError;
use crate::service::{Service, Stored, Who};

impl Service {
    /// Puts back the component and the settings that a policy stood with before the present ones. What it stood with now
    /// waits among its components.
    pub async fn roll_back_policy(&self, who: &Who, policy: &str) -> Result<Stored<ShelvedDoc>, AppError> {
        let mut change = self.change(who).await?;
        let now = shelf::get(change.conn(), &who.gym, policy).await?;
        if shelf::before(change.conn(), &who.gym, policy).await?.is_empty() {
            let problem = format!("{policy} has stood with no other component yet: there is nothing to go back to");
            return Err(AppError::input("", problem));
        }
        let entry = shelf::go_back(&mut change, policy, None).await?;
        let about = super::about(change.conn(), &who.gym, &entry.digest).await?;
        let detail = json!({ "from": now.digest, "to": entry.digest });
        change.note("policy.rolled-back", &format!("policy:{policy}"), detail).await?;
        change.commit().await?;
        Shelved { entry, about }.doc()
    }
}
