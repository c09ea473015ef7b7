//! Links that work once: the first owner's, an invitation, a new password. Only their digests are kept.
//!
//! A link that makes the first gym belongs to no gym yet: its gym is the empty text.

use serde_json::json;
use sqlx::{AnyConnection, Row};

use super::{DbError, Write};

/// What a link is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// To make the first gym and its owner.
    FirstGym,
    /// To make the first owner of a gym that has none.
    FirstOwner,
    /// To choose a password.
    Password,
}

/// A link that works.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// What it is for.
    pub purpose: Purpose,
    /// Whose it is.
    pub user: Option<String>,
    /// Until when it works, in milliseconds since 1970.
    pub expires_at: i64,
}

/// Makes a link of the change's gym. Earlier ones for the same purpose and user no longer work. In the ledger, where
/// there is a gym.
pub async fn make(w: &mut Write, digest: &str, link: &Link) -> Result<(), DbError> {
    let gym = w.gym().to_owned();
    sqlx::query(r#"DELETE FROM links WHERE gym = $1 AND purpose = $2 AND COALESCE("user", '') = COALESCE($3, '')"#)
        .bind(&gym)
        .bind(link.purpose.id())
        .bind(link.user.as_deref())
        .execute(w.conn())
        .await?;
    sqlx::query(r#"INSERT INTO links (gym, digest, purpose, "user", expires_at) VALUES ($1, $2, $3, $4, $5)"#)
        .bind(&gym)
        .bind(digest)
        .bind(link.purpose.id())
        .bind(link.user.as_deref())
        .bind(link.expires_at)
        .execute(w.conn())
        .await?;
    note(w, "link.made", link).await
}

/// The link with a digest, if it works at that time.
pub async fn find(conn: &mut AnyConnection, gym: &str, digest: &str, now: i64) -> Result<Option<Link>, DbError> {
    let row = sqlx::query(
        r#"SELECT purpose, "user", expires_at FROM links
           WHERE gym = $1 AND digest = $2 AND used_at IS NULL AND expires_at > $3"#,
    )
    .bind(gym)
    .bind(digest)
    .bind(now)
    .fetch_optional(conn)
    .await?;
    row.map(|row| {
        let purpose = Purpose::read(&row.try_get::<String, _>(0)?)?;
        Ok(Link { purpose, user: row.try_get(1)?, expires_at: row.try_get(2)? })
    })
    .transpose()
}

/// Uses a link up, within the change that it allows. `gym` is the link's: empty for the link that makes a gym.
///
/// # Errors
///
/// [`DbError::Missing`] where there is none, or it was used, or its time is over.
pub async fn use_up(w: &mut Write, gym: &str, digest: &str) -> Result<Link, DbError> {
    let at = w.at();
    let link = find(w.conn(), gym, digest, at).await?;
    let used = sqlx::query("UPDATE links SET used_at = $3 WHERE gym = $1 AND digest = $2 AND used_at IS NULL")
        .bind(gym)
        .bind(digest)
        .bind(at)
        .execute(w.conn())
        .await?;
    let link = link.filter(|_| used.rows_affected() == 1);
    let link = link.ok_or_else(|| DbError::missing("link", "that works"))?;
    note(w, "link.used", &link).await?;
    Ok(link)
}

/// Forgets links of the change's gym whose time is over.
pub async fn sweep(w: &mut Write) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    sqlx::query("DELETE FROM links WHERE gym = $1 AND expires_at <= $2").bind(gym).bind(at).execute(w.conn()).await?;
    Ok(())
}

async fn note(w: &mut Write, what: &str, link: &Link) -> Result<(), DbError> {
    if w.gym().is_empty() {
        return Ok(());
    }
    let about = link.user.as_ref().map_or_else(|| format!("gym:{}", w.gym()), |user| format!("user:{user}"));
    w.note(what, &about, json!({ "purpose": link.purpose.id() })).await
}

impl Purpose {
    /// As it is kept.
    pub fn id(self) -> &'static str {
        match self {
            Purpose::FirstGym => "first-gym",
            Purpose::FirstOwner => "first-owner",
            Purpose::Password => "password",
        }
    }

    fn read(id: &str) -> Result<Purpose, DbError> {
        [Purpose::FirstGym, Purpose::FirstOwner, Purpose::Password]
            .into_iter()
            .find(|purpose| purpose.id() == id)
            .ok_or_else(|| DbError::Damaged(format!("a link is for `{id}`")))
    }
}
