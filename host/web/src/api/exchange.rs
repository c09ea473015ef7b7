//! A gym in and out: whole, its roster as a table, one athlete's whole record.

use axum::extract::State;
use classwright_app::service::Service;
use classwright_app::service::exchange::{BundleDoc, ExportedDoc, ImportedDoc, PersonDoc, RosterChangeDoc};
use schemars::JsonSchema;
use serde::Deserialize;

use super::path::in_gym;
use crate::access::{Scope, coaches, own, owners};
use crate::answer::Created;
use crate::extract::{Caller, Ids, Json, Query, Text};
use crate::problem::Answer;
use crate::routes::{Route, create, get, post};

/// A gym's folder with its components, as base64.
const BUNDLE_BYTES: usize = 128 << 20;

/// The longest roster: what the store reads of a file.
const ROSTER_BYTES: usize = 16 << 20;

const EXPORT: &str = "/v1/gyms/{gym}/export";
const IMPORT: &str = "/v1/gyms/{gym}/import";
const ROSTER: &str = "/v1/gyms/{gym}/roster";
const RECORD: &str = "/v1/gyms/{gym}/athletes/{athlete}/record";

pub(crate) fn routes() -> Vec<Route> {
    let whole = owners(Scope::Backup);
    vec![
        get("gym.export", EXPORT, whole, export, "The gym as the files of its folder"),
        create("gym.import", IMPORT, whole, import, "Takes a folder into a gym that has nothing yet")
            .new_gym()
            .up_to(BUNDLE_BYTES),
        post(
            "athletes.roster",
            ROSTER,
            coaches(Scope::Write),
            roster,
            "Says what a roster would change, or makes it so",
        )
        .up_to(ROSTER_BYTES),
        get("athletes.record", RECORD, own(Scope::Read), record, "Everything that is kept about an athlete"),
    ]
}

async fn export(State(service): State<Service>, Caller(who): Caller) -> Answer<Json<ExportedDoc>> {
    Ok(Json(service.export_gym(&who).await?))
}

async fn import(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(bundle): Json<BundleDoc>,
) -> Answer<Created<ImportedDoc>> {
    let imported = service.import_gym(&who, bundle).await?;
    Ok(Created { at: in_gym(&who.gym, &["export"]), revision: None, value: imported })
}

#[derive(Deserialize, JsonSchema)]
struct RosterQuery {
    /// Whether it is made so; otherwise it is only shown.
    #[serde(default)]
    apply: bool,
    /// What was shown as `world`: nothing is changed where anything else was changed since.
    world: Option<i64>,
}

async fn roster(
    State(service): State<Service>,
    Caller(who): Caller,
    Query(query): Query<RosterQuery>,
    Text(csv): Text,
) -> Answer<Json<RosterChangeDoc>> {
    Ok(Json(match query.apply {
        true => service.apply_roster(&who, csv, query.world).await?,
        false => service.roster_change(&who, csv).await?,
    }))
}

async fn record(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([athlete]): Ids<1>,
) -> Answer<Json<PersonDoc>> {
    Ok(Json(service.person(&who, &athlete).await?))
}
