//! What people do with Classwright, a file a use case. Files are read here and nothing is known of terminals or HTTP.
//!
//! Every use case gives a value to show or an [`AppError`] that says what, where and what to do, with one exit code.
//!
//! Read next: [`plan_class()`], [`document`] for what a plan looks like from outside.

mod cautions;
pub mod document;
mod error;
mod plan_class;
mod sessions;
mod shelf;

pub use cautions::TEXTS as CAUTIONS;
pub use error::AppError;
pub use plan_class::{PlanRequest, Planned, plan_class, plan_schema};
pub use sessions::{ReadSession, read_session, session_text};
pub use shelf::{Shelf, open_shelf};
