//! Tokens, for programs that act for a user. Only their digests are kept.

use serde_json::json;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::users::{self, User, user_columns};
use super::{DbError, Write};

/// A token, without its secret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// Its id.
    pub token: String,
    /// For whom it acts.
    pub user: String,
    /// What it is for, in their words.
    pub name: String,
    /// What it may do.
    pub scopes: Vec<String>,
    /// When it was made, in milliseconds since 1970.
    pub made_at: i64,
    /// Until when it works.
    pub expires_at: i64,
    /// When it was taken back.
    pub revoked_at: Option<i64>,
}

/// What makes a token.
#[derive(Clone, Copy, Debug)]
pub struct NewToken<'a> {
    /// Its id.
    pub token: &'a str,
    /// Of its secret.
    pub digest: &'a str,
    /// For whom it acts.
    pub user: &'a str,
    /// What it is for, in their words.
    pub name: &'a str,
    /// What it may do.
    pub scopes: &'a [String],
    /// Until when it works, in milliseconds since 1970.
    pub expires_at: i64,
}

macro_rules! columns {
    () => {
        r#"t.token, t."user", t.name, t.scopes, t.made_at, t.expires_at, t.revoked_at"#
    };
}

/// Makes a token. Noted in the ledger.
pub async fn make(w: &mut Write, new: &NewToken<'_>) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    users::get(w.conn(), &gym, new.user).await?;
    let made = sqlx::query(
        r#"INSERT INTO tokens (gym, token, digest, "user", name, scopes, made_at, expires_at)
           VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING"#,
    )
    .bind(&gym)
    .bind(new.token)
    .bind(new.digest)
    .bind(new.user)
    .bind(new.name)
    .bind(json!(new.scopes).to_string())
    .bind(at)
    .bind(new.expires_at)
    .execute(w.conn())
    .await?;
    if made.rows_affected() == 0 {
        return Err(DbError::exists("token", new.token));
    }
    let detail = json!({ "user": new.user, "scopes": new.scopes, "expires-at": new.expires_at });
    w.note("token.made", &format!("token:{}", new.token), detail).await
}

/// The token with a digest and its user, if it works at that time and the user is not kept out.
pub async fn find(
    conn: &mut AnyConnection,
    gym: &str,
    digest: &str,
    now: i64,
) -> Result<Option<(Token, User)>, DbError> {
    let row = sqlx::query(concat!(
        "SELECT ",
        columns!(),
        ", ",
        user_columns!(),
        r#" FROM tokens t JOIN users u ON u.gym = t.gym AND u."user" = t."user"
            WHERE t.gym = $1 AND t.digest = $2 AND t.expires_at > $3 AND t.revoked_at IS NULL AND u.disabled = 0"#
    ))
    .bind(gym)
    .bind(digest)
    .bind(now)
    .fetch_optional(conn)
    .await?;
    row.map(|row| Ok((read(&row)?, users::read(&row, 7)?))).transpose()
}

/// A token.
pub async fn get(conn: &mut AnyConnection, gym: &str, token: &str) -> Result<Token, DbError> {
    let row = sqlx::query(concat!("SELECT ", columns!(), " FROM tokens t WHERE t.gym = $1 AND t.token = $2"))
        .bind(gym)
        .bind(token)
        .fetch_optional(conn)
        .await?;
    read(&row.ok_or_else(|| DbError::missing("token", token))?)
}

/// Tokens of a user, or with an empty id of everybody, in the order of their ids, from behind one.
pub async fn list(
    conn: &mut AnyConnection,
    gym: &str,
    user: &str,
    after: &str,
    limit: i64,
) -> Result<Vec<Token>, DbError> {
    let rows = sqlx::query(concat!(
        "SELECT ",
        columns!(),
        r#" FROM tokens t WHERE t.gym = $1 AND ($2 = '' OR t."user" = $2) AND t.token > $3 ORDER BY t.token LIMIT $4"#
    ))
    .bind(gym)
    .bind(user)
    .bind(after)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// Takes a token back; once is enough. Noted in the ledger.
pub async fn revoke(w: &mut Write, token: &str) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    if get(w.conn(), &gym, token).await?.revoked_at.is_some() {
        return Ok(());
    }
    sqlx::query("UPDATE tokens SET revoked_at = $3 WHERE gym = $1 AND token = $2")
        .bind(&gym)
        .bind(token)
        .bind(at)
        .execute(w.conn())
        .await?;
    w.note("token.revoked", &format!("token:{token}"), json!({})).await
}

fn read(row: &AnyRow) -> Result<Token, DbError> {
    let token: String = row.try_get(0)?;
    let scopes: String = row.try_get(3)?;
    Ok(Token {
        user: row.try_get(1)?,
        name: row.try_get(2)?,
        scopes: serde_json::from_str(&scopes).map_err(|error| DbError::Damaged(format!("token `{token}`: {error}")))?,
        made_at: row.try_get(4)?,
        expires_at: row.try_get(5)?,
        revoked_at: row.try_get(6)?,
        token,
    })
}
