//! Written sessions with every text that they ever had. What cannot be read is not kept, so that every class can be
//! planned.

use classwright_store::db::{classes, now_ms, sessions};
use classwright_store::{Files, session_file_name};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::{Page, Service, Stored, Who, standing};
use crate::AppError;

/// A session as it is written down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct NewSession {
    /// Its id: it can name a file.
    pub id: String,
    /// What stands in it, in the session notation.
    pub text: String,
}

/// A text of a session.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SessionText {
    /// The session.
    pub id: String,
    /// What stands in it.
    pub text: String,
    /// The user who wrote it.
    pub written_by: String,
    /// When, in milliseconds since 1970.
    pub written_at: i64,
}

/// A session in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SessionHead {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
}

/// One of the texts that a session has or had.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SessionRevision {
    /// Which, from 1.
    pub revision: i64,
    /// The user who wrote it.
    pub written_by: String,
    /// When, in milliseconds since 1970.
    pub written_at: i64,
}

impl Service {
    /// Sessions by id.
    pub async fn sessions(
        &self,
        who: &Who,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<Stored<SessionHead>>, AppError> {
        let mut conn = self.db().read().await?;
        let found = sessions::list(&mut conn, &who.gym, after.unwrap_or_default(), limit as i64 + 1).await?;
        let head = |head: sessions::Head| SessionHead { id: head.session, title: head.title };
        let stored = |kept: classwright_store::db::Kept<_>| Stored { revision: kept.revision, value: head(kept.value) };
        Ok(Page::of(found, limit, |kept| kept.place.clone()).map(stored))
    }

    /// The newest text of a session.
    pub async fn session(&self, who: &Who, session: &str) -> Result<Stored<SessionText>, AppError> {
        Ok(text(sessions::get(&mut *self.db().read().await?, &who.gym, session).await?))
    }

    /// A text that a session has or had.
    pub async fn session_at(&self, who: &Who, session: &str, revision: i64) -> Result<Stored<SessionText>, AppError> {
        Ok(text(sessions::at(&mut *self.db().read().await?, &who.gym, session, revision).await?))
    }

    /// All texts that a session has or had, the newest first.
    pub async fn session_revisions(
        &self,
        who: &Who,
        session: &str,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<SessionRevision>, AppError> {
        let mut conn = self.db().read().await?;
        sessions::get(&mut conn, &who.gym, session).await?;
        let before = match after.map(str::parse) {
            None => i64::MAX,
            Some(Ok(before)) => before,
            Some(Err(_)) => return Err(AppError::input("after", "is no revision; send what the page before gave")),
        };
        let found = sessions::revisions(&mut conn, &who.gym, session, before, limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |one| one.revision.to_string()).map(|one| {
            let sessions::Revision { revision, written_by, written_at } = one;
            SessionRevision { revision, written_by, written_at }
        }))
    }

    /// Writes a new session.
    pub async fn add_session(&self, who: &Who, new: NewSession) -> Result<Stored<SessionText>, AppError> {
        let NewSession { id, text } = new;
        let mut change = self.change(who).await?;
        let gym = standing::with(&mut change, Files::from([(session_file_name(&id), text.clone())])).await?;
        let title = standing::session(&id, &text, &gym.library)?.title;
        let revision = sessions::insert(&mut change, &id, &title, &text).await?;
        change.note("session.added", &format!("session:{id}"), json!({})).await?;
        let value = SessionText { id, text, written_by: who.id.clone(), written_at: change.at() };
        change.commit().await?;
        Ok(Stored { revision, value })
    }

    /// Writes another text of a session; the ones before are kept. The same text again adds none.
    pub async fn write_session(
        &self,
        who: &Who,
        session: &str,
        text: String,
        expected: Option<i64>,
    ) -> Result<Stored<SessionText>, AppError> {
        let mut change = self.change(who).await?;
        let gym = standing::gym(&mut change).await?;
        let stood = sessions::get(change.conn(), &who.gym, session).await?;
        let title = standing::session(session, &text, &gym.library)?.title;
        let revision = sessions::write(&mut change, session, &title, &text, expected).await?;
        if revision == stood.revision {
            return Ok(self::text(stood));
        }
        let detail = json!({ "revision": revision });
        change.note("session.written", &format!("session:{session}"), detail.clone()).await?;
        let coming = classes::of_session(change.conn(), &who.gym, session, &standing::first_day(now_ms())).await?;
        for class in coming {
            let body = json!({ "revision": class.revision, "session-revision": revision });
            change.tell(&class.value.record.id, "class-changed", &body).await?;
        }
        let written_at = change.at();
        change.commit().await?;
        let value = SessionText { id: session.to_owned(), text, written_by: who.id.clone(), written_at };
        Ok(Stored { revision, value })
    }

    /// Removes a session that no class has.
    pub async fn remove_session(&self, who: &Who, session: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        sessions::remove(&mut change, session, expected).await?;
        change.note("session.removed", &format!("session:{session}"), json!({})).await?;
        Ok(change.commit().await?)
    }
}

fn text(text: sessions::Text) -> Stored<SessionText> {
    let sessions::Text { session, revision, text, written_by, written_at } = text;
    Stored { revision, value: SessionText { id: session, text, written_by, written_at } }
}
