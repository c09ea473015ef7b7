//! What handlers answer with, where it is well.

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{
    Header, HeaderStyle, MediaType, Operation, ParameterSchemaOrContent, ReferenceOr, Response as ApiResponse,
    SchemaObject, StatusCode as ApiStatus,
};
use axum::http::header::{CONTENT_TYPE, ETAG, LOCATION};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use classwright_app::service::Stored;
use schemars::{JsonSchema, Schema, json_schema};
use serde::Serialize;

use crate::etag;
use crate::extract::Json;
use crate::problem::Kind;

/// `200` with something that can be edited: its revision stands in `ETag` too.
#[derive(Clone, Debug)]
pub struct Tagged<T>(pub Stored<T>);

/// `201` with something new: where it is, and what it is.
#[derive(Clone, Debug)]
pub struct Created<T> {
    /// Its path.
    pub at: String,
    /// Its revision, where it can be edited.
    pub revision: Option<i64>,
    /// What is told of it.
    pub value: T,
}

/// `204`.
#[derive(Clone, Copy, Debug)]
pub struct Done;

/// `200` with a text.
#[derive(Clone, Debug)]
pub struct Plain {
    /// `text/plain`, `text/csv`, …
    pub kind: &'static str,
    /// What it says.
    pub text: String,
    /// Its revision, where it can be edited.
    pub revision: Option<i64>,
}

/// `200` with JSON that was written before, byte for byte; `T` says what it looks like.
#[derive(Clone, Debug)]
pub struct Written<T> {
    json: String,
    like: std::marker::PhantomData<T>,
}

impl<T> Created<Stored<T>> {
    /// Something new that can be edited.
    pub fn stored(at: String, stored: Stored<T>) -> Self {
        Created { at, revision: Some(stored.revision), value: stored }
    }
}

impl<T> Written<T> {
    /// As it was written.
    pub fn new(json: String) -> Self {
        Written { json, like: std::marker::PhantomData }
    }
}

impl<T: Serialize> IntoResponse for Json<T> {
    fn into_response(self) -> Response {
        match serde_json::to_vec(&self.0) {
            Ok(body) => ([(CONTENT_TYPE, HeaderValue::from_static("application/json"))], body).into_response(),
            Err(error) => Kind::Fault
                .with("this is a fault in classwright: the host's log says more")
                .log(format!("an answer has no JSON form: {error}"))
                .into_response(),
        }
    }
}

impl<T: Serialize> IntoResponse for Tagged<T> {
    fn into_response(self) -> Response {
        let tag = etag::tag(self.0.revision);
        ([(ETAG, tag)], Json(self.0)).into_response()
    }
}

impl<T: Serialize> IntoResponse for Created<T> {
    fn into_response(self) -> Response {
        let mut response = (StatusCode::CREATED, Json(self.value)).into_response();
        if let Ok(at) = HeaderValue::try_from(self.at) {
            response.headers_mut().insert(LOCATION, at);
        }
        if let Some(revision) = self.revision {
            response.headers_mut().insert(ETAG, etag::tag(revision));
        }
        response
    }
}

impl IntoResponse for Done {
    fn into_response(self) -> Response {
        StatusCode::NO_CONTENT.into_response()
    }
}

impl IntoResponse for Plain {
    fn into_response(self) -> Response {
        let kind = HeaderValue::try_from(format!("{}; charset=utf-8", self.kind))
            .unwrap_or_else(|_| HeaderValue::from_static("text/plain; charset=utf-8"));
        let mut response = ([(CONTENT_TYPE, kind)], self.text).into_response();
        if let Some(revision) = self.revision {
            response.headers_mut().insert(ETAG, etag::tag(revision));
        }
        response
    }
}

impl<T> IntoResponse for Written<T> {
    fn into_response(self) -> Response {
        ([(CONTENT_TYPE, HeaderValue::from_static("application/json"))], self.json).into_response()
    }
}

impl<T: JsonSchema> OperationOutput for Json<T> {
    type Inner = T;

    fn inferred_responses(ctx: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let schema = ctx.schema.subschema_for::<T>();
        said(200, "As asked.", "application/json", schema, &[])
    }
}

impl<T: JsonSchema> OperationOutput for Tagged<T> {
    type Inner = T;

    fn inferred_responses(ctx: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let schema = ctx.schema.subschema_for::<Stored<T>>();
        said(200, "As asked.", "application/json", schema, &["ETag"])
    }
}

impl<T: JsonSchema> OperationOutput for Created<T> {
    type Inner = T;

    fn inferred_responses(ctx: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let schema = ctx.schema.subschema_for::<T>();
        said(201, "It is there now.", "application/json", schema, &["Location", "ETag"])
    }
}

impl<T: JsonSchema> OperationOutput for Written<T> {
    type Inner = T;

    fn inferred_responses(ctx: &mut GenContext, operation: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        Json::<T>::inferred_responses(ctx, operation)
    }
}

impl OperationOutput for Plain {
    type Inner = String;

    fn inferred_responses(_: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        said(200, "As asked.", "text/*", json_schema!({ "type": "string" }), &["ETag"])
    }
}

impl OperationOutput for Done {
    type Inner = ();

    fn inferred_responses(_: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        vec![(Some(ApiStatus::Code(204)), ApiResponse { description: "Done.".into(), ..ApiResponse::default() })]
    }
}

fn said(
    status: u16,
    description: &str,
    kind: &str,
    json_schema: Schema,
    headers: &[&str],
) -> Vec<(Option<ApiStatus>, ApiResponse)> {
    let schema = Some(SchemaObject { json_schema, external_docs: None, example: None });
    let response = ApiResponse {
        description: description.to_owned(),
        content: [(kind.to_owned(), MediaType { schema, ..MediaType::default() })].into_iter().collect(),
        headers: headers.iter().map(|name| ((*name).to_owned(), ReferenceOr::Item(header(name)))).collect(),
        ..ApiResponse::default()
    };
    vec![(Some(ApiStatus::Code(status)), response)]
}

fn header(name: &str) -> Header {
    let words = if name == "ETag" { "The revision it is at, for `If-Match`." } else { "Its path." };
    let json_schema = json_schema!({ "type": "string" });
    Header {
        description: Some(words.into()),
        style: HeaderStyle::Simple,
        required: false,
        deprecated: None,
        format: ParameterSchemaOrContent::Schema(SchemaObject { json_schema, external_docs: None, example: None }),
        example: None,
        examples: Default::default(),
        extensions: Default::default(),
    }
}
