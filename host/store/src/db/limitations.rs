//! What athletes report as sore or restricted, with its history: one that is over has its last day and stays.

use std::collections::BTreeMap;

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::athletes::touch;
use super::{DbError, Write};
use crate::record::LimitationRecord;

/// Those of one athlete with their numbers, in the order in which they were written down.
pub async fn list(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<(i64, LimitationRecord)>, DbError> {
    let rows = sqlx::query(
        "SELECT athlete, n, region, side, severity, since, until FROM limitations WHERE gym = $1 AND athlete = $2 ORDER BY n",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    rows.iter().map(record).collect()
}

/// Those of everyone, by athlete.
pub async fn all(conn: &mut AnyConnection, gym: &str) -> Result<BTreeMap<String, Vec<LimitationRecord>>, DbError> {
    let rows = sqlx::query(
        "SELECT athlete, n, region, side, severity, since, until FROM limitations WHERE gym = $1 ORDER BY athlete, n",
    )
    .bind(gym)
    .fetch_all(conn)
    .await?;
    let mut found: BTreeMap<String, Vec<LimitationRecord>> = BTreeMap::new();
    for row in &rows {
        found.entry(row.try_get(0)?).or_default().push(record(row)?.1);
    }
    Ok(found)
}

/// Writes one down, and gives back its number and the athlete's new revision.
pub async fn add(change: &mut Write, athlete: &str, new: &LimitationRecord) -> Result<(i64, i64), DbError> {
    let revision = touch(change, athlete, None).await?;
    let gym = change.gym().to_owned();
    let row = sqlx::query(
        "INSERT INTO limitations (gym, athlete, n, region, side, severity, since, until)
         SELECT $1, $2, COALESCE(MAX(n), 0) + $3, $4, $5, $6, $7, $8 FROM limitations WHERE gym = $1 AND athlete = $2
         RETURNING n",
    )
    .bind(gym)
    .bind(athlete)
    .bind(1_i64)
    .bind(&new.region)
    .bind(new.side.as_deref().unwrap_or_default())
    .bind(&new.severity)
    .bind(&new.since)
    .bind(&new.until)
    .fetch_one(change.conn())
    .await?;
    Ok((row.try_get(0)?, revision))
}

/// Puts one right that was written down wrongly, and gives back the athlete's new revision.
pub async fn put(
    change: &mut Write,
    athlete: &str,
    n: i64,
    new: &LimitationRecord,
    expected: Option<i64>,
) -> Result<i64, DbError> {
    let revision = touch(change, athlete, expected).await?;
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "UPDATE limitations SET region = $4, side = $5, severity = $6, since = $7, until = $8
         WHERE gym = $1 AND athlete = $2 AND n = $3",
    )
    .bind(gym)
    .bind(athlete)
    .bind(n)
    .bind(&new.region)
    .bind(new.side.as_deref().unwrap_or_default())
    .bind(&new.severity)
    .bind(&new.since)
    .bind(&new.until)
    .execute(change.conn())
    .await?;
    there(done.rows_affected(), n)?;
    Ok(revision)
}

/// Removes one that should not have been written down, and gives back the athlete's new revision.
pub async fn remove(change: &mut Write, athlete: &str, n: i64, expected: Option<i64>) -> Result<i64, DbError> {
    let revision = touch(change, athlete, expected).await?;
    let gym = change.gym().to_owned();
    let done = sqlx::query("DELETE FROM limitations WHERE gym = $1 AND athlete = $2 AND n = $3")
        .bind(gym)
        .bind(athlete)
        .bind(n)
        .execute(change.conn())
        .await?;
    there(done.rows_affected(), n)?;
    Ok(revision)
}

fn there(rows: u64, n: i64) -> Result<(), DbError> {
    if rows == 0 { Err(DbError::Missing { what: "limitation", id: n.to_string() }) } else { Ok(()) }
}

fn record(row: &AnyRow) -> Result<(i64, LimitationRecord), DbError> {
    // Where it was not said, an empty text stands.
    let side: String = row.try_get(3)?;
    let value = LimitationRecord {
        region: row.try_get(2)?,
        side: Some(side).filter(|side| !side.is_empty()),
        severity: row.try_get(4)?,
        since: row.try_get(5)?,
        until: row.try_get(6)?,
    };
    Ok((row.try_get(1)?, value))
}
