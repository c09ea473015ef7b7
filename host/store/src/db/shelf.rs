//! The shelf: which policies a gym has, in the order in which they are asked, with settings, limits and faults.
//!
//! What a policy stood with before is kept beside it, so that it can go back. Whether settings suit a component is the
//! caller's to find out. Every change of what is asked says that the gym's world has changed; counting a fault does
//! not.

use serde_json::Value;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Row};

use super::kept::{hold, json};
use super::{DbError, Write};

/// A policy on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its name, which it says of itself.
    pub policy: String,
    /// Counts the changes made to the entry.
    pub revision: i64,
    /// The component that it stands with.
    pub digest: String,
    /// Whether the owner wants it asked.
    pub enabled: bool,
    /// The owner's settings: JSON text of an object.
    pub settings: String,
    /// What one call may use: JSON.
    pub limits: Value,
    /// Classes in a row that it was at fault in.
    pub faults: i64,
    /// Why it is not asked any more, where it was taken out of the order: JSON.
    pub set_aside: Option<Value>,
}

/// What a policy stood with before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Before {
    /// The component.
    pub digest: String,
    /// The settings: JSON text of an object.
    pub settings: String,
}

impl Entry {
    /// Whether it is asked when a class is planned.
    pub fn is_asked(&self) -> bool {
        self.enabled && self.set_aside.is_none()
    }
}

const COLUMNS: &str = "policy, revision, digest, enabled, settings, limits, faults, set_aside";

/// The whole shelf, in order.
pub async fn whole(conn: &mut AnyConnection, gym: &str) -> Result<Vec<Entry>, DbError> {
    let query = format!("SELECT {COLUMNS} FROM shelf WHERE gym = $1 ORDER BY position, policy");
    let rows = sqlx::query(AssertSqlSafe(query)).bind(gym).fetch_all(conn).await?;
    rows.iter().map(entry).collect()
}

/// One policy, if it is on the shelf.
pub async fn find(conn: &mut AnyConnection, gym: &str, policy: &str) -> Result<Option<Entry>, DbError> {
    let query = format!("SELECT {COLUMNS} FROM shelf WHERE gym = $1 AND policy = $2");
    let row = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(policy).fetch_optional(conn).await?;
    row.as_ref().map(entry).transpose()
}

/// One policy.
pub async fn get(conn: &mut AnyConnection, gym: &str, policy: &str) -> Result<Entry, DbError> {
    find(conn, gym, policy).await?.ok_or_else(|| DbError::missing("policy", policy))
}

/// What a policy stood with before, the first first.
pub async fn before(conn: &mut AnyConnection, gym: &str, policy: &str) -> Result<Vec<Before>, DbError> {
    let rows = sqlx::query("SELECT digest, settings FROM shelf_before WHERE gym = $1 AND policy = $2 ORDER BY n")
        .bind(gym)
        .bind(policy)
        .fetch_all(conn)
        .await?;
    rows.iter().map(|row| Ok(Before { digest: row.try_get(0)?, settings: row.try_get(1)? })).collect()
}

/// Puts a policy at the end of the shelf. Its component has to be kept already; revision, faults and what was set
/// aside begin anew.
pub async fn put(change: &mut Write, new: &Entry) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    if find(change.conn(), &gym, &new.policy).await?.is_some() {
        return Err(DbError::exists("policy", &new.policy));
    }
    sqlx::query(
        "INSERT INTO shelf (gym, policy, revision, position, digest, enabled, settings, limits, faults)
         SELECT $1, $2, 1, COALESCE(MAX(position), 0) + 1, $3, $4, $5, $6, 0 FROM shelf WHERE gym = $1",
    )
    .bind(&gym)
    .bind(&new.policy)
    .bind(&new.digest)
    .bind(i64::from(new.enabled))
    .bind(&new.settings)
    .bind(new.limits.to_string())
    .execute(change.conn())
    .await?;
    change.world_changed().await
}

/// Changes a policy as an editor wants it who saw revision `expected` (`None` takes whatever stands), and gives it back
/// with its new revision. Where the component changes, what stood is kept as the one before.
pub async fn edit(
    change: &mut Write,
    policy: &str,
    expected: Option<i64>,
    with: impl FnOnce(&mut Entry),
) -> Result<Entry, DbError> {
    let old = expected_entry(change, policy, expected).await?;
    let mut new = old.clone();
    with(&mut new);
    if new.digest != old.digest {
        push_before(change, &old).await?;
    }
    write(change, new).await
}

/// Puts back what a policy stood with before, with faults counted anew.
pub async fn go_back(change: &mut Write, policy: &str, expected: Option<i64>) -> Result<Entry, DbError> {
    let gym = change.gym().to_owned();
    let mut entry = expected_entry(change, policy, expected).await?;
    let mut stood = before(change.conn(), &gym, policy).await?;
    let Some(Before { digest, settings }) = stood.pop() else {
        return Err(DbError::missing("earlier component of policy", policy));
    };
    sqlx::query(
        "DELETE FROM shelf_before WHERE gym = $1 AND policy = $2
         AND n = (SELECT MAX(n) FROM shelf_before WHERE gym = $1 AND policy = $2)",
    )
    .bind(&gym)
    .bind(policy)
    .execute(change.conn())
    .await?;
    (entry.digest, entry.settings, entry.faults, entry.set_aside) = (digest, settings, 0, None);
    write(change, entry).await
}

/// Puts the shelf into another order. All its policies have to be named, each once.
pub async fn order(change: &mut Write, policies: &[String]) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    for (at, policy) in (1_i64..).zip(policies) {
        sqlx::query(
            "UPDATE shelf SET position = $3, revision = revision + 1
             WHERE gym = $1 AND policy = $2 AND position <> $3",
        )
        .bind(&gym)
        .bind(policy)
        .bind(at)
        .execute(change.conn())
        .await?;
    }
    change.world_changed().await
}

/// Writes down how many classes in a row a policy was at fault in. No editor has to know of it.
pub async fn count_faults(change: &mut Write, policy: &str, faults: i64) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    sqlx::query("UPDATE shelf SET faults = $3 WHERE gym = $1 AND policy = $2")
        .bind(gym)
        .bind(policy)
        .bind(faults)
        .execute(change.conn())
        .await?;
    Ok(())
}

/// Takes a policy off the shelf, with what it stood with before. Its components are kept: see
/// [`super::components::let_go`].
pub async fn remove(change: &mut Write, policy: &str, expected: Option<i64>) -> Result<(), DbError> {
    expected_entry(change, policy, expected).await?;
    let gym = change.gym().to_owned();
    sqlx::query("DELETE FROM shelf WHERE gym = $1 AND policy = $2")
        .bind(gym)
        .bind(policy)
        .execute(change.conn())
        .await?;
    change.world_changed().await
}

async fn expected_entry(change: &mut Write, policy: &str, expected: Option<i64>) -> Result<Entry, DbError> {
    let gym = change.gym().to_owned();
    let entry = get(change.conn(), &gym, policy).await?;
    hold("policy", policy, expected, entry.revision)?;
    Ok(entry)
}

async fn push_before(change: &mut Write, stood: &Entry) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    sqlx::query(
        "INSERT INTO shelf_before (gym, policy, n, digest, settings)
         SELECT $1, $2, COALESCE(MAX(n), 0) + 1, $3, $4 FROM shelf_before WHERE gym = $1 AND policy = $2",
    )
    .bind(gym)
    .bind(&stood.policy)
    .bind(&stood.digest)
    .bind(&stood.settings)
    .execute(change.conn())
    .await?;
    Ok(())
}

async fn write(change: &mut Write, mut entry: Entry) -> Result<Entry, DbError> {
    let gym = change.gym().to_owned();
    entry.revision += 1;
    sqlx::query(
        "UPDATE shelf SET revision = $3, digest = $4, enabled = $5, settings = $6, limits = $7, faults = $8,
         set_aside = $9 WHERE gym = $1 AND policy = $2",
    )
    .bind(gym)
    .bind(&entry.policy)
    .bind(entry.revision)
    .bind(&entry.digest)
    .bind(i64::from(entry.enabled))
    .bind(&entry.settings)
    .bind(entry.limits.to_string())
    .bind(entry.faults)
    .bind(entry.set_aside.as_ref().map(Value::to_string))
    .execute(change.conn())
    .await?;
    change.world_changed().await?;
    Ok(entry)
}

fn entry(row: &AnyRow) -> Result<Entry, DbError> {
    let policy: String = row.try_get(0)?;
    let limits: String = row.try_get(5)?;
    let set_aside: Option<String> = row.try_get(7)?;
    Ok(Entry {
        revision: row.try_get(1)?,
        digest: row.try_get(2)?,
        enabled: row.try_get::<i64, _>(3)? != 0,
        settings: row.try_get(4)?,
        limits: json("limits of policy", &policy, &limits)?,
        faults: row.try_get(6)?,
        set_aside: set_aside.map(|text| json("fault of policy", &policy, &text)).transpose()?,
        policy,
    })
}
