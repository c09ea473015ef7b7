//! Written sessions with every text that they ever had. A text is never overwritten: writing adds a revision.

use std::collections::BTreeMap;

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::{found_in, hold};
use super::{DbError, Kept, Write};

const WHAT: &str = "session";

/// A text of a session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// The session.
    pub session: String,
    /// Which of its texts, from 1.
    pub revision: i64,
    /// What stands in it.
    pub text: String,
    /// The user who wrote it.
    pub written_by: String,
    /// When, in milliseconds since 1970.
    pub written_at: i64,
}

/// A session without its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Its id.
    pub session: String,
    /// Its title.
    pub title: String,
}

/// When a text was written and by whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revision {
    /// Which, from 1.
    pub revision: i64,
    /// The user who wrote it.
    pub written_by: String,
    /// When, in milliseconds since 1970.
    pub written_at: i64,
}

/// The newest text of a session.
pub async fn get(conn: &mut AnyConnection, gym: &str, session: &str) -> Result<Text, DbError> {
    let row = sqlx::query(
        "SELECT t.session, t.revision, t.text, t.written_by, t.written_at FROM sessions s
         JOIN session_texts t ON t.gym = s.gym AND t.session = s.session AND t.revision = s.revision
         WHERE s.gym = $1 AND s.session = $2",
    )
    .bind(gym)
    .bind(session)
    .fetch_optional(conn)
    .await?;
    row.as_ref().map(text).transpose()?.ok_or_else(|| missing(session))
}

/// A text that a session has or had.
pub async fn at(conn: &mut AnyConnection, gym: &str, session: &str, revision: i64) -> Result<Text, DbError> {
    let row = sqlx::query(
        "SELECT session, revision, text, written_by, written_at FROM session_texts
         WHERE gym = $1 AND session = $2 AND revision = $3",
    )
    .bind(gym)
    .bind(session)
    .bind(revision)
    .fetch_optional(conn)
    .await?;
    let none = || DbError::Missing { what: "revision of the session", id: format!("{session}/{revision}") };
    row.as_ref().map(text).transpose()?.ok_or_else(none)
}

/// Revisions of a session before one, the newest first.
pub async fn revisions(
    conn: &mut AnyConnection,
    gym: &str,
    session: &str,
    before: i64,
    limit: i64,
) -> Result<Vec<Revision>, DbError> {
    let rows = sqlx::query(
        "SELECT revision, written_by, written_at FROM session_texts
         WHERE gym = $1 AND session = $2 AND revision < $3 ORDER BY revision DESC LIMIT $4",
    )
    .bind(gym)
    .bind(session)
    .bind(before)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    let one = |row: &AnyRow| {
        Ok(Revision { revision: row.try_get(0)?, written_by: row.try_get(1)?, written_at: row.try_get(2)? })
    };
    rows.iter().map(one).collect()
}

/// Sessions after an id, by id.
pub async fn list(conn: &mut AnyConnection, gym: &str, after: &str, limit: i64) -> Result<Vec<Kept<Head>>, DbError> {
    let rows = sqlx::query(
        "SELECT session, revision, title FROM sessions WHERE gym = $1 AND session > $2 ORDER BY session LIMIT $3",
    )
    .bind(gym)
    .bind(after)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    let one = |row: &AnyRow| {
        let session: String = row.try_get(0)?;
        let place = session.clone();
        Ok(Kept { revision: row.try_get(1)?, place, value: Head { session, title: row.try_get(2)? } })
    };
    rows.iter().map(one).collect()
}

/// The newest texts of all sessions, by id.
pub async fn texts(conn: &mut AnyConnection, gym: &str) -> Result<BTreeMap<String, String>, DbError> {
    let rows = sqlx::query(
        "SELECT s.session, t.text FROM sessions s
         JOIN session_texts t ON t.gym = s.gym AND t.session = s.session AND t.revision = s.revision
         WHERE s.gym = $1",
    )
    .bind(gym)
    .fetch_all(conn)
    .await?;
    rows.iter().map(|row| Ok((row.try_get(0)?, row.try_get(1)?))).collect()
}

/// Adds a session with its first text, and gives back its revision.
pub async fn insert(change: &mut Write, session: &str, title: &str, text: &str) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "INSERT INTO sessions (gym, session, revision, title) VALUES ($1, $2, 1, $3)
         ON CONFLICT (gym, session) DO NOTHING",
    )
    .bind(gym)
    .bind(session)
    .bind(title)
    .execute(change.conn())
    .await?;
    if done.rows_affected() == 0 {
        return Err(DbError::Exists { what: WHAT, id: session.to_owned() });
    }
    add_text(change, session, 1, text).await
}

/// Writes another text, and gives back the revision that it has. The text that stands already is none to add.
pub async fn write(
    change: &mut Write,
    session: &str,
    title: &str,
    text: &str,
    expected: Option<i64>,
) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let stood = get(change.conn(), &gym, session).await?;
    hold(WHAT, session, expected, stood.revision)?;
    if stood.text == text {
        return Ok(stood.revision);
    }
    let revision = stood.revision + 1;
    sqlx::query("UPDATE sessions SET revision = $3, title = $4 WHERE gym = $1 AND session = $2")
        .bind(gym)
        .bind(session)
        .bind(revision)
        .bind(title)
        .execute(change.conn())
        .await?;
    add_text(change, session, revision, text).await
}

/// Removes a session that no class has, with all its texts.
pub async fn remove(change: &mut Write, session: &str, expected: Option<i64>) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let stood = get(change.conn(), &gym, session).await?;
    hold(WHAT, session, expected, stood.revision)?;
    let classes = "SELECT class FROM classes WHERE gym = $1 AND session = $2 ORDER BY day, class";
    if let Some(classes) = found_in(change.conn(), classes, &gym, session).await? {
        let why = format!("planned for {classes}; give whatever is planned another session first");
        return Err(DbError::Needed { what: WHAT, id: session.to_owned(), why });
    }
    let query = sqlx::query("DELETE FROM sessions WHERE gym = $1 AND session = $2").bind(gym).bind(session);
    query.execute(change.conn()).await?;
    Ok(())
}

async fn add_text(change: &mut Write, session: &str, revision: i64, text: &str) -> Result<i64, DbError> {
    let (gym, who, at) = (change.gym().to_owned(), change.who().to_owned(), change.at());
    sqlx::query(
        "INSERT INTO session_texts (gym, session, revision, text, written_by, written_at)
         VALUES ($1, $2, $3, $4, $5, $6)",
    )
    .bind(gym)
    .bind(session)
    .bind(revision)
    .bind(text)
    .bind(who)
    .bind(at)
    .execute(change.conn())
    .await?;
    Ok(revision)
}

fn missing(session: &str) -> DbError {
    DbError::Missing { what: WHAT, id: session.to_owned() }
}

fn text(row: &AnyRow) -> Result<Text, DbError> {
    Ok(Text {
        session: row.try_get(0)?,
        revision: row.try_get(1)?,
        text: row.try_get(2)?,
        written_by: row.try_get(3)?,
        written_at: row.try_get(4)?,
    })
}
