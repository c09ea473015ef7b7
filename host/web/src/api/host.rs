//! The host itself: whether it lives, whether it can answer, what it counts, what it answers to.

use axum::Extension;
use axum::extract::State;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use crate::access::{EVERYBODY, Scope, owners};
use crate::answer::{Plain, Written};
use crate::extract::Json;
use crate::openapi::Document;
use crate::problem::{Answer, Kind};
use crate::routes::{Route, get};
use crate::state::App;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("host.document", "/openapi.json", EVERYBODY, document, "This document"),
        get("host.lives", "/healthz", EVERYBODY, lives, "Whether the process lives"),
        get("host.ready", "/readyz", EVERYBODY, ready, "Whether the host takes calls"),
        get("host.measures", "/metrics", owners(Scope::Metrics), measures, "What the host counts, for Prometheus"),
    ]
}

/// How the host is.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Health {
    /// `ok`; whatever else is a problem.
    status: &'static str,
}

const OK: Health = Health { status: "ok" };

async fn document(Extension(document): Extension<Document>) -> Written<Value> {
    Written::new(document.json())
}

async fn lives() -> Json<Health> {
    Json(OK)
}

/// Ready is a host whose data answers, at the schema that it knows, and that still has room for plans.
async fn ready(State(app): State<App>) -> Answer<Json<Health>> {
    if let Err(error) = app.service().ready().await {
        return Err(Kind::NoData.with("the database does not answer").retry_after(1).log(error.to_string()));
    }
    if app.service().pool_state().full {
        return Err(Kind::Overloaded.with("as many classes wait to be planned as may").retry_after(1));
    }
    Ok(Json(OK))
}

async fn measures(State(app): State<App>) -> Plain {
    Plain { kind: "text/plain; version=0.0.4", text: app.measures().shown(app.service()), revision: None }
}
