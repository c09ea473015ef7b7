//! What handlers take: each answers with a problem where a request does not have it, and says in the API's document
//! what it takes.

use aide::OperationInput;
use aide::generate::GenContext;
use aide::openapi::{
    HeaderStyle, MediaType, Operation, Parameter, ParameterData, ParameterSchemaOrContent, RequestBody, SchemaObject,
};
use aide::operation::{ParamLocation, add_parameters, parameters_from_schema, set_body};
use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, RawPathParams, Request};
use axum::http::header::CONTENT_TYPE;
use axum::http::request::Parts;
use classwright_app::service::Who;
use schemars::{JsonSchema, Schema, json_schema};
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::problem::{Fault, Kind, Problem, no_such_id, too_large};
use crate::state::App;

/// Who calls: somebody of the gym in the path, who may call this route.
#[derive(Clone, Debug)]
pub struct Caller(pub Who);

impl<S: Sync> FromRequestParts<S> for Caller {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        let missing = || Kind::Fault.with("this route has no gym").log("a route without a gym asks who calls");
        parts.extensions.get::<Who>().cloned().map(Caller).ok_or_else(missing)
    }
}

impl OperationInput for Caller {}

/// The gym in the path, where nobody has held it against a login.
#[derive(Clone, Debug)]
pub struct Gym(pub String);

impl<S: Send + Sync> FromRequestParts<S> for Gym {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let params = path(parts, state).await?;
        let gym = params.iter().find(|(name, _)| *name == "gym").map(|(_, gym)| gym.to_owned()).unwrap_or_default();
        if gym.chars().any(char::is_control) { Err(no_such_id(&gym)) } else { Ok(Gym(gym)) }
    }
}

impl OperationInput for Gym {}

async fn path<S: Send + Sync>(parts: &mut Parts, state: &S) -> Result<RawPathParams, Problem> {
    let read = RawPathParams::from_request_parts(parts, state).await;
    read.map_err(|error| Kind::Malformed.with(format!("the path cannot be read: {error}")))
}

/// The ids in the path after the gym, in order: `Ids([class, athlete]): Ids<2>`.
#[derive(Clone, Debug)]
pub struct Ids<const N: usize>(pub [String; N]);

impl<S: Send + Sync, const N: usize> FromRequestParts<S> for Ids<N> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let params = path(parts, state).await?;
        let ids: Vec<String> = params.iter().filter(|(name, _)| *name != "gym").map(|(_, id)| id.to_owned()).collect();
        if let Some(id) = ids.iter().find(|id| id.chars().any(char::is_control)) {
            return Err(no_such_id(id));
        }
        let found = ids.len();
        <[String; N]>::try_from(ids).map(Ids).map_err(|_| {
            Kind::Fault
                .with("this route's path is not as it should be")
                .log(format!("{N} ids asked for, {found} there"))
        })
    }
}

impl<const N: usize> OperationInput for Ids<N> {}

/// A JSON body, or one as an answer.
#[derive(Clone, Debug)]
pub struct Json<T>(pub T);

impl<T: DeserializeOwned> FromRequest<App> for Json<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        let is_json =
            media_type(request.headers()).is_some_and(|kind| kind == "application/json" || kind.ends_with("+json"));
        if !is_json {
            return Err(Kind::MediaType.with("send JSON, with `Content-Type: application/json`"));
        }
        let bytes = body_of(request, app).await?;
        if holds_nul(&bytes) {
            return Err(Kind::Input.with("a text holds the character U+0000: leave it out"));
        }
        Ok(Json(axum::Json::from_bytes(&bytes)?.0))
    }
}

async fn body_of(request: Request, app: &App) -> Result<Bytes, Problem> {
    Bytes::from_request(request, app).await.map_err(|rejection| match rejection.status() {
        status if status == Kind::TooLarge.status() => too_large(),
        _ => Kind::Malformed.with("the body broke off"),
    })
}

impl<T: JsonSchema> OperationInput for Json<T> {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        let schema = ctx.schema.subschema_for::<T>();
        body(ctx, operation, "application/json", schema);
    }
}

/// A text body: UTF-8, whatever kind of text it says it is.
#[derive(Clone, Debug)]
pub struct Text(pub String);

impl FromRequest<App> for Text {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        if !media_type(request.headers()).is_some_and(|kind| kind.starts_with("text/")) {
            return Err(Kind::MediaType.with("send text, with `Content-Type: text/plain`"));
        }
        let bytes = body_of(request, app).await?;
        let text = String::from_utf8(bytes.into()).map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            Kind::Malformed.with(format!("the text is not UTF-8: see byte {at}"))
        })?;
        if text.contains('\0') {
            return Err(Kind::Input.with("the text holds the character U+0000: leave it out"));
        }
        Ok(Text(text))
    }
}

impl OperationInput for Text {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        body(ctx, operation, "text/plain", json_schema!({ "type": "string" }));
    }
}

/// What a page's form sends.
#[derive(Clone, Debug)]
pub(crate) struct Form<T>(pub(crate) T);

impl<T: DeserializeOwned> FromRequest<App> for Form<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        match axum::extract::Form::from_request(request, app).await {
            Ok(axum::extract::Form(value)) => Ok(Form(value)),
            Err(rejection) if rejection.status() == Kind::TooLarge.status() => Err(too_large()),
            Err(rejection) if rejection.status() == Kind::MediaType.status() => {
                Err(Kind::MediaType.with("send a form, with `Content-Type: application/x-www-form-urlencoded`"))
            }
            Err(rejection) => Err(Kind::Malformed.with(format!("the form cannot be read: {}", rejection.body_text()))),
        }
    }
}

impl<T: JsonSchema> OperationInput for Form<T> {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        let schema = ctx.schema.subschema_for::<T>();
        body(ctx, operation, "application/x-www-form-urlencoded", schema);
    }
}

/// A file as a body.
#[derive(Clone, Debug)]
pub struct Binary(pub Bytes);

impl FromRequest<App> for Binary {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        Ok(Binary(body_of(request, app).await?))
    }
}

impl OperationInput for Binary {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        body(ctx, operation, "application/octet-stream", json_schema!({}));
    }
}

/// What stands after `?`.
#[derive(Clone, Debug)]
pub struct Query<T>(pub T);

impl<T: DeserializeOwned, S: Sync> FromRequestParts<S> for Query<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        if parts.uri.query().is_some_and(|query| query.contains("%00") || query.contains('\0')) {
            return Err(Kind::Malformed.with("what stands after `?` holds the character U+0000: leave it out"));
        }
        Ok(Query(axum::extract::Query::try_from_uri(&parts.uri)?.0))
    }
}

impl<T: JsonSchema> OperationInput for Query<T> {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        let schema = T::json_schema(&mut ctx.schema);
        let parameters = parameters_from_schema(ctx, schema, ParamLocation::Query);
        add_parameters(ctx, operation, parameters);
    }
}

/// Which part of a list: after which item, and how many.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paging {
    /// What the page before gave as `next`.
    pub after: Option<String>,
    /// How many at most, 1 to 200.
    pub limit: usize,
}

#[derive(Deserialize, JsonSchema)]
struct PagingQuery {
    /// Goes on after this item: what the page before gave as `next`.
    after: Option<String>,
    /// How many items at most.
    #[schemars(range(min = 1, max = 200))]
    limit: Option<u32>,
}

impl<S: Sync> FromRequestParts<S> for Paging {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let Query(query) = Query::<PagingQuery>::from_request_parts(parts, state).await?;
        let limit = query.limit.unwrap_or(50);
        if !(1..=200).contains(&limit) {
            let problem = "1 to 200 items at once".to_owned();
            let fault = Fault { field: Some("limit".into()), problem, ..Fault::default() };
            return Err(Kind::Input.with("limit: 1 to 200 items at once").fault(fault));
        }
        Ok(Paging { after: query.after, limit: limit as usize })
    }
}

impl OperationInput for Paging {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        Query::<PagingQuery>::operation_input(ctx, operation);
    }
}

/// A header that a route takes, in the document.
pub(crate) fn header_parameter(
    ctx: &mut GenContext,
    operation: &mut Operation,
    name: &str,
    required: bool,
    description: &str,
) {
    let json_schema = json_schema!({ "type": "string" });
    let parameter_data = ParameterData {
        name: name.to_owned(),
        description: Some(description.to_owned()),
        required,
        deprecated: None,
        format: ParameterSchemaOrContent::Schema(SchemaObject { json_schema, external_docs: None, example: None }),
        example: None,
        examples: Default::default(),
        explode: None,
        extensions: Default::default(),
    };
    add_parameters(ctx, operation, [Parameter::Header { parameter_data, style: HeaderStyle::Simple }]);
}

fn body(ctx: &mut GenContext, operation: &mut Operation, kind: &str, json_schema: Schema) {
    let schema = Some(SchemaObject { json_schema, external_docs: None, example: None });
    let content = [(kind.to_owned(), MediaType { schema, ..MediaType::default() })].into_iter().collect();
    set_body(ctx, operation, RequestBody { content, required: true, ..RequestBody::default() });
}

/// The media type, without its parameters, in small letters.
fn media_type(headers: &axum::http::HeaderMap) -> Option<String> {
    let text = headers.get(CONTENT_TYPE)?.to_str().ok()?;
    Some(text.split(';').next().unwrap_or_default().trim().to_ascii_lowercase())
}

/// Whether JSON holds `\u0000`: PostgreSQL keeps no such text.
fn holds_nul(json: &[u8]) -> bool {
    let mut rest = json;
    while let Some(at) = rest.iter().position(|byte| *byte == b'\\') {
        match rest.get(at + 1) {
            Some(b'u') if rest[at + 2..].starts_with(b"0000") => return true,
            _ => rest = rest.get(at + 2..).unwrap_or_default(),
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::holds_nul;

    #[test]
    fn an_escaped_nul_is_found_and_an_escaped_backslash_is_none() {
        assert!(holds_nul(br#"{"name":"a\u0000"}"#));
        assert!(!holds_nul(br#"{"name":"a\\u0000"}"#));
        assert!(!holds_nul(br#"{"name":"a\u00001"#.split_at(9).0));
        assert!(!holds_nul(br#"{"name":"\"#));
    }
}
