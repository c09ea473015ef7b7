//! The shelf: policies, which are the owner's alone.

use aide::OperationInput;
use aide::generate::GenContext;
use aide::openapi::{MediaType, Operation, RequestBody, SchemaObject};
use aide::operation::set_body;
use axum::extract::{FromRequest, Request, State};
use axum::http::header::CONTENT_TYPE;
use classwright_app::service::shelf::{
    InstalledDoc, LimitsRecord, ShelvedDoc, ShownDoc, TrialDoc, TrialRequest, UpgradeDoc, UpgradeRequest,
};
use classwright_app::service::{Page, Service, Stored};
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde_json::{Map, Value};

use super::path::in_gym;
use crate::access::{Access, Scope, owners};
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Binary, Caller, Ids, Json};
use crate::problem::{Answer, Kind, Problem};
use crate::routes::{Route, create, delete, get, post, put};
use crate::state::App;

/// No component is longer: what the runtime takes.
const COMPONENT_BYTES: usize = 64 << 20;

const OWNERS: Access = owners(Scope::Shelf);

const POLICIES: &str = "/v1/gyms/{gym}/policies";
const POLICY: &str = "/v1/gyms/{gym}/policies/{policy}";
const ORDER: &str = "/v1/gyms/{gym}/shelf/order";
const ENABLE: &str = "/v1/gyms/{gym}/policies/{policy}/enable";
const DISABLE: &str = "/v1/gyms/{gym}/policies/{policy}/disable";
const SETTINGS: &str = "/v1/gyms/{gym}/policies/{policy}/settings";
const LIMITS: &str = "/v1/gyms/{gym}/policies/{policy}/limits";
const UPGRADE: &str = "/v1/gyms/{gym}/policies/{policy}/upgrade";
const ROLLBACK: &str = "/v1/gyms/{gym}/policies/{policy}/rollback";
const TRY: &str = "/v1/gyms/{gym}/policies/{policy}/try";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("policies.list", POLICIES, OWNERS, list, "The shelf, in the order in which policies are asked"),
        create(
            "policies.install",
            POLICIES,
            OWNERS,
            install,
            "Installs a component; it is not asked before it is enabled",
        )
        .up_to(COMPONENT_BYTES),
        post("policies.order", ORDER, OWNERS, order, "Puts the shelf into an order: every policy, each once"),
        get("policies.show", POLICY, OWNERS, show, "Everything about a policy"),
        delete("policies.remove", POLICY, OWNERS, remove, "Takes a policy off the shelf"),
        post("policies.enable", ENABLE, OWNERS, enable, "Has a policy asked from the next plan on"),
        post("policies.disable", DISABLE, OWNERS, disable, "Has a policy not asked any more"),
        put("policies.settings", SETTINGS, OWNERS, settings, "Sets a policy's settings, all of them"),
        put("policies.limits", LIMITS, OWNERS, limits, "Sets what one call of a policy may use"),
        post(
            "policies.upgrade",
            UPGRADE,
            OWNERS,
            upgrade,
            "Goes over to another component of a policy, or says what differs",
        ),
        post("policies.rollback", ROLLBACK, OWNERS, roll_back, "Puts back what a policy stood with before"),
        post(
            "policies.try",
            TRY,
            OWNERS,
            try_out,
            "Says what a policy would have changed in past classes; writes nothing",
        ),
    ]
}

async fn list(State(service): State<Service>, Caller(who): Caller) -> Answer<Json<Page<Stored<ShelvedDoc>>>> {
    Ok(Json(service.policies(&who).await?))
}

async fn install(
    State(service): State<Service>,
    Caller(who): Caller,
    Component(bytes): Component,
) -> Answer<Created<InstalledDoc>> {
    let installed = service.install_policy(&who, bytes).await?;
    let at = in_gym(&who.gym, &["policies", &installed.policy.name]);
    Ok(Created { at, revision: None, value: installed })
}

/// The names of all policies, in order.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct OrderRequest {
    /// Every policy on the shelf, each once.
    order: Vec<String>,
}

async fn order(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(wanted): Json<OrderRequest>,
) -> Answer<Json<Page<Stored<ShelvedDoc>>>> {
    Ok(Json(service.order_policies(&who, &wanted.order).await?))
}

async fn show(State(service): State<Service>, Caller(who): Caller, Ids([policy]): Ids<1>) -> Answer<Tagged<ShownDoc>> {
    Ok(Tagged(service.policy(&who, &policy).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_policy(&who, &policy, expected).await?;
    Ok(Done)
}

/// How a policy is enabled.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EnableRequest {
    /// Enables even a component that failed the built-in questions.
    #[serde(default)]
    anyway: bool,
}

async fn enable(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    Json(wanted): Json<EnableRequest>,
) -> Answer<Tagged<ShelvedDoc>> {
    Ok(Tagged(service.enable_policy(&who, &policy, wanted.anyway).await?))
}

async fn disable(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
) -> Answer<Tagged<ShelvedDoc>> {
    Ok(Tagged(service.disable_policy(&who, &policy).await?))
}

async fn settings(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(settings): Json<Map<String, Value>>,
) -> Answer<Tagged<ShelvedDoc>> {
    Ok(Tagged(service.set_settings(&who, &policy, expected, &settings).await?))
}

async fn limits(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(limits): Json<LimitsRecord>,
) -> Answer<Tagged<ShelvedDoc>> {
    Ok(Tagged(service.set_limits(&who, &policy, expected, &limits).await?))
}

async fn upgrade(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    Json(wanted): Json<UpgradeRequest>,
) -> Answer<Json<UpgradeDoc>> {
    Ok(Json(service.upgrade_policy(&who, &policy, &wanted).await?))
}

async fn roll_back(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
) -> Answer<Tagged<ShelvedDoc>> {
    Ok(Tagged(service.roll_back_policy(&who, &policy).await?))
}

async fn try_out(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([policy]): Ids<1>,
    Json(wanted): Json<TrialRequest>,
) -> Answer<Json<TrialDoc>> {
    Ok(Json(service.try_policy(&who, &policy, &wanted).await?))
}

/// A component as a body.
struct Component(Vec<u8>);

impl FromRequest<App> for Component {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        if request.headers().get(CONTENT_TYPE).is_none_or(|kind| kind != "application/wasm") {
            return Err(Kind::MediaType.with("send a component's bytes, with `Content-Type: application/wasm`"));
        }
        let Binary(bytes) = Binary::from_request(request, app).await?;
        Ok(Component(bytes.into()))
    }
}

impl OperationInput for Component {
    fn operation_input(ctx: &mut GenContext, operation: &mut Operation) {
        let json_schema = json_schema!({});
        let schema = Some(SchemaObject { json_schema, external_docs: None, example: None });
        let content = [("application/wasm".to_owned(), MediaType { schema, ..MediaType::default() })];
        let content = content.into_iter().collect();
        set_body(ctx, operation, RequestBody { content, required: true, ..RequestBody::default() });
    }
}
