//! What is answered when something is not as asked: RFC 9457 problem details.
//!
//! Every kind has one id, one status and one title; [`Kind::ALL`] is the table, and it is in the API's document. The
//! type is `urn:classwright:problem:<id>`; where a policy failed by itself it is the failure's own,
//! `urn:classwright:failure:<id>`. `detail` says what, where and what to do. Whatever might tell of other people or of
//! the machine (the words of a database, a panic) goes to the log alone.

mod from;

use std::sync::Arc;

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{MediaType, Operation, Response as ApiResponse, SchemaObject, StatusCode as ApiStatus};
use axum::body::Body;
use axum::http::header::{CONTENT_TYPE, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

pub(crate) use from::{no_such_id, too_large};

/// What handlers give.
pub type Answer<T> = Result<T, Problem>;

/// Media type of a problem.
pub const PROBLEM_JSON: &str = "application/problem+json";

macro_rules! kinds {
    ($($(#[doc = $doc:literal])+ $name:ident, $id:literal, $status:ident;)+) => {
        /// What is not as asked.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Kind { $($(#[doc = $doc])+ $name,)+ }

        impl Kind {
            /// Every kind.
            pub const ALL: &[Kind] = &[$(Kind::$name),+];

            /// Stable id.
            pub const fn id(self) -> &'static str {
                match self { $(Kind::$name => $id),+ }
            }

            /// Status of the answer.
            pub const fn status(self) -> StatusCode {
                match self { $(Kind::$name => StatusCode::$status),+ }
            }

            /// The same words for every answer of this kind.
            pub const fn title(self) -> &'static str {
                match self { $(Kind::$name => concat!($($doc),+).trim_ascii()),+ }
            }
        }
    };
}

kinds! {
    /// The request cannot be read.
    Malformed, "malformed", BAD_REQUEST;
    /// A login or a token is needed.
    LoginNeeded, "login-needed", UNAUTHORIZED;
    /// Whoever asks may not do that.
    NotAllowed, "not-allowed", FORBIDDEN;
    /// The call does not come from the page it should come from.
    ForeignPage, "foreign-page", FORBIDDEN;
    /// There is no such thing.
    Missing, "missing", NOT_FOUND;
    /// There is no such path.
    NoPath, "no-path", NOT_FOUND;
    /// The path does not answer to this method.
    Method, "method", METHOD_NOT_ALLOWED;
    /// There is one already.
    Exists, "exists", CONFLICT;
    /// It is needed by something else.
    Needed, "needed", CONFLICT;
    /// The same call is being carried out at the moment.
    SameCall, "same-call", CONFLICT;
    /// It was changed in the meantime.
    Stale, "stale", PRECONDITION_FAILED;
    /// What was sent is too large.
    TooLarge, "too-large", PAYLOAD_TOO_LARGE;
    /// What was sent is of another media type.
    MediaType, "media-type", UNSUPPORTED_MEDIA_TYPE;
    /// What was sent makes no sense.
    Input, "input", UNPROCESSABLE_ENTITY;
    /// The gym would not be right any more.
    Gym, "gym", UNPROCESSABLE_ENTITY;
    /// The session is not right.
    Session, "session", UNPROCESSABLE_ENTITY;
    /// No floor plan is possible.
    NoFloorPlan, "no-floor-plan", UNPROCESSABLE_ENTITY;
    /// The key of the call was used for another one.
    KeyUsed, "key-used", UNPROCESSABLE_ENTITY;
    /// The revision that is changed has to be named.
    RevisionNeeded, "revision-needed", PRECONDITION_REQUIRED;
    /// Too many calls in a short time.
    TooMany, "too-many", TOO_MANY_REQUESTS;
    /// A fault in classwright itself.
    Fault, "fault", INTERNAL_SERVER_ERROR;
    /// The data is damaged.
    Damaged, "damaged", INTERNAL_SERVER_ERROR;
    /// A file of the host cannot be read or written.
    File, "file", INTERNAL_SERVER_ERROR;
    /// The data cannot be had at the moment.
    NoData, "no-data", SERVICE_UNAVAILABLE;
    /// Policies cannot run on this host.
    Runtime, "runtime", SERVICE_UNAVAILABLE;
    /// Too much is being planned at the moment.
    Overloaded, "overloaded", SERVICE_UNAVAILABLE;
    /// The call took too long.
    Late, "late", SERVICE_UNAVAILABLE;
}

impl Kind {
    /// Type of the problem.
    pub fn urn(self) -> String {
        format!("urn:classwright:problem:{}", self.id())
    }

    /// A problem of this kind.
    pub fn with(self, detail: impl Into<String>) -> Problem {
        Problem {
            urn: self.urn(),
            title: self.title(),
            status: self.status(),
            detail: detail.into(),
            faults: Vec::new(),
            members: Map::new(),
            retry_after_s: None,
            log: None,
        }
    }
}

/// Something that is not as asked. It is an answer by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    urn: String,
    title: &'static str,
    status: StatusCode,
    detail: String,
    faults: Vec<Fault>,
    members: Map<String, Value>,
    retry_after_s: Option<u32>,
    log: Option<String>,
}

/// One place that is not right.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Fault {
    /// The file, where the place is in one: the part of the gym that would not be right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// Column in characters, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub column: Option<u32>,
    /// Field, such as `bar[2].type`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// What is wrong, and what to do.
    pub problem: String,
}

/// A problem as it is sent.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Problem")]
pub struct ProblemDoc {
    /// `urn:classwright:problem:…`, or `urn:classwright:failure:…` where a policy failed by itself.
    #[serde(rename = "type")]
    kind: String,
    /// The same words for every problem of this type.
    title: String,
    /// The answer's status.
    status: u16,
    /// What, where, and what to do.
    detail: String,
    /// `urn:classwright:request:…`: the call, as it is named in the host's log.
    #[serde(skip_serializing_if = "Option::is_none")]
    instance: Option<String>,
    /// Every place that is not right.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    faults: Vec<Fault>,
    /// More, by the type of the problem.
    #[serde(flatten)]
    #[schemars(skip)]
    more: Map<String, Value>,
}

impl Problem {
    /// A place that is not right.
    #[must_use]
    pub fn fault(mut self, fault: Fault) -> Problem {
        self.faults.push(fault);
        self
    }

    /// A further member.
    #[must_use]
    pub fn member(mut self, name: &str, value: impl Into<Value>) -> Problem {
        self.members.insert(name.to_owned(), value.into());
        self
    }

    /// When to try again.
    #[must_use]
    pub fn retry_after(mut self, seconds: u32) -> Problem {
        self.retry_after_s = Some(seconds);
        self
    }

    /// What the log says, and nobody outside is told.
    #[must_use]
    pub fn log(mut self, words: impl Into<String>) -> Problem {
        self.log = Some(words.into());
        self
    }

    /// Status of the answer.
    pub fn status(&self) -> StatusCode {
        self.status
    }

    /// Type of the problem.
    pub fn urn(&self) -> &str {
        &self.urn
    }

    /// What only the log is told.
    pub(crate) fn logged(&self) -> Option<&str> {
        self.log.as_deref()
    }

    /// The answer, with the id of the call.
    pub(crate) fn response(&self, request: Option<&str>) -> Response {
        let doc = ProblemDoc {
            kind: self.urn.clone(),
            title: self.title.to_owned(),
            status: self.status.as_u16(),
            detail: self.detail.clone(),
            instance: request.map(|id| format!("urn:classwright:request:{id}")),
            faults: self.faults.clone(),
            more: self.members.clone(),
        };
        let body = serde_json::to_vec(&doc).expect("texts and numbers have a JSON form");
        let mut response = Response::new(Body::from(body));
        *response.status_mut() = self.status;
        response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(PROBLEM_JSON));
        if let Some(seconds) = self.retry_after_s {
            response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(seconds));
        }
        if self.status == StatusCode::UNAUTHORIZED {
            let how = HeaderValue::from_static("Bearer realm=\"classwright\"");
            response.headers_mut().insert(WWW_AUTHENTICATE, how);
        }
        response
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut response = self.response(None);
        // The outer layers log it and add the id of the call.
        response.extensions_mut().insert(Arc::new(self));
        response
    }
}

impl OperationOutput for Problem {
    type Inner = ProblemDoc;

    fn operation_response(ctx: &mut GenContext, _: &mut Operation) -> Option<ApiResponse> {
        let json_schema = ctx.schema.subschema_for::<ProblemDoc>();
        let schema = Some(SchemaObject { json_schema, example: None, external_docs: None });
        Some(ApiResponse {
            description: "What is not as asked.".into(),
            content: [(PROBLEM_JSON.to_owned(), MediaType { schema, ..MediaType::default() })].into_iter().collect(),
            ..ApiResponse::default()
        })
    }

    fn inferred_responses(ctx: &mut GenContext, operation: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        Self::operation_response(ctx, operation).map(|response| (None, response)).into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_kind_has_an_id_of_its_own_and_says_what_is_wrong() {
        let ids: BTreeSet<&str> = Kind::ALL.iter().map(|kind| kind.id()).collect();
        assert_eq!(ids.len(), Kind::ALL.len());
        for kind in Kind::ALL {
            assert!(kind.status().as_u16() >= 400, "{}", kind.id());
            assert!(kind.title().ends_with('.'), "{}", kind.id());
        }
    }
}
