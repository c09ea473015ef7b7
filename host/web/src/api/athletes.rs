//! The roster, with bests and limitations below each athlete. Changes of those hold against the athlete's revision.

use axum::extract::State;
use classwright_app::AppError;
use classwright_app::record::{AthleteRecord, BestRecord, LimitationRecord};
use classwright_app::service::athletes::Numbered;
use classwright_app::service::erase::Erasure;
use classwright_app::service::{Page, Service, Stored};

use super::path::in_gym;
use crate::access::Scope::{Read, Write};
use crate::access::{coaches, own, owners};
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get, post, put};

const ALL: &str = "/v1/gyms/{gym}/athletes";
const ONE: &str = "/v1/gyms/{gym}/athletes/{athlete}";
const ERASE: &str = "/v1/gyms/{gym}/athletes/{athlete}/erase";
const BESTS: &str = "/v1/gyms/{gym}/athletes/{athlete}/bests";
const BEST: &str = "/v1/gyms/{gym}/athletes/{athlete}/bests/{n}";
const LIMITATIONS: &str = "/v1/gyms/{gym}/athletes/{athlete}/limitations";
const LIMITATION: &str = "/v1/gyms/{gym}/athletes/{athlete}/limitations/{n}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("athletes.list", ALL, own(Read), list, "Who trains, in the order of the roster"),
        create("athletes.add", ALL, coaches(Write), add, "Puts somebody on the roster"),
        get("athletes.get", ONE, own(Read), one, "Somebody who trains"),
        put("athletes.change", ONE, coaches(Write), change, "Changes somebody's row of the roster"),
        delete(
            "athletes.remove",
            ONE,
            coaches(Write),
            remove,
            "Takes somebody off the roster of whom nothing else is known",
        ),
        post("athletes.erase", ERASE, owners(Write), erase, "Erases somebody for good; plans keep somebody anonymous"),
        get("bests.list", BESTS, own(Read), bests, "Somebody's bests with their history"),
        create("bests.add", BESTS, coaches(Write), add_best, "Writes a best down"),
        put("bests.change", BEST, coaches(Write), change_best, "Puts right a best that was written down wrongly"),
        delete(
            "bests.remove",
            BEST,
            coaches(Write),
            remove_best,
            "Removes a best that should not have been written down",
        ),
        get(
            "limitations.list",
            LIMITATIONS,
            own(Read),
            limitations,
            "What somebody reports as sore or restricted, with its history",
        ),
        create("limitations.add", LIMITATIONS, own(Write), add_limitation, "Writes down what somebody reports"),
        put(
            "limitations.change",
            LIMITATION,
            own(Write),
            change_limitation,
            "Changes a limitation, such as its last day",
        ),
        delete(
            "limitations.remove",
            LIMITATION,
            own(Write),
            remove_limitation,
            "Removes a limitation that should not have been written down",
        ),
    ]
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    paging: Paging,
) -> Answer<Json<Page<Stored<AthleteRecord>>>> {
    Ok(Json(service.athletes(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<AthleteRecord>,
) -> Answer<Created<Stored<AthleteRecord>>> {
    let stored = service.add_athlete(&who, new).await?;
    Ok(Created::stored(in_gym(&who.gym, &["athletes", &stored.value.id]), stored))
}

async fn one(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
) -> Answer<Tagged<AthleteRecord>> {
    Ok(Tagged(service.athlete(&who, &athlete).await?))
}

async fn change(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(new): Json<AthleteRecord>,
) -> Answer<Tagged<AthleteRecord>> {
    Ok(Tagged(service.put_athlete(&who, &athlete, new, expected).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_athlete(&who, &athlete, expected).await?;
    Ok(Done)
}

async fn erase(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Json<Erasure>> {
    Ok(Json(service.erase_athlete(&who, &athlete, expected).await?))
}

async fn bests(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
) -> Answer<Tagged<Vec<Numbered<BestRecord>>>> {
    Ok(Tagged(service.bests(&who, &athlete).await?))
}

async fn add_best(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
    Json(new): Json<BestRecord>,
) -> Answer<Created<Stored<Numbered<BestRecord>>>> {
    let stored = service.add_best(&who, &athlete, new).await?;
    let n = stored.value.n.to_string();
    Ok(Created::stored(in_gym(&who.gym, &["athletes", &athlete, "bests", &n]), stored))
}

async fn change_best(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete, n]): Ids<2>,
    IfMatch(expected): IfMatch,
    Json(new): Json<BestRecord>,
) -> Answer<Tagged<Numbered<BestRecord>>> {
    Ok(Tagged(service.put_best(&who, &athlete, number("best", &n)?, new, expected).await?))
}

async fn remove_best(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete, n]): Ids<2>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_best(&who, &athlete, number("best", &n)?, expected).await?;
    Ok(Done)
}

async fn limitations(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
) -> Answer<Tagged<Vec<Numbered<LimitationRecord>>>> {
    Ok(Tagged(service.limitations(&who, &athlete).await?))
}

async fn add_limitation(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
    Json(new): Json<LimitationRecord>,
) -> Answer<Created<Stored<Numbered<LimitationRecord>>>> {
    let stored = service.add_limitation(&who, &athlete, new).await?;
    let n = stored.value.n.to_string();
    Ok(Created::stored(in_gym(&who.gym, &["athletes", &athlete, "limitations", &n]), stored))
}

async fn change_limitation(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete, n]): Ids<2>,
    IfMatch(expected): IfMatch,
    Json(new): Json<LimitationRecord>,
) -> Answer<Tagged<Numbered<LimitationRecord>>> {
    who.must_see(&athlete)?;
    Ok(Tagged(service.put_limitation(&who, &athlete, number("limitation", &n)?, new, expected).await?))
}

async fn remove_limitation(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete, n]): Ids<2>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    who.must_see(&athlete)?;
    service.remove_limitation(&who, &athlete, number("limitation", &n)?, expected).await?;
    Ok(Done)
}

fn number(what: &'static str, n: &str) -> Result<i64, AppError> {
    n.parse().map_err(|_| AppError::missing(what, n))
}
