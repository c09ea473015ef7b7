//! Kit by place: `floor`, which every gym has, and the homes in which people train.

use axum::extract::State;
use classwright_app::record::{HomeRecord, KitRecord};
use classwright_app::service::{Page, Service, Stored};

use super::path::in_gym;
use crate::access::Scope::{Read, Write};
use crate::access::coaches;
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get, put};

const ALL: &str = "/v1/gyms/{gym}/kit";
const ONE: &str = "/v1/gyms/{gym}/kit/{place}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("kit.list", ALL, coaches(Read), list, "Places with their kit: the floor, then the homes"),
        create("kit.add", ALL, coaches(Write), add, "Adds a home with its kit"),
        get("kit.get", ONE, coaches(Read), one, "The kit of a place"),
        put("kit.change", ONE, coaches(Write), change, "Sets the kit of a place, with what of it is out of service"),
        delete("kit.remove", ONE, coaches(Write), remove, "Removes a home in which nobody trains"),
    ]
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    paging: Paging,
) -> Answer<Json<Page<Stored<HomeRecord>>>> {
    Ok(Json(service.kits(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<HomeRecord>,
) -> Answer<Created<Stored<HomeRecord>>> {
    let stored = service.add_home(&who, new).await?;
    Ok(Created::stored(in_gym(&who.gym, &["kit", &stored.value.id]), stored))
}

async fn one(State(service): State<Service>, Caller(who): Caller, Ids([place]): Ids<1>) -> Answer<Tagged<KitRecord>> {
    Ok(Tagged(service.kit(&who, &place).await?))
}

async fn change(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([place]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(new): Json<KitRecord>,
) -> Answer<Tagged<KitRecord>> {
    Ok(Tagged(service.put_kit(&who, &place, new, expected).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([place]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_home(&who, &place, expected).await?;
    Ok(Done)
}
