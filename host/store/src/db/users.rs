//! Who may log in to a gym, and as what.

use serde_json::json;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::hold;
use super::{DbError, Write, athletes};

/// Somebody who may log in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct User {
    /// Their id, which never changes.
    pub user: String,
    /// Counts changes by hand.
    pub revision: i64,
    /// What they are called.
    pub name: String,
    /// What they log in with.
    pub login: String,
    /// `owner`, `coach` or `athlete`.
    pub role: String,
    /// Who they are on the roster.
    pub athlete: Option<String>,
    /// The PHC string of their password; none until they have chosen one.
    pub password: Option<String>,
    /// Wrong passwords in a row.
    pub failed: i64,
    /// Until when no password is looked at, in milliseconds since 1970.
    pub locked_until: Option<i64>,
    /// Whether they are kept out.
    pub disabled: bool,
    /// When they were made.
    pub made_at: i64,
}

/// What makes a user.
#[derive(Clone, Copy, Debug)]
pub struct NewUser<'a> {
    /// Their id.
    pub user: &'a str,
    /// What they are called.
    pub name: &'a str,
    /// What they log in with; nobody else in the gym has it.
    pub login: &'a str,
    /// `owner`, `coach` or `athlete`.
    pub role: &'a str,
    /// Who they are on the roster.
    pub athlete: Option<&'a str>,
}

/// What changes about a user; what is `None` stays.
#[derive(Clone, Copy, Debug, Default)]
pub struct UserChange<'a> {
    /// What they are called.
    pub name: Option<&'a str>,
    /// What they log in with.
    pub login: Option<&'a str>,
    /// `owner`, `coach` or `athlete`.
    pub role: Option<&'a str>,
    /// Who they are on the roster, or nobody.
    pub athlete: Option<Option<&'a str>>,
    /// Whether they are kept out.
    pub disabled: Option<bool>,
}

/// The columns that [`read`] reads, of `users u`.
macro_rules! user_columns {
    () => {
        r#"u."user", u.revision, u.name, u.login, u.role, u.athlete, u.password, u.failed, u.locked_until, u.disabled,
           u.made_at"#
    };
}
pub(super) use user_columns;

macro_rules! select {
    ($rest:literal) => {
        concat!("SELECT ", user_columns!(), " FROM users u ", $rest)
    };
}

/// A user.
pub async fn get(conn: &mut AnyConnection, gym: &str, user: &str) -> Result<User, DbError> {
    let row = sqlx::query(select!(r#"WHERE gym = $1 AND "user" = $2"#)).bind(gym).bind(user).fetch_optional(conn);
    read(&row.await?.ok_or_else(|| DbError::missing("user", user))?, 0)
}

/// Who logs in with this.
pub async fn by_login(conn: &mut AnyConnection, gym: &str, login: &str) -> Result<Option<User>, DbError> {
    let row = sqlx::query(select!("WHERE gym = $1 AND login = $2")).bind(gym).bind(login).fetch_optional(conn);
    row.await?.map(|row| read(&row, 0)).transpose()
}

/// Users in the order of their ids, from behind one.
pub async fn list(conn: &mut AnyConnection, gym: &str, after: &str, limit: i64) -> Result<Vec<User>, DbError> {
    let rows = sqlx::query(select!(r#"WHERE gym = $1 AND "user" > $2 ORDER BY "user" LIMIT $3"#))
        .bind(gym)
        .bind(after)
        .bind(limit)
        .fetch_all(conn)
        .await?;
    rows.iter().map(|row| read(row, 0)).collect()
}

/// How many owners may log in: the last one is neither made less nor kept out.
pub async fn owners(conn: &mut AnyConnection, gym: &str) -> Result<i64, DbError> {
    let row = sqlx::query("SELECT COUNT(*) FROM users WHERE gym = $1 AND role = 'owner' AND disabled = 0")
        .bind(gym)
        .fetch_one(conn)
        .await?;
    Ok(row.try_get(0)?)
}

/// Makes a user without a password. Noted in the ledger.
pub async fn make(w: &mut Write, new: &NewUser<'_>) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    let made = sqlx::query(
        r#"INSERT INTO users (gym, "user", revision, name, login, role, athlete, failed, disabled, made_at)
           VALUES ($1, $2, 1, $3, $4, $5, $6, 0, 0, $7) ON CONFLICT DO NOTHING"#,
    )
    .bind(&gym)
    .bind(new.user)
    .bind(new.name)
    .bind(new.login)
    .bind(new.role)
    .bind(new.athlete)
    .bind(at)
    .execute(w.conn())
    .await?;
    if made.rows_affected() == 0 {
        let taken = by_login(w.conn(), &gym, new.login).await?;
        return Err(match taken {
            Some(_) => DbError::exists("login", new.login),
            None => DbError::exists("user", new.user),
        });
    }
    let athlete = ledger_name(w, new.athlete).await?;
    let detail = json!({ "role": new.role, "athlete": athlete });
    w.note("user.made", &format!("user:{}", new.user), detail).await
}

/// Changes a user, and answers with the new revision. Whoever is kept out is logged out. Noted in the ledger.
///
/// # Errors
///
/// [`DbError::Needed`] where the gym would be without an owner who may log in.
pub async fn change(w: &mut Write, user: &str, change: &UserChange<'_>, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = w.gym().to_owned();
    let now = get(w.conn(), &gym, user).await?;
    hold("user", user, expected, now.revision)?;
    if let Some(login) = change.login.filter(|login| *login != now.login)
        && by_login(w.conn(), &gym, login).await?.is_some()
    {
        return Err(DbError::exists("login", login));
    }
    let (role, disabled) = (change.role.unwrap_or(&now.role), change.disabled.unwrap_or(now.disabled));
    sqlx::query(
        r#"UPDATE users SET name = $3, login = $4, role = $5, athlete = $6, disabled = $7, revision = revision + 1
           WHERE gym = $1 AND "user" = $2"#,
    )
    .bind(&gym)
    .bind(user)
    .bind(change.name.unwrap_or(&now.name))
    .bind(change.login.unwrap_or(&now.login))
    .bind(role)
    .bind(change.athlete.unwrap_or(now.athlete.as_deref()))
    .bind(i64::from(disabled))
    .execute(w.conn())
    .await?;
    if now.role == "owner" && owners(w.conn(), &gym).await? == 0 {
        return Err(DbError::Needed {
            what: "owner",
            id: user.to_owned(),
            why: "nobody else owns the gym; make another owner first".into(),
        });
    }
    if disabled {
        super::logins::end_all(w, user).await?;
    }
    let athlete = ledger_name(w, change.athlete.flatten()).await?;
    let detail = json!({ "role": role, "athlete": athlete, "disabled": disabled });
    w.note("user.changed", &format!("user:{user}"), detail).await?;
    Ok(now.revision + 1)
}

/// Sets a password (a PHC string), unlocks, and ends all logins. Noted in the ledger.
pub async fn set_password(w: &mut Write, user: &str, phc: &str) -> Result<(), DbError> {
    let gym = w.gym().to_owned();
    let set = sqlx::query(
        r#"UPDATE users SET password = $3, failed = 0, locked_until = NULL WHERE gym = $1 AND "user" = $2"#,
    )
    .bind(&gym)
    .bind(user)
    .bind(phc)
    .execute(w.conn())
    .await?;
    if set.rows_affected() == 0 {
        return Err(DbError::missing("user", user));
    }
    super::logins::end_all(w, user).await?;
    w.note("user.password-set", &format!("user:{user}"), json!({})).await
}

/// Counts a wrong password; at `most` in a row no password is looked at for a while, which is noted in the ledger.
/// Answers with the time until which it is so.
pub async fn wrong_password(w: &mut Write, user: &str, most: i64, lock_ms: i64) -> Result<Option<i64>, DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    let row = sqlx::query(
        r#"UPDATE users SET failed = failed + 1,
               locked_until = CASE WHEN failed + 1 >= $3 THEN $4 ELSE locked_until END
           WHERE gym = $1 AND "user" = $2 RETURNING failed"#,
    )
    .bind(&gym)
    .bind(user)
    .bind(most)
    .bind(at + lock_ms)
    .fetch_optional(w.conn())
    .await?;
    let failed: i64 = row.ok_or_else(|| DbError::missing("user", user))?.try_get(0)?;
    if failed < most {
        return Ok(None);
    }
    w.note("user.locked", &format!("user:{user}"), json!({ "wrong-passwords": failed })).await?;
    Ok(Some(at + lock_ms))
}

/// A right password: the wrong ones before are forgotten.
pub async fn right_password(w: &mut Write, user: &str) -> Result<(), DbError> {
    let gym = w.gym().to_owned();
    sqlx::query(r#"UPDATE users SET failed = 0, locked_until = NULL WHERE gym = $1 AND "user" = $2"#)
        .bind(&gym)
        .bind(user)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// What the ledger calls whoever a user is on the roster.
async fn ledger_name(w: &mut Write, athlete: Option<&str>) -> Result<Option<String>, DbError> {
    let Some(athlete) = athlete else { return Ok(None) };
    let gym = w.gym().to_owned();
    Ok(Some(athletes::ledger_name(w.conn(), &gym, athlete).await?))
}

/// A user from a row, from a column on.
pub(super) fn read(row: &AnyRow, from: usize) -> Result<User, DbError> {
    Ok(User {
        user: row.try_get(from)?,
        revision: row.try_get(from + 1)?,
        name: row.try_get(from + 2)?,
        login: row.try_get(from + 3)?,
        role: row.try_get(from + 4)?,
        athlete: row.try_get(from + 5)?,
        password: row.try_get(from + 6)?,
        failed: row.try_get(from + 7)?,
        locked_until: row.try_get(from + 8)?,
        disabled: row.try_get::<i64, _>(from + 9)? != 0,
        made_at: row.try_get(from + 10)?,
    })
}
