//! Who is logged in by a cookie. Only the cookies' digests are kept.

use sqlx::{AnyConnection, Row};

use super::users::{self, User, user_columns};
use super::{DbError, Write};

/// A login that holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Login {
    /// Who is logged in.
    pub user: User,
    /// What a form must send along.
    pub csrf: String,
    /// When they logged in, in milliseconds since 1970.
    pub made_at: i64,
    /// Until when it holds.
    pub expires_at: i64,
}

/// What makes a login.
#[derive(Clone, Copy, Debug)]
pub struct NewLogin<'a> {
    /// Of the cookie.
    pub digest: &'a str,
    /// Who logs in.
    pub user: &'a str,
    /// What a form must send along.
    pub csrf: &'a str,
    /// Until when it holds.
    pub expires_at: i64,
}

/// Logs somebody in, and forgets logins of theirs whose time is over.
pub async fn make(w: &mut Write, new: &NewLogin<'_>) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    sqlx::query(r#"DELETE FROM logins WHERE gym = $1 AND "user" = $2 AND expires_at <= $3"#)
        .bind(&gym)
        .bind(new.user)
        .bind(at)
        .execute(w.conn())
        .await?;
    sqlx::query(
        r#"INSERT INTO logins (gym, digest, "user", csrf, made_at, expires_at) VALUES ($1, $2, $3, $4, $5, $6)"#,
    )
    .bind(&gym)
    .bind(new.digest)
    .bind(new.user)
    .bind(new.csrf)
    .bind(at)
    .bind(new.expires_at)
    .execute(w.conn())
    .await?;
    Ok(())
}

/// The login with a digest, if it holds at that time and its user is not kept out.
pub async fn find(conn: &mut AnyConnection, gym: &str, digest: &str, now: i64) -> Result<Option<Login>, DbError> {
    let row = sqlx::query(concat!(
        "SELECT l.csrf, l.made_at, l.expires_at, ",
        user_columns!(),
        r#" FROM logins l JOIN users u ON u.gym = l.gym AND u."user" = l."user"
            WHERE l.gym = $1 AND l.digest = $2 AND l.expires_at > $3 AND u.disabled = 0"#
    ))
    .bind(gym)
    .bind(digest)
    .bind(now)
    .fetch_optional(conn)
    .await?;
    row.map(|row| {
        Ok(Login {
            csrf: row.try_get(0)?,
            made_at: row.try_get(1)?,
            expires_at: row.try_get(2)?,
            user: users::read(&row, 3)?,
        })
    })
    .transpose()
}

/// Ends a login; nothing happens where there is none.
pub async fn end(w: &mut Write, digest: &str) -> Result<(), DbError> {
    let gym = w.gym().to_owned();
    sqlx::query("DELETE FROM logins WHERE gym = $1 AND digest = $2").bind(gym).bind(digest).execute(w.conn()).await?;
    Ok(())
}

/// Ends all logins of a user.
pub async fn end_all(w: &mut Write, user: &str) -> Result<(), DbError> {
    let gym = w.gym().to_owned();
    sqlx::query(r#"DELETE FROM logins WHERE gym = $1 AND "user" = $2"#).bind(gym).bind(user).execute(w.conn()).await?;
    Ok(())
}
