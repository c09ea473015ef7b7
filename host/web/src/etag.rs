//! Revisions: what is edited says which revision it is at (`ETag`), and a change says which one it holds against
//! (`If-Match`), so that nobody overwrites what they have not seen.

use aide::OperationInput;
use aide::generate::GenContext;
use aide::openapi::Operation;
use axum::extract::FromRequestParts;
use axum::http::header::{ETAG, IF_MATCH, IF_NONE_MATCH};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, Method, Request, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::extract::header_parameter;
use crate::problem::{Kind, Problem};

/// The revision that a change holds against: needed, 428 without it. `None` stands for `*`: whichever it is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct IfMatch(pub Option<i64>);

impl<S: Sync> FromRequestParts<S> for IfMatch {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        if_match(&parts.headers)
    }
}

impl OperationInput for IfMatch {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        let words = "The revision that is changed, as `ETag` gave it, such as `\"3\"`; `*` changes whichever there is.";
        header_parameter(ctx, operation, "If-Match", true, words);
    }
}

fn if_match(headers: &HeaderMap) -> Result<IfMatch, Problem> {
    let Some(value) = headers.get(IF_MATCH) else {
        return Err(Kind::RevisionNeeded
            .with("say with `If-Match` which revision you change: send what `ETag` said when you read it"));
    };
    let text = value.to_str().unwrap_or_default().trim();
    if text == "*" {
        return Ok(IfMatch(None));
    }
    let revision = text.strip_prefix('"').and_then(|text| text.strip_suffix('"')).and_then(|text| text.parse().ok());
    match revision {
        Some(revision) => Ok(IfMatch(Some(revision))),
        // A tag that this host never gives is that of something else: the change must not happen.
        None => Err(Kind::Stale.with("`If-Match` names no revision: send what `ETag` said when you read it")),
    }
}

/// The tag of a revision.
pub(crate) fn tag(revision: i64) -> HeaderValue {
    HeaderValue::try_from(format!("\"{revision}\"")).expect("digits in quotes are a header's value")
}

/// Answers `304` where whoever reads has that revision already.
pub(crate) async fn not_modified(request: Request<axum::body::Body>, next: Next) -> Response {
    let known = (request.method() == Method::GET).then(|| request.headers().get(IF_NONE_MATCH).cloned()).flatten();
    let response = next.run(request).await;
    let same = match (&known, response.headers().get(ETAG)) {
        (Some(known), Some(tag)) if response.status() == StatusCode::OK => {
            let weak = |text: &str| text.trim().trim_start_matches("W/").to_owned();
            let tag = weak(tag.to_str().unwrap_or_default());
            known.to_str().unwrap_or_default().split(',').any(|one| weak(one) == tag || one.trim() == "*")
        }
        _ => false,
    };
    if !same {
        return response;
    }
    let mut unchanged = StatusCode::NOT_MODIFIED.into_response();
    if let Some(tag) = response.headers().get(ETAG) {
        unchanged.headers_mut().insert(ETAG, tag.clone());
    }
    unchanged
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(value: &'static str) -> Result<IfMatch, Kind> {
        let headers = HeaderMap::from_iter([(IF_MATCH, HeaderValue::from_static(value))]);
        if_match(&headers).map_err(|problem| if problem.status() == 412 { Kind::Stale } else { Kind::Fault })
    }

    #[test]
    fn a_tag_is_read_as_it_was_given() {
        assert_eq!(read("\"7\""), Ok(IfMatch(Some(7))));
        assert_eq!(read("*"), Ok(IfMatch(None)));
        assert_eq!(read("7"), Err(Kind::Stale));
        assert_eq!(read("W/\"7\""), Err(Kind::Stale), "a weak tag never holds for a change");
        assert_eq!(if_match(&HeaderMap::new()).unwrap_err().status(), 428);
        assert_eq!(tag(7), "\"7\"");
    }
}
