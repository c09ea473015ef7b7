//! What happened in a class, in order, for whoever watches it: kept, so that a watcher that was away misses nothing.

use serde_json::Value;
use sqlx::{AnyConnection, Row};

use super::DbError;

/// Something that happened in a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its number in the gym: later ones have greater ones.
    pub n: i64,
    /// For example `plan.made`.
    pub kind: String,
    /// JSON: what there is to know.
    pub body: String,
    /// When, in milliseconds since 1970.
    pub at: i64,
}

/// What happened in a class behind an event, oldest first; everything with 0.
pub async fn after(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    n: i64,
    limit: i64,
) -> Result<Vec<Event>, DbError> {
    let rows = sqlx::query(
        "SELECT n, kind, body, at FROM events WHERE gym = $1 AND class = $2 AND n > $3 ORDER BY n LIMIT $4",
    )
    .bind(gym)
    .bind(class)
    .bind(n)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|row| Ok(Event { n: row.try_get(0)?, kind: row.try_get(1)?, body: row.try_get(2)?, at: row.try_get(3)? }))
        .collect()
}

/// The number of the newest event of a class; 0 where there is none.
pub async fn newest(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<i64, DbError> {
    let row = sqlx::query("SELECT COALESCE(MAX(n), 0) FROM events WHERE gym = $1 AND class = $2")
        .bind(gym)
        .bind(class)
        .fetch_one(conn)
        .await?;
    Ok(row.try_get(0)?)
}

pub(crate) async fn append(
    conn: &mut AnyConnection,
    gym: &str,
    at: i64,
    class: &str,
    kind: &str,
    body: &Value,
) -> Result<(), DbError> {
    sqlx::query(
        "INSERT INTO events (gym, n, class, kind, body, at)
         SELECT $1, COALESCE(MAX(n), 0) + 1, $2, $3, $4, $5 FROM events WHERE gym = $1",
    )
    .bind(gym)
    .bind(class)
    .bind(kind)
    .bind(body.to_string())
    .bind(at)
    .execute(conn)
    .await?;
    Ok(())
}
