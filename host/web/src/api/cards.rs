//! Cards: what each athlete does in a class. An athlete sees their own, with why it differs; nobody else's.

use axum::extract::State;
use classwright_app::document::CardDoc;
use classwright_app::service::Service;
use classwright_app::service::cards::{CardsDoc, ClassCardDoc};

use crate::access::Scope::Read;
use crate::access::{coaches, own};
use crate::answer::Written;
use crate::extract::{Caller, Ids, Json};
use crate::problem::Answer;
use crate::routes::{Route, get};

const ALL: &str = "/v1/gyms/{gym}/classes/{class}/cards";
const ONE: &str = "/v1/gyms/{gym}/classes/{class}/cards/{athlete}";
const OF_PLAN: &str = "/v1/gyms/{gym}/plans/{plan}/cards";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("cards.list", ALL, coaches(Read), all, "All cards of the plan of a class that stands"),
        get("cards.get", ONE, own(Read), one, "An athlete's card of a class, with what was set by hand on it"),
        get("cards.of-plan", OF_PLAN, coaches(Read), of_plan, "All cards of a plan, as it was made"),
    ]
}

async fn all(State(service): State<Service>, Caller(who): Caller, Ids([class]): Ids<1>) -> Answer<Json<CardsDoc>> {
    Ok(Json(service.class_cards(&who, &class).await?))
}

async fn one(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class, athlete]): Ids<2>,
) -> Answer<Written<ClassCardDoc>> {
    Ok(Written::new(service.card(&who, &class, &athlete).await?.to_string()))
}

async fn of_plan(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([plan]): Ids<1>,
) -> Answer<Json<Vec<CardDoc>>> {
    Ok(Json(service.plan_cards(&who, &plan).await?))
}
