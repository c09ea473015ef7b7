//! The host itself.

use axum::extract::State;
use schemars::JsonSchema;
use serde::Serialize;

use crate::access::EVERYBODY;
use crate::extract::Json;
use crate::problem::{Answer, Kind};
use crate::routes::{Route, get};
use crate::state::App;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("host.lives", "/healthz", EVERYBODY, lives, "Whether the process lives"),
        get("host.ready", "/readyz", EVERYBODY, ready, "Whether calls can be answered"),
    ]
}

/// How the host is.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Health {
    /// `ok`.
    status: &'static str,
}

async fn lives() -> Json<Health> {
    Json(Health { status: "ok" })
}

async fn ready(State(app): State<App>) -> Answer<Json<Health>> {
    match app.service().ready().await {
        Ok(()) => Ok(Json(Health { status: "ok" })),
        Err(error) => Err(Kind::NoData.with("the database does not answer").retry_after(1).log(error.to_string())),
    }
}
