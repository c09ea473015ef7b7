//! Plans: made, made again, replayed, looked at. A plan never changes, so that its document is answered byte for byte.

use axum::extract::State;
use classwright_app::Again;
use classwright_app::document::PlanDoc;
use classwright_app::service::plans::{MadeDoc, PlanHead};
use classwright_app::service::replay::ReplayDoc;
use classwright_app::service::{Page, Service};

use super::path::in_gym;
use crate::access::Scope::{Plan, Read};
use crate::access::coaches;
use crate::answer::{Created, Written};
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, get, post};

const OF_CLASS: &str = "/v1/gyms/{gym}/classes/{class}/plans";
const STANDING: &str = "/v1/gyms/{gym}/classes/{class}/plan";
const REPLANS: &str = "/v1/gyms/{gym}/classes/{class}/replans";
const ONE: &str = "/v1/gyms/{gym}/plans/{plan}";
const HEAD: &str = "/v1/gyms/{gym}/plans/{plan}/head";
const REPLAYS: &str = "/v1/gyms/{gym}/plans/{plan}/replays";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        create("plans.make", OF_CLASS, coaches(Plan), make, "Plans a class; the plan stands from then on"),
        create(
            "plans.make-again",
            REPLANS,
            coaches(Plan),
            make_again,
            "Plans a class again around what has happened: kit that fails, people late or gone",
        ),
        get("plans.list", OF_CLASS, coaches(Read), list, "Plans of a class, the newest first"),
        get("plans.standing", STANDING, coaches(Read), standing, "The document of the plan of a class that stands"),
        get("plans.get", ONE, coaches(Read), one, "A plan's document, byte for byte as it was made"),
        get("plans.head", HEAD, coaches(Read), head, "A plan in short: class, digest, who had it made and when"),
        post("plans.replay", REPLAYS, coaches(Plan), replay, "Computes a plan anew and says whether it is the same"),
    ]
}

async fn make(State(service): State<Service>, Caller(who): Caller, Ids([class]): Ids<1>) -> Answer<Created<MadeDoc>> {
    Ok(created(&who.gym, service.plan(&who, &class).await?))
}

async fn make_again(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    Json(happened): Json<Again>,
) -> Answer<Created<MadeDoc>> {
    Ok(created(&who.gym, service.replan(&who, &class, &happened).await?))
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    paging: Paging,
) -> Answer<Json<Page<PlanHead>>> {
    Ok(Json(service.plans(&who, &class, paging.after.as_deref(), paging.limit).await?))
}

async fn standing(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
) -> Answer<Written<PlanDoc>> {
    Ok(Written::new(service.standing_plan_text(&who, &class).await?))
}

async fn one(State(service): State<Service>, Caller(who): Caller, Ids([plan]): Ids<1>) -> Answer<Written<PlanDoc>> {
    Ok(Written::new(service.plan_text(&who, &plan).await?))
}

async fn head(State(service): State<Service>, Caller(who): Caller, Ids([plan]): Ids<1>) -> Answer<Json<PlanHead>> {
    Ok(Json(service.plan_head(&who, &plan).await?))
}

async fn replay(State(service): State<Service>, Caller(who): Caller, Ids([plan]): Ids<1>) -> Answer<Json<ReplayDoc>> {
    Ok(Json(service.replay(&who, &plan).await?))
}

fn created(gym: &str, made: MadeDoc) -> Created<MadeDoc> {
    Created { at: in_gym(gym, &["plans", &made.plan.plan]), revision: None, value: made }
}
