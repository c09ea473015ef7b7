//! A call that makes something, sent twice with one `Idempotency-Key`, makes it once.
//!
//! The key is claimed in the same change that makes the thing, so that whatever ends this host or cuts the line, a
//! second call with the key changes nothing. It is answered as the first was; where that answer is not there (it held a
//! secret, or the host went down before it was kept) it is told that it was done. An answer that something is not as
//! asked changed nothing, is not kept, and the call may be sent again.

use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_TYPE, ETAG, LOCATION};
use axum::http::{HeaderName, HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use classwright_app::service::Who;
use classwright_app::service::once::{Before, OnceKey};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::problem::{Kind, Problem, too_large};
use crate::routes::Entry;
use crate::state::App;

const KEY: &str = "idempotency-key";
const REPLAYED: HeaderName = HeaderName::from_static("idempotency-replayed");

/// What is kept of an answer.
#[derive(Serialize, Deserialize)]
struct Kept {
    location: Option<String>,
    etag: Option<String>,
    body: String,
}

/// Carries a call out, once a key.
pub(crate) async fn once(State((app, entry)): State<(App, Entry)>, request: Request, next: Next) -> Response {
    match carried_out(&app, &entry, request, next).await {
        Ok(response) => response,
        Err(problem) => problem.into_response(),
    }
}

async fn carried_out(app: &App, entry: &Entry, request: Request, next: Next) -> Result<Response, Problem> {
    let Some(key) = request.headers().get(KEY) else { return Ok(next.run(request).await) };
    let key = key.to_str().ok().map(str::trim).filter(|key| !key.is_empty() && key.len() <= 200);
    let Some(key) = key.map(str::to_owned) else {
        return Err(Kind::Malformed.with("`Idempotency-Key` has to have 1 to 200 characters of ASCII"));
    };
    let Some(who) = request.extensions().get::<Who>().cloned() else {
        return Err(Kind::Fault.with("nobody knows who calls").log("a key came to a route without a guard"));
    };
    let (parts, body) = request.into_parts();
    let limit = entry.body_limit.unwrap_or(app.settings().body_limit_kib as usize * 1024);
    let body = to_bytes(body, limit).await.map_err(|_| too_large())?;
    let asked = [
        parts.method.as_str(),
        &parts.uri.to_string(),
        parts.headers.get(CONTENT_TYPE).map_or("", |v| v.to_str().unwrap_or("")),
    ];
    let call = OnceKey { gym: who.gym.clone(), who: who.id.clone(), key, request: digest(&asked, &body) };
    if let Some(before) = app.service().made_before(&call).await? {
        return answered_before(before);
    }
    let request = Request::from_parts(parts, Body::from(body));
    let response = app.service().make_once(call.clone(), next.run(request)).await;
    if response.status().is_success() && !entry.secret {
        return kept(app, &call, response).await;
    }
    // Somebody else was sooner with the same key, between the look and the change.
    if response.status() == Kind::SameCall.status()
        && let Ok(Some(before)) = app.service().made_before(&call).await
    {
        return answered_before(before);
    }
    Ok(response)
}

fn digest(asked: &[&str], body: &Bytes) -> String {
    let mut digest = Sha256::new();
    for part in asked {
        digest.update((part.len() as u64).to_be_bytes());
        digest.update(part.as_bytes());
    }
    digest.update(body);
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

async fn kept(app: &App, call: &OnceKey, response: Response) -> Result<Response, Problem> {
    let (parts, body) = response.into_parts();
    let fault = |words: String| Kind::Fault.with("this is a fault in classwright: the host's log says more").log(words);
    let bytes = to_bytes(body, usize::MAX).await.map_err(|error| fault(error.to_string()))?;
    let text = |name: &HeaderName| parts.headers.get(name).and_then(|value| value.to_str().ok()).map(str::to_owned);
    if let Ok(body) = String::from_utf8(bytes.to_vec()) {
        let kept = Kept { location: text(&LOCATION), etag: text(&ETAG), body };
        let kept = serde_json::to_string(&kept).map_err(|error| fault(error.to_string()))?;
        // What was made is made: where its answer cannot be kept, a second call is told that it was done.
        if let Err(error) = app.service().keep_answer(call, parts.status.as_u16(), &kept).await {
            tracing::warn!(error = %error, "the answer to a call with a key was not kept");
        }
    }
    Ok(Response::from_parts(parts, Body::from(bytes)))
}

fn answered_before(before: Before) -> Result<Response, Problem> {
    let (status, kept) = match before {
        Before::Answered { status, answer } => (status, answer),
        Before::Done { about } => {
            return Err(Kind::SameCall
                .with(format!(
                    "this was done already ({about}); its answer is not there any more: look at what is there"
                ))
                .member("about", about));
        }
    };
    let damaged = |words: String| Kind::Damaged.with("an answer that was kept cannot be read").log(words);
    let kept: Kept = serde_json::from_str(&kept).map_err(|error| damaged(error.to_string()))?;
    let mut response = kept.body.into_response();
    *response.status_mut() = StatusCode::from_u16(status).map_err(|error| damaged(error.to_string()))?;
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/json"));
    headers.insert(REPLAYED, HeaderValue::from_static("true"));
    for (name, value) in [(LOCATION, kept.location), (ETAG, kept.etag)] {
        if let Some(value) = value.and_then(|value| HeaderValue::try_from(value).ok()) {
            headers.insert(name, value);
        }
    }
    Ok(response)
}
