//! Movements that a gym adds to the built-in library, or puts in the place of built-in ones.

use axum::extract::State;
use classwright_app::record::MovementRecord;
use classwright_app::service::{Page, Service, Stored};

use super::path::in_gym;
use crate::access::Scope::{Read, Write};
use crate::access::{coaches, members};
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get, put};

const ALL: &str = "/v1/gyms/{gym}/movements";
const ONE: &str = "/v1/gyms/{gym}/movements/{movement}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("movements.list", ALL, members(Read), list, "The gym's own movements, in its order"),
        create(
            "movements.add",
            ALL,
            coaches(Write),
            add,
            "Adds a movement, or puts one in the place of a built-in one",
        ),
        get("movements.get", ONE, members(Read), one, "A movement of the gym's own"),
        put("movements.change", ONE, coaches(Write), change, "Changes a movement of the gym's own"),
        delete("movements.remove", ONE, coaches(Write), remove, "Removes a movement that nothing names"),
    ]
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    paging: Paging,
) -> Answer<Json<Page<Stored<MovementRecord>>>> {
    Ok(Json(service.movements(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<MovementRecord>,
) -> Answer<Created<Stored<MovementRecord>>> {
    let stored = service.add_movement(&who, new).await?;
    Ok(Created::stored(in_gym(&who.gym, &["movements", &stored.value.id]), stored))
}

async fn one(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([movement]): Ids<1>,
) -> Answer<Tagged<MovementRecord>> {
    Ok(Tagged(service.movement(&who, &movement).await?))
}

async fn change(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([movement]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(new): Json<MovementRecord>,
) -> Answer<Tagged<MovementRecord>> {
    Ok(Tagged(service.put_movement(&who, &movement, new, expected).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([movement]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_movement(&who, &movement, expected).await?;
    Ok(Done)
}
