//! Who did what when: for owners.

use axum::extract::State;
use classwright_app::service::ledger::{EntryDoc, LedgerState};
use classwright_app::service::{Page, Service};

use crate::access::{Scope, owners};
use crate::extract::{Caller, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, get};

pub(crate) fn routes() -> Vec<Route> {
    let may = owners(Scope::Ledger);
    vec![
        get("ledger.list", "/v1/gyms/{gym}/ledger", may, list, "Who did what when, oldest first, in pages"),
        get("ledger.verify", "/v1/gyms/{gym}/ledger/state", may, verify, "Whether every entry is as it was written"),
    ]
}

async fn list(State(service): State<Service>, Caller(who): Caller, paging: Paging) -> Answer<Json<Page<EntryDoc>>> {
    Ok(Json(service.ledger(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn verify(State(service): State<Service>, Caller(who): Caller) -> Answer<Json<LedgerState>> {
    Ok(Json(service.verify_ledger(&who).await?))
}
