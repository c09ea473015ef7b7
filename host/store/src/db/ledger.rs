//! Who did what when: a list that only grows, each entry holding the digest of the one before.
//!
//! The database itself refuses to change or remove an entry. Whoever gets past that is found by [`verify`], unless they
//! also write anew every later entry; a digest that was written down elsewhere finds that too.

use serde_json::{Value, json};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::{DbError, digest};

/// The digest before the first entry.
pub const START: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// An entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its number in the gym, from 1 without gaps.
    pub n: i64,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// A user's id, or `console`.
    pub who: String,
    /// For example `athlete.changed`.
    pub what: String,
    /// For example `class:monday`; an athlete by the name that only the ledger has for them.
    pub about: String,
    /// JSON; never a limitation.
    pub detail: String,
    /// The digest of the entry before; [`START`] for the first.
    pub before: String,
    /// The digest of all of this.
    pub digest: String,
}

/// The first thing in a gym's ledger that does not fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// The number of the entry.
    pub n: i64,
    /// What does not fit, in a sentence.
    pub what: String,
}

/// What goes into an entry.
pub(crate) struct New<'a> {
    pub(crate) at: i64,
    pub(crate) who: &'a str,
    pub(crate) what: &'a str,
    pub(crate) about: &'a str,
    pub(crate) detail: &'a Value,
}

/// Entries behind a number, oldest first; from the first with 0.
pub async fn list(conn: &mut AnyConnection, gym: &str, after: i64, limit: i64) -> Result<Vec<Entry>, DbError> {
    let rows = sqlx::query(
        "SELECT n, at, who, what, about, detail, before, digest FROM ledger
         WHERE gym = $1 AND n > $2 ORDER BY n LIMIT $3",
    )
    .bind(gym)
    .bind(after)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// The newest entry: whoever writes its digest down can tell later that nothing up to it was changed.
pub async fn newest(conn: &mut AnyConnection, gym: &str) -> Result<Option<Entry>, DbError> {
    let row = sqlx::query(
        "SELECT n, at, who, what, about, detail, before, digest FROM ledger WHERE gym = $1 ORDER BY n DESC LIMIT 1",
    )
    .bind(gym)
    .fetch_optional(conn)
    .await?;
    row.map(|row| read(&row)).transpose()
}

/// Walks a gym's whole ledger, and names the first entry that was changed, is missing or out of order.
pub async fn verify(conn: &mut AnyConnection, gym: &str) -> Result<Option<Broken>, DbError> {
    const AT_ONCE: i64 = 1_000;
    let (mut n, mut before) = (0, START.to_owned());
    loop {
        let entries = list(&mut *conn, gym, n, AT_ONCE).await?;
        let last = (entries.len() as i64) < AT_ONCE;
        for entry in entries {
            if let Some(what) = misfit(gym, n, &before, &entry) {
                return Ok(Some(Broken { n: n + 1, what }));
            }
            (n, before) = (entry.n, entry.digest);
        }
        if last {
            return Ok(None);
        }
    }
}

/// What of an entry does not fit behind another.
fn misfit(gym: &str, n: i64, before: &str, entry: &Entry) -> Option<String> {
    let own = of(gym, entry.n, entry.at, [&entry.who, &entry.what, &entry.about, &entry.detail, &entry.before]);
    if entry.n != n + 1 {
        Some(format!("entry {} is missing: after {n} comes {}", n + 1, entry.n))
    } else if entry.digest != own {
        Some(format!("entry {} was changed: its content no longer has the digest that stands there", entry.n))
    } else if entry.before != before {
        Some(format!("entry {} does not follow: the entry before it was replaced", entry.n))
    } else {
        None
    }
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
    let digest = of(gym, n, new.at, [new.who, new.what, new.about, &detail, &before]);
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

/// The digest of everything that stands in an entry.
fn of(gym: &str, n: i64, at: i64, [who, what, about, detail, before]: [&str; 5]) -> String {
    digest(json!([gym, n, at, who, what, about, detail, before]).to_string())
}

fn read(row: &AnyRow) -> Result<Entry, DbError> {
    Ok(Entry {
        n: row.try_get(0)?,
        at: row.try_get(1)?,
        who: row.try_get(2)?,
        what: row.try_get(3)?,
        about: row.try_get(4)?,
        detail: row.try_get(5)?,
        before: row.try_get(6)?,
        digest: row.try_get(7)?,
    })
}
