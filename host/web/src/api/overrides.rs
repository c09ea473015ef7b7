//! What coaches set by hand on cards. It is set and taken back, not edited.

use axum::extract::State;
use classwright_app::service::Service;
use classwright_app::service::overrides::{OverrideDoc, OverrideRecord};

use super::path::in_gym;
use crate::access::Scope::{Plan, Read};
use crate::access::coaches;
use crate::answer::{Created, Done};
use crate::extract::{Caller, Ids, Json};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get};

const ALL: &str = "/v1/gyms/{gym}/classes/{class}/overrides";
const ONE: &str = "/v1/gyms/{gym}/classes/{class}/overrides/{override}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("overrides.list", ALL, coaches(Read), list, "All that was set by hand on cards of a class"),
        create("overrides.add", ALL, coaches(Plan), add, "Sets something by hand on a card; it outlives the plan"),
        delete("overrides.remove", ONE, coaches(Plan), remove, "Takes it back: what the plan says holds again"),
    ]
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
) -> Answer<Json<Vec<OverrideDoc>>> {
    Ok(Json(service.overrides(&who, &class).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    Json(record): Json<OverrideRecord>,
) -> Answer<Created<OverrideDoc>> {
    let made = service.add_override(&who, &class, record).await?;
    Ok(Created { at: in_gym(&who.gym, &["classes", &class, "overrides", &made.id]), revision: None, value: made })
}

async fn remove(State(service): State<Service>, Caller(who): Caller, Ids([class, id]): Ids<2>) -> Answer<Done> {
    service.remove_override(&who, &class, &id).await?;
    Ok(Done)
}
