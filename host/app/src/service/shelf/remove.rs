//! Taking a policy off the shelf.

use classwright_store::db::{components, shelf};
use serde_json::json;

use crate::AppError;
use crate::service::{Service, Who};

impl Service {
    /// Takes a policy off the shelf. Components that a plan was made with stay, so that it can be made again; the others
    /// of that name go.
    pub async fn remove_policy(&self, who: &Who, policy: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        let of_it = super::components_of(change.conn(), &who.gym, policy).await?;
        shelf::remove(&mut change, policy, expected).await?;
        let mut gone = Vec::new();
        for component in of_it {
            if components::let_go(&mut change, &component.digest).await? {
                gone.push(component.digest);
            }
        }
        change.note("policy.removed", &format!("policy:{policy}"), json!({ "components-removed": gone })).await?;
        Ok(change.commit().await?)
    }
}
