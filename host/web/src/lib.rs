//! The gym's service: its HTTP API, who may call it, and what keeps it running.
//!
//! Every route stands once in a table ([`routes`]): method, path, who may call it, handler. [`router`] makes of it what
//! answers to HTTP, [`local`] the same for a command in the same process, whoever has the data in hand.

pub mod access;
pub mod answer;
mod api;
mod auth;
mod border;
pub mod etag;
pub mod extract;
mod openapi;
pub mod problem;
pub mod routes;
mod settings;
mod state;

use axum::{Extension, Router};

pub use settings::Settings;
pub use state::App;

/// Answers to calls from outside.
pub fn router(app: App) -> Router {
    let (router, _document) = routes::build(&app);
    router.layer(axum::middleware::from_fn(etag::not_modified)).with_state(app)
}

/// Answers to calls from the same process: as `console`, with all that an owner may.
pub fn local(app: App) -> Router {
    router(app).layer(Extension(auth::Console))
}
