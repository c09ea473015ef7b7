//! Components that a gym has taken, by the digest of their bytes. They never change.
//!
//! A component stays as long as anything points at it: the shelf, what stood on the shelf before, or a plan that was
//! made with it.

use serde_json::Value;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::json;
use super::{DbError, Write, digest as digest_of};

/// What is known of a component, without its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// SHA-256 of its bytes, hexadecimal.
    pub digest: String,
    /// What it is, in the host's words: JSON.
    pub about: Value,
    /// Who installed it: a user's id.
    pub installed_by: String,
    /// When, in milliseconds since 1970.
    pub installed_at: i64,
}

/// Whether a gym has a component, and what is known of it.
pub async fn find(conn: &mut AnyConnection, gym: &str, digest: &str) -> Result<Option<Component>, DbError> {
    let row =
        sqlx::query("SELECT digest, about, installed_by, installed_at FROM components WHERE gym = $1 AND digest = $2")
            .bind(gym)
            .bind(digest)
            .fetch_optional(conn)
            .await?;
    row.as_ref().map(component).transpose()
}

/// What is known of a component.
pub async fn get(conn: &mut AnyConnection, gym: &str, digest: &str) -> Result<Component, DbError> {
    find(conn, gym, digest).await?.ok_or_else(|| DbError::missing("component", digest))
}

/// All components of a gym, the oldest first.
pub async fn list(conn: &mut AnyConnection, gym: &str) -> Result<Vec<Component>, DbError> {
    let rows = sqlx::query(
        "SELECT digest, about, installed_by, installed_at FROM components WHERE gym = $1
         ORDER BY installed_at, digest",
    )
    .bind(gym)
    .fetch_all(conn)
    .await?;
    rows.iter().map(component).collect()
}

/// The bytes of a component, held against their digest.
pub async fn bytes(conn: &mut AnyConnection, gym: &str, digest: &str) -> Result<Vec<u8>, DbError> {
    let row = sqlx::query("SELECT bytes FROM components WHERE gym = $1 AND digest = $2")
        .bind(gym)
        .bind(digest)
        .fetch_optional(conn)
        .await?;
    let row = row.ok_or_else(|| DbError::missing("component", digest))?;
    let bytes: Vec<u8> = row.try_get(0)?;
    if digest_of(&bytes) == digest {
        return Ok(bytes);
    }
    Err(DbError::Damaged(format!(
        "the bytes of component {digest} of {gym} are not those that were installed: restore a backup, or install it \
         anew"
    )))
}

/// Keeps a component, and says whether it was not there. One that was there is told about anew, and its bytes are
/// written again, which mends bytes that were damaged.
pub async fn keep(change: &mut Write, bytes: &[u8], about: &Value) -> Result<bool, DbError> {
    let (gym, who, at, digest) = (change.gym().to_owned(), change.who().to_owned(), change.at(), digest_of(bytes));
    let new = find(change.conn(), &gym, &digest).await?.is_none();
    sqlx::query(
        "INSERT INTO components (gym, digest, bytes, about, installed_by, installed_at)
         VALUES ($1, $2, $3, $4, $5, $6)
         ON CONFLICT (gym, digest) DO UPDATE SET bytes = excluded.bytes, about = excluded.about",
    )
    .bind(gym)
    .bind(digest)
    .bind(bytes)
    .bind(about.to_string())
    .bind(who)
    .bind(at)
    .execute(change.conn())
    .await?;
    Ok(new)
}

/// Lets go of a component that nothing points at, and says whether it is gone.
pub async fn let_go(change: &mut Write, digest: &str) -> Result<bool, DbError> {
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "DELETE FROM components WHERE gym = $1 AND digest = $2
         AND NOT EXISTS (SELECT 1 FROM shelf WHERE gym = $1 AND digest = $2)
         AND NOT EXISTS (SELECT 1 FROM shelf_before WHERE gym = $1 AND digest = $2)
         AND NOT EXISTS (SELECT 1 FROM plan_components WHERE gym = $1 AND digest = $2)",
    )
    .bind(gym)
    .bind(digest)
    .execute(change.conn())
    .await?;
    Ok(done.rows_affected() > 0)
}

fn component(row: &AnyRow) -> Result<Component, DbError> {
    let digest: String = row.try_get(0)?;
    let about: String = row.try_get(1)?;
    let about = json("what is known of component", &digest, &about)?;
    Ok(Component { digest, about, installed_by: row.try_get(2)?, installed_at: row.try_get(3)? })
}
