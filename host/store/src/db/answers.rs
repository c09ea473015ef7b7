//! Answers to calls that make something, so that a call that was sent twice makes it once.
//!
//! Whoever serves such a call looks with [`find`] whether it was answered, and else does it within [`asked`]. The first
//! change that is made in there claims the call's key as a part of itself: a second change with the same key cannot be
//! made, at the same time or later, on this host or another. [`keep`] adds what was answered.

use std::sync::atomic::{AtomicBool, Ordering};

use sqlx::{AnyConnection, Row};

use super::{Db, DbError, now_ms};

/// A call that was made before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It was answered.
    Kept {
        /// The status.
        status: i64,
        /// The body.
        body: String,
    },
    /// It was done, but its answer was lost when the host that did it went down.
    Done {
        /// What it was about, for example `athlete:ama`.
        about: String,
    },
}

/// A call with a key, by somebody.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Call {
    /// The gym.
    pub gym: String,
    /// A user's id.
    pub who: String,
    /// What they chose to know the call by.
    pub key: String,
    /// The digest of what is asked.
    pub request: String,
}

struct Asked {
    call: Call,
    claimed: AtomicBool,
}

tokio::task_local! {
    static ASKED: Asked;
}

/// What a call was answered, if it was made before.
///
/// # Errors
///
/// [`DbError::OtherCall`] where the key was used for something else.
pub async fn find(conn: &mut AnyConnection, call: &Call) -> Result<Option<Answer>, DbError> {
    let row = sqlx::query(r#"SELECT request, status, body FROM answers WHERE gym = $1 AND who = $2 AND "key" = $3"#)
        .bind(&call.gym)
        .bind(&call.who)
        .bind(&call.key)
        .fetch_optional(conn)
        .await?;
    let Some(row) = row else { return Ok(None) };
    if row.try_get::<String, _>(0)? != call.request {
        return Err(DbError::OtherCall { key: call.key.clone() });
    }
    let (status, body) = (row.try_get(1)?, row.try_get(2)?);
    Ok(Some(if status == 0 { Answer::Done { about: body } } else { Answer::Kept { status, body } }))
}

/// Does a call: the first change made in there claims its key. Where another claimed it, that change fails with
/// [`DbError::Repeated`], and nothing happened: [`find`] has the answer.
pub async fn asked<T>(call: Call, doing: impl Future<Output = T>) -> T {
    ASKED.scope(Asked { call, claimed: AtomicBool::new(false) }, doing).await
}

/// Adds what a call that changed something was answered. A call that changed nothing is not kept: it may be made again.
pub async fn keep(db: &Db, call: &Call, status: i64, body: &str) -> Result<(), DbError> {
    let mut w = db.write(&call.gym, &call.who).await?;
    sqlx::query(
        r#"UPDATE answers SET status = $4, body = $5
           WHERE gym = $1 AND who = $2 AND "key" = $3 AND status = 0 AND request = $6"#,
    )
    .bind(&call.gym)
    .bind(&call.who)
    .bind(&call.key)
    .bind(status)
    .bind(body)
    .bind(&call.request)
    .execute(w.conn())
    .await?;
    w.commit_quietly().await
}

/// Forgets a gym's answers that are older than some time.
pub async fn sweep(db: &Db, gym: &str, older_than_ms: i64) -> Result<(), DbError> {
    let mut w = db.write(gym, "console").await?;
    sqlx::query("DELETE FROM answers WHERE gym = $1 AND at < $2")
        .bind(gym)
        .bind(now_ms() - older_than_ms)
        .execute(w.conn())
        .await?;
    w.commit_quietly().await
}

/// Claims the key of the call in which a change is made, if there is one and it is of that gym.
pub(crate) async fn claim(conn: &mut AnyConnection, gym: &str, at: i64, about: &str) -> Result<(), DbError> {
    let call = ASKED.try_with(|asked| {
        (asked.call.gym == gym && !asked.claimed.load(Ordering::Relaxed)).then(|| asked.call.clone())
    });
    let Some(call) = call.ok().flatten() else { return Ok(()) };
    let claimed = sqlx::query(
        r#"INSERT INTO answers (gym, who, "key", request, status, body, at) VALUES ($1, $2, $3, $4, 0, $5, $6)
           ON CONFLICT DO NOTHING"#,
    )
    .bind(&call.gym)
    .bind(&call.who)
    .bind(&call.key)
    .bind(&call.request)
    .bind(about)
    .bind(at)
    .execute(conn)
    .await?;
    if claimed.rows_affected() == 0 {
        return Err(DbError::Repeated { key: call.key });
    }
    Ok(())
}

/// The change with the claim was made: further changes of the same call go on without.
pub(crate) fn claimed(gym: &str) {
    let _ = ASKED.try_with(|asked| {
        if asked.call.gym == gym {
            asked.claimed.store(true, Ordering::Relaxed);
        }
    });
}
