//! Movements that a gym adds to the built-in library, or puts in the place of built-in ones.
//!
//! Whether anything needs a movement is not known here: sessions and bests name movements in words.

use sqlx::AnyConnection;

use super::documents::Documents;
use super::{DbError, Kept, Write};
use crate::record::MovementRecord;

const MOVEMENTS: Documents = Documents { table: "movements", key: "movement", what: "movement" };

/// A movement of the gym's own.
pub async fn get(conn: &mut AnyConnection, gym: &str, movement: &str) -> Result<Kept<MovementRecord>, DbError> {
    let missing = || DbError::Missing { what: MOVEMENTS.what, id: movement.to_owned() };
    MOVEMENTS.find(conn, gym, movement).await?.ok_or_else(missing)
}

/// The gym's own movements after a place in the list, in its order.
pub async fn list(
    conn: &mut AnyConnection,
    gym: &str,
    after: &str,
    limit: i64,
) -> Result<Vec<Kept<MovementRecord>>, DbError> {
    let found = MOVEMENTS.list(conn, gym, after, limit).await?;
    Ok(found.into_iter().map(|kept| kept.map(|(_, movement)| movement)).collect())
}

/// All of the gym's own movements, in its order.
pub async fn all(conn: &mut AnyConnection, gym: &str) -> Result<Vec<MovementRecord>, DbError> {
    let found = list(conn, gym, "", i64::MAX).await?;
    Ok(found.into_iter().map(|kept| kept.value).collect())
}

/// Adds a movement, and gives back its revision.
pub async fn insert(change: &mut Write, movement: &MovementRecord) -> Result<i64, DbError> {
    MOVEMENTS.insert(change, &movement.id, movement, false).await
}

/// Changes a movement, and gives back its new revision.
pub async fn put(change: &mut Write, movement: &MovementRecord, expected: Option<i64>) -> Result<i64, DbError> {
    MOVEMENTS.put(change, &movement.id, movement, expected).await
}

/// Removes a movement. A built-in one with this id is there again.
pub async fn remove(change: &mut Write, movement: &str, expected: Option<i64>) -> Result<(), DbError> {
    MOVEMENTS.remove(change, movement, expected).await
}
