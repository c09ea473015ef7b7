//! Erasing an athlete for good: see [`classwright_store::db::erase`] for what goes and what stays.

use classwright_store::db::erase;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::{Service, Who, athletes, standing};
use crate::AppError;

/// What was done when somebody was erased.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Erasure {
    /// The id that stands in their place in plans and classes.
    pub stands: String,
    /// Plans that can no longer be computed anew: what they were made from held personal data and was removed.
    pub plans_without_inputs: Vec<String>,
    /// Where texts that people wrote still name them: change those by hand.
    pub still_named: Vec<String>,
}

impl Service {
    /// Erases an athlete. It cannot be undone.
    pub async fn erase_athlete(&self, who: &Who, athlete: &str, expected: Option<i64>) -> Result<Erasure, AppError> {
        let mut change = self.change(who).await?;
        let about = athletes::about(&mut change, athlete).await?;
        let erase::Erased { stands, plans_without_inputs, still_named } =
            erase::athlete(&mut change, athlete, expected).await?;
        standing::gym(&mut change).await?;
        change.note("athlete.erased", &about, json!({ "stands": stands })).await?;
        change.commit().await?;
        Ok(Erasure { stands, plans_without_inputs, still_named })
    }
}
