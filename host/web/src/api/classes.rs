//! Classes, and who is there. Checking in is no change of a class: it needs no revision and gives none.

use axum::extract::State;
use classwright_app::record::ClassRecord;
use classwright_app::service::classes::{Attendee, Days, Seen};
use classwright_app::service::{Page, Service, Stored};
use schemars::JsonSchema;
use serde::Deserialize;

use super::path::in_gym;
use crate::access::Scope::{Plan, Read, Write};
use crate::access::coaches;
use crate::answer::{Created, Done, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging, Query};
use crate::problem::Answer;
use crate::routes::{Route, create, delete, get, post, put};

const ALL: &str = "/v1/gyms/{gym}/classes";
const ONE: &str = "/v1/gyms/{gym}/classes/{class}";
const THERE: &str = "/v1/gyms/{gym}/classes/{class}/attendance";
const SEEN: &str = "/v1/gyms/{gym}/classes/{class}/attendance/{athlete}";
const IN: &str = "/v1/gyms/{gym}/classes/{class}/check-in";
const OUT: &str = "/v1/gyms/{gym}/classes/{class}/check-out";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("classes.list", ALL, coaches(Read), list, "Classes by day and id; of some days with `from` and `to`"),
        create("classes.add", ALL, coaches(Write), add, "Adds a class"),
        get("classes.get", ONE, coaches(Read), one, "A class"),
        put("classes.change", ONE, coaches(Write), change, "Changes a class; a plan stands until it is planned anew"),
        delete("classes.remove", ONE, coaches(Write), remove, "Removes a class that was never planned"),
        get(
            "attendance.list",
            THERE,
            coaches(Read),
            there,
            "Everybody who is on a class's list or was checked in or out",
        ),
        post("attendance.in", IN, coaches(Plan), check_in, "Checks people in, announced or not"),
        post("attendance.out", OUT, coaches(Plan), check_out, "Checks people out: they do not come, or have left"),
        delete("attendance.undo", SEEN, coaches(Plan), undo, "Takes back that somebody was checked in or out"),
    ]
}

/// Who is checked in or out.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct People {
    /// Ids of athletes: all of them are, or nobody.
    athletes: Vec<String>,
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    Query(days): Query<Days>,
    paging: Paging,
) -> Answer<Json<Page<Stored<ClassRecord>>>> {
    Ok(Json(service.classes(&who, &days, paging.after.as_deref(), paging.limit).await?))
}

async fn add(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<ClassRecord>,
) -> Answer<Created<Stored<ClassRecord>>> {
    let stored = service.add_class(&who, new).await?;
    Ok(Created::stored(in_gym(&who.gym, &["classes", &stored.value.id]), stored))
}

async fn one(State(service): State<Service>, Caller(who): Caller, Ids([class]): Ids<1>) -> Answer<Tagged<ClassRecord>> {
    Ok(Tagged(service.class(&who, &class).await?))
}

async fn change(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(new): Json<ClassRecord>,
) -> Answer<Tagged<ClassRecord>> {
    Ok(Tagged(service.put_class(&who, &class, new, expected).await?))
}

async fn remove(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    IfMatch(expected): IfMatch,
) -> Answer<Done> {
    service.remove_class(&who, &class, expected).await?;
    Ok(Done)
}

async fn there(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
) -> Answer<Json<Vec<Attendee>>> {
    Ok(Json(service.attendance(&who, &class).await?))
}

async fn check_in(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    Json(people): Json<People>,
) -> Answer<Json<Vec<Attendee>>> {
    Ok(Json(service.check(&who, &class, &people.athletes, Some(Seen::In)).await?))
}

async fn check_out(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    Json(people): Json<People>,
) -> Answer<Json<Vec<Attendee>>> {
    Ok(Json(service.check(&who, &class, &people.athletes, Some(Seen::Out)).await?))
}

async fn undo(State(service): State<Service>, Caller(who): Caller, Ids([class, athlete]): Ids<2>) -> Answer<Done> {
    service.check(&who, &class, &[athlete], None).await?;
    Ok(Done)
}
