//! What happened in a class, in order, for whoever watches it: kept, so that a watcher that was away misses nothing.

use serde_json::Value;
use sqlx::AnyConnection;

use super::DbError;

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
