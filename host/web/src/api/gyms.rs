//! Making a gym.

use axum::extract::State;
use classwright_app::service::Service;
use classwright_app::service::make_gym::{MadeGym, NewGym};

use super::path::in_gym;
use crate::access::{Scope, owners};
use crate::answer::Created;
use crate::extract::{Caller, Json};
use crate::problem::Answer;
use crate::routes::{Route, create};

/// A gym's folder with its components, as base64.
const FOLDER_BYTES: usize = 128 << 20;

pub(crate) fn routes() -> Vec<Route> {
    let words = "Makes a gym: for whoever has the data in hand alone";
    vec![create("gyms.make", "/v1/gyms", owners(Scope::Write), make, words).up_to(FOLDER_BYTES)]
}

async fn make(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<NewGym>,
) -> Answer<Created<MadeGym>> {
    let made = service.make_gym(&who, new).await?;
    Ok(Created { at: in_gym(&made.gym.id, &[]), revision: None, value: made })
}
