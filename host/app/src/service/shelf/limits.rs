//! What one call of a policy may use.

use classwright_store::db::shelf;
use classwright_store::record::LimitsRecord;
use serde_json::json;

use super::{Shelved, ShelvedDoc};
use crate::AppError;
use crate::service::{Service, Stored, Who};

impl Service {
    /// Sets a policy's limits, all of them; what is not said is left to the host.
    pub async fn set_limits(
        &self,
        who: &Who,
        policy: &str,
        expected: Option<i64>,
        limits: &LimitsRecord,
    ) -> Result<Stored<ShelvedDoc>, AppError> {
        in_range(limits)?;
        let limits = serde_json::to_value(limits).map_err(|error| AppError::Fault(error.to_string()))?;
        let mut change = self.change(who).await?;
        let Shelved { about, .. } = super::entry(change.conn(), &who.gym, policy).await?;
        let entry = shelf::edit(&mut change, policy, expected, |entry| entry.limits = limits.clone()).await?;
        change.note("policy.limits", &format!("policy:{policy}"), json!({ "limits": limits })).await?;
        change.commit().await?;
        Shelved { entry, about }.doc()
    }
}

/// The bounds that a gym folder's `shelf.toml` has too.
pub(super) fn in_range(limits: &LimitsRecord) -> Result<(), AppError> {
    let bounds = [
        ("fuel", limits.fuel, 1_000_000_000_000),
        ("wall-ms", limits.wall_ms, 600_000),
        ("memory-mib", limits.memory_mib, 4_096),
        ("answer-mib", limits.answer_mib, 1_024),
    ];
    for (field, value, most) in bounds {
        if value.is_some_and(|value| !(1..=most).contains(&value)) {
            let problem = format!("is {}; write 1 to {most}", value.unwrap_or_default());
            return Err(AppError::Input { field: Some(format!("limits.{field}")), problem });
        }
    }
    Ok(())
}
