//! What coaches set by hand on cards. It stands beside the plans of its class and outlives them.

use serde::Serialize;
use serde::de::DeserializeOwned;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::athletes::random_name;
use super::kept::{json, text};
use super::{DbError, Write};

const WHAT: &str = "override";

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Override<T> {
    /// Its id within the class, which no other ever has.
    pub id: String,
    /// Whose card.
    pub athlete: String,
    /// What was set.
    pub value: T,
    /// By whom: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

/// Keeps one, and gives back its id.
pub async fn insert<T: Serialize>(
    change: &mut Write,
    class: &str,
    athlete: &str,
    value: &T,
) -> Result<String, DbError> {
    let (gym, who, at) = (change.gym().to_owned(), change.who().to_owned(), change.at());
    let id = random_name()?;
    sqlx::query(
        "INSERT INTO overrides (gym, class, override, athlete, body, made_by, made_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7)",
    )
    .bind(gym)
    .bind(class)
    .bind(&id)
    .bind(athlete)
    .bind(text(value)?)
    .bind(who)
    .bind(at)
    .execute(change.conn())
    .await?;
    Ok(id)
}

/// All of a class, in the order in which they were set.
pub async fn of_class<T: DeserializeOwned>(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
) -> Result<Vec<Override<T>>, DbError> {
    let rows = sqlx::query(
        "SELECT override, athlete, body, made_by, made_at FROM overrides WHERE gym = $1 AND class = $2
         ORDER BY made_at, override",
    )
    .bind(gym)
    .bind(class)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// Those on one athlete's card.
pub async fn of_card<T: DeserializeOwned>(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    athlete: &str,
) -> Result<Vec<Override<T>>, DbError> {
    let rows = sqlx::query(
        "SELECT override, athlete, body, made_by, made_at FROM overrides WHERE gym = $1 AND class = $2 AND athlete = $3
         ORDER BY made_at, override",
    )
    .bind(gym)
    .bind(class)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// One of them.
pub async fn get<T: DeserializeOwned>(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    id: &str,
) -> Result<Override<T>, DbError> {
    let row = sqlx::query(
        "SELECT override, athlete, body, made_by, made_at FROM overrides
         WHERE gym = $1 AND class = $2 AND override = $3",
    )
    .bind(gym)
    .bind(class)
    .bind(id)
    .fetch_optional(conn)
    .await?;
    read(&row.ok_or_else(|| missing(id))?)
}

/// Takes one back.
pub async fn remove(change: &mut Write, class: &str, id: &str) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let query = sqlx::query("DELETE FROM overrides WHERE gym = $1 AND class = $2 AND override = $3");
    let done = query.bind(gym).bind(class).bind(id).execute(change.conn()).await?;
    if done.rows_affected() == 0 { Err(missing(id)) } else { Ok(()) }
}

fn missing(id: &str) -> DbError {
    DbError::Missing { what: WHAT, id: id.to_owned() }
}

fn read<T: DeserializeOwned>(row: &AnyRow) -> Result<Override<T>, DbError> {
    let id: String = row.try_get(0)?;
    let body: String = row.try_get(2)?;
    Ok(Override {
        athlete: row.try_get(1)?,
        value: json(WHAT, &id, &body)?,
        made_by: row.try_get(3)?,
        made_at: row.try_get(4)?,
        id,
    })
}
