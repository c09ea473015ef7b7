//! Who did what when: a list that only grows, each entry holding the digest of the one before.

use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use sqlx::{AnyConnection, Row};

use super::DbError;

/// The digest before the first entry.
pub const START: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// What goes into an entry.
pub(crate) struct New<'a> {
    pub(crate) at: i64,
    pub(crate) who: &'a str,
    pub(crate) what: &'a str,
    pub(crate) about: &'a str,
    pub(crate) detail: &'a Value,
}

pub(crate) async fn append(conn: &mut AnyConnection, gym: &str, new: New<'_>) -> Result<(), DbError> {
    let last = sqlx::query("SELECT n, digest FROM ledger WHERE gym = $1 ORDER BY n DESC LIMIT 1")
        .bind(gym)
        .fetch_optional(&mut *conn)
        .await?;
    let (n, before) = match last {
        Some(row) => (row.try_get::<i64, _>(0)? + 1, row.try_get::<String, _>(1)?),
        None => (1, START.to_owned()),
    };
    let detail = new.detail.to_string();
    let digest = digest(gym, n, &new, &detail, &before);
    sqlx::query(
        "INSERT INTO ledger (gym, n, at, who, what, about, detail, before, digest)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
    )
    .bind(gym)
    .bind(n)
    .bind(new.at)
    .bind(new.who)
    .bind(new.what)
    .bind(new.about)
    .bind(detail)
    .bind(before)
    .bind(digest)
    .execute(conn)
    .await?;
    Ok(())
}

/// Of everything that stands in an entry.
fn digest(gym: &str, n: i64, new: &New<'_>, detail: &str, before: &str) -> String {
    let whole = json!([gym, n, new.at, new.who, new.what, new.about, detail, before]).to_string();
    Sha256::digest(whole.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}
