//! What is written down about an athlete over time: bests, and limitations as they report them. Nothing is overwritten
//! in the usual course: a new best is another one, and a limitation that is over gets its last day. Changing or removing
//! one is for what was written down wrongly.
//!
//! Every change counts as one of the athlete, whose revision an editor holds against. The ledger says that something was
//! written down, never what.

use classwright_store::db::{Write, bests, limitations};
use classwright_store::record::{BestRecord, LimitationRecord};
use serde_json::json;

use super::athletes::{Numbered, about};
use super::{Service, Stored, Who, standing};
use crate::AppError;

impl Service {
    /// Writes a best down.
    pub async fn add_best(
        &self,
        who: &Who,
        athlete: &str,
        new: BestRecord,
    ) -> Result<Stored<Numbered<BestRecord>>, AppError> {
        let mut change = self.change(who).await?;
        let (n, revision) = bests::add(&mut change, athlete, &new).await?;
        done(change, "best.added", athlete, n).await?;
        Ok(Stored { revision, value: Numbered { n, value: new } })
    }

    /// Puts a best right that was written down wrongly.
    pub async fn put_best(
        &self,
        who: &Who,
        athlete: &str,
        n: i64,
        new: BestRecord,
        expected: Option<i64>,
    ) -> Result<Stored<Numbered<BestRecord>>, AppError> {
        let mut change = self.change(who).await?;
        let revision = bests::put(&mut change, athlete, n, &new, expected).await?;
        done(change, "best.changed", athlete, n).await?;
        Ok(Stored { revision, value: Numbered { n, value: new } })
    }

    /// Removes a best that should not have been written down.
    pub async fn remove_best(&self, who: &Who, athlete: &str, n: i64, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        bests::remove(&mut change, athlete, n, expected).await?;
        done(change, "best.removed", athlete, n).await
    }

    /// Writes down what an athlete reports; they may do so themselves.
    pub async fn add_limitation(
        &self,
        who: &Who,
        athlete: &str,
        new: LimitationRecord,
    ) -> Result<Stored<Numbered<LimitationRecord>>, AppError> {
        who.must_see(athlete)?;
        let mut change = self.change(who).await?;
        let (n, revision) = limitations::add(&mut change, athlete, &new).await?;
        done(change, "limitation.added", athlete, n).await?;
        Ok(Stored { revision, value: Numbered { n, value: new } })
    }

    /// Changes a limitation: gives it its last day, or puts right what was written down wrongly.
    pub async fn put_limitation(
        &self,
        who: &Who,
        athlete: &str,
        n: i64,
        new: LimitationRecord,
        expected: Option<i64>,
    ) -> Result<Stored<Numbered<LimitationRecord>>, AppError> {
        who.must_see(athlete)?;
        let mut change = self.change(who).await?;
        let revision = limitations::put(&mut change, athlete, n, &new, expected).await?;
        done(change, "limitation.changed", athlete, n).await?;
        Ok(Stored { revision, value: Numbered { n, value: new } })
    }

    /// Removes a limitation that should not have been written down.
    pub async fn remove_limitation(
        &self,
        who: &Who,
        athlete: &str,
        n: i64,
        expected: Option<i64>,
    ) -> Result<(), AppError> {
        who.must_see(athlete)?;
        let mut change = self.change(who).await?;
        limitations::remove(&mut change, athlete, n, expected).await?;
        done(change, "limitation.removed", athlete, n).await
    }
}

/// Commits what was written down, unless the gym could not be read any more.
async fn done(mut change: Write, what: &str, athlete: &str, n: i64) -> Result<(), AppError> {
    standing::gym(&mut change).await?;
    let about = about(&mut change, athlete).await?;
    change.note(what, &about, json!({ "n": n })).await?;
    Ok(change.commit().await?)
}
