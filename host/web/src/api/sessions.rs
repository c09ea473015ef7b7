//! Written sessions, with every text that they ever had.

use axum::extract::State;
use classwright_app::AppError;
use classwright_app::service::sessions::{NewSession, SessionHead, SessionRevision, SessionText};
use classwright_app::service::{Page, Service, Stored};
use schemars::JsonSchema;
use serde::Deserialize;

use super::path::in_gym;
use crate::access::Scope::{Read, Write};
use crate::access::coaches;
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get, put};

const ALL: &str = "/v1/gyms/{gym}/sessions";
const ONE: &str = "/v1/gyms/{gym}/sessions/{session}";
const REVISIONS: &str = "/v1/gyms/{gym}/sessions/{session}/revisions";
const REVISION: &str = "/v1/gyms/{gym}/sessions/{session}/revisions/{revision}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("sessions.list", ALL, coaches(Read), list, "Sessions by id, without their texts"),
        create("sessions.add", ALL, coaches(Write), add, "Writes a new session"),
        get("sessions.get", ONE, coaches(Read), one, "The newest text of a session"),
        put("sessions.write", ONE, coaches(Write), write, "Writes another text of a session; those before are kept"),
        delete("sessions.remove", ONE, coaches(Write), remove, "Removes a session that no class has"),
        get(
            "sessions.revisions",
            REVISIONS,
            coaches(Read),
            revisions,
            "Texts that a session has or had, the newest first",
        ),
        get("sessions.revision", REVISION, coaches(Read), revision, "A text that a session has or had"),
    ]
}

/// What is to stand in a session.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct NewText {
    /// The text, in the session notation.
    text: String,
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    paging: Paging,
) -> Answer<Json<Page<Stored<SessionHead>>>> {
    Ok(Json(service.sessions(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<NewSession>,
) -> Answer<Created<Stored<SessionText>>> {
    let stored = service.add_session(&who, new).await?;
    Ok(Created::stored(in_gym(&who.gym, &["sessions", &stored.value.id]), stored))
}

async fn one(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([session]): Ids<1>,
) -> Answer<Tagged<SessionText>> {
    Ok(Tagged(service.session(&who, &session).await?))
}

async fn write(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([session]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(new): Json<NewText>,
) -> Answer<Tagged<SessionText>> {
    Ok(Tagged(service.write_session(&who, &session, new.text, expected).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([session]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_session(&who, &session, expected).await?;
    Ok(Done)
}

async fn revisions(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([session]): Ids<1>,
    paging: Paging,
) -> Answer<Json<Page<SessionRevision>>> {
    Ok(Json(service.session_revisions(&who, &session, paging.after.as_deref(), paging.limit).await?))
}

async fn revision(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([session, revision]): Ids<2>,
) -> Answer<Json<Stored<SessionText>>> {
    let revision = revision.parse().map_err(|_| AppError::missing("revision of the session", &revision))?;
    Ok(Json(service.session_at(&who, &session, revision).await?))
}
