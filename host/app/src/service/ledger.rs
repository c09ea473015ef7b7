//! The ledger: who did what when.

use classwright_store::db::{DbError, ledger};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Page, Service, Who};
use crate::AppError;

/// An entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct EntryDoc {
    /// Its number in the gym, from 1 without gaps.
    pub n: i64,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// A user's id, or `console`.
    pub who: String,
    /// Such as `athlete.changed`.
    pub what: String,
    /// Such as `athlete:ama`.
    pub about: String,
    /// More; never a limitation.
    pub detail: Value,
    /// The digest of the entry before.
    pub before: String,
    /// The digest of this one.
    pub digest: String,
}

/// Whether a ledger is whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct LedgerState {
    /// Whether every entry is as it was written.
    pub whole: bool,
    /// How many entries there are.
    pub entries: i64,
    /// The digest of the newest: whoever notes it elsewhere can tell later that nothing before was written anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub newest: Option<String>,
    /// The first entry that does not fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub broken_at: Option<i64>,
    /// What about it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub problem: Option<String>,
}

impl Service {
    /// Entries, oldest first.
    pub async fn ledger(&self, who: &Who, after: Option<&str>, limit: usize) -> Result<Page<EntryDoc>, AppError> {
        let after = match after {
            None => 0,
            Some(text) => text.parse().map_err(|_| AppError::input("after", "has to be the number of an entry"))?,
        };
        let mut conn = self.db().read().await?;
        let found = ledger::list(&mut conn, &who.gym, after, limit as i64 + 1).await?;
        let entries = found.into_iter().map(doc).collect::<Result<_, _>>()?;
        Ok(Page::of(entries, limit, |entry: &EntryDoc| entry.n.to_string()))
    }

    /// Whether every entry is as it was written.
    pub async fn verify_ledger(&self, who: &Who) -> Result<LedgerState, AppError> {
        let mut moment = self.db().snapshot().await?;
        let broken = ledger::verify(&mut moment, &who.gym).await?;
        let newest = ledger::newest(&mut moment, &who.gym).await?;
        Ok(LedgerState {
            whole: broken.is_none(),
            entries: newest.as_ref().map_or(0, |entry| entry.n),
            newest: newest.map(|entry| entry.digest),
            broken_at: broken.as_ref().map(|broken| broken.n),
            problem: broken.map(|broken| broken.what),
        })
    }
}

fn doc(entry: ledger::Entry) -> Result<EntryDoc, AppError> {
    let detail = serde_json::from_str(&entry.detail)
        .map_err(|error| DbError::Damaged(format!("entry {} of the ledger: {error}", entry.n)))?;
    Ok(EntryDoc {
        n: entry.n,
        at: entry.at,
        who: entry.who,
        what: entry.what,
        about: entry.about,
        detail,
        before: entry.before,
        digest: entry.digest,
    })
}
