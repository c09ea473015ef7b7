//! One-repetition maxima with their history: each has the day from which it counts, and a number that it keeps.

use std::collections::BTreeMap;

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::athletes::touch;
use super::{DbError, Write};
use crate::record::BestRecord;

/// Those of one athlete with their numbers, in the order in which they were written down.
pub async fn list(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<(i64, BestRecord)>, DbError> {
    let rows = sqlx::query(
        "SELECT athlete, n, movement, load, how, since FROM bests WHERE gym = $1 AND athlete = $2 ORDER BY n",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    rows.iter().map(record).collect()
}

/// Those of everyone, by athlete.
pub async fn all(conn: &mut AnyConnection, gym: &str) -> Result<BTreeMap<String, Vec<BestRecord>>, DbError> {
    let rows =
        sqlx::query("SELECT athlete, n, movement, load, how, since FROM bests WHERE gym = $1 ORDER BY athlete, n")
            .bind(gym)
            .fetch_all(conn)
            .await?;
    let mut found: BTreeMap<String, Vec<BestRecord>> = BTreeMap::new();
    for row in &rows {
        found.entry(row.try_get(0)?).or_default().push(record(row)?.1);
    }
    Ok(found)
}

/// Writes one down, and gives back its number and the athlete's new revision.
pub async fn add(change: &mut Write, athlete: &str, new: &BestRecord) -> Result<(i64, i64), DbError> {
    let revision = touch(change, athlete, None).await?;
    let gym = change.gym().to_owned();
    let row = sqlx::query(
        "INSERT INTO bests (gym, athlete, n, movement, load, how, since)
         SELECT $1, $2, COALESCE(MAX(n), 0) + $3, $4, $5, $6, $7 FROM bests WHERE gym = $1 AND athlete = $2
         RETURNING n",
    )
    .bind(gym)
    .bind(athlete)
    .bind(1_i64)
    .bind(&new.movement)
    .bind(&new.load)
    .bind(&new.how)
    .bind(&new.since)
    .fetch_one(change.conn())
    .await?;
    Ok((row.try_get(0)?, revision))
}

/// Puts one right that was written down wrongly, and gives back the athlete's new revision.
pub async fn put(
    change: &mut Write,
    athlete: &str,
    n: i64,
    new: &BestRecord,
    expected: Option<i64>,
) -> Result<i64, DbError> {
    let revision = touch(change, athlete, expected).await?;
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "UPDATE bests SET movement = $4, load = $5, how = $6, since = $7
         WHERE gym = $1 AND athlete = $2 AND n = $3",
    )
    .bind(gym)
    .bind(athlete)
    .bind(n)
    .bind(&new.movement)
    .bind(&new.load)
    .bind(&new.how)
    .bind(&new.since)
    .execute(change.conn())
    .await?;
    there(done.rows_affected(), n)?;
    Ok(revision)
}

/// Removes one that should not have been written down, and gives back the athlete's new revision.
pub async fn remove(change: &mut Write, athlete: &str, n: i64, expected: Option<i64>) -> Result<i64, DbError> {
    let revision = touch(change, athlete, expected).await?;
    let gym = change.gym().to_owned();
    let done = sqlx::query("DELETE FROM bests WHERE gym = $1 AND athlete = $2 AND n = $3")
        .bind(gym)
        .bind(athlete)
        .bind(n)
        .execute(change.conn())
        .await?;
    there(done.rows_affected(), n)?;
    Ok(revision)
}

fn there(rows: u64, n: i64) -> Result<(), DbError> {
    if rows == 0 { Err(DbError::Missing { what: "best", id: n.to_string() }) } else { Ok(()) }
}

fn record(row: &AnyRow) -> Result<(i64, BestRecord), DbError> {
    let value =
        BestRecord { movement: row.try_get(2)?, load: row.try_get(3)?, how: row.try_get(4)?, since: row.try_get(5)? };
    Ok((row.try_get(1)?, value))
}
