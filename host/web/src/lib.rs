//! The gym's service: its HTTP API, who may call it, and what keeps it running.
//!
//! Every route stands once in a table ([`routes`]): method, path, who may call it, handler. [`router`] makes of it what
//! answers to HTTP, [`local`] the same for a command in the same process, whoever has the data in hand.

pub mod access;
pub mod answer;
mod api;
mod around;
mod auth;
mod border;
pub mod etag;
pub mod extract;
pub mod log;
mod measures;
mod once;
mod openapi;
mod page;
pub mod problem;
pub mod routes;
mod server;
mod settings;
mod state;

use axum::{Extension, Router};

pub use server::{Host, ServeError, serve};
pub use settings::{SettingFault, Settings, sample as sample_settings};
pub use state::App;

/// Answers to calls from outside.
pub fn router(app: App) -> Router {
    let (router, document) = routes::build(&app);
    let router = router.layer(Extension(openapi::Document::of(&document)));
    around::put(router, &app).with_state(app)
}

/// Answers to calls from the same process: as `console`, with all that an owner may.
pub fn local(app: App) -> Router {
    router(app).layer(Extension(auth::Console))
}
