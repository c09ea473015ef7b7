//! What people do with Classwright, a file a use case. Files are read here and nothing is known of terminals or HTTP.
//!
//! Every use case gives a value to show or an [`AppError`] that says what, where and what to do, with one exit code.
//!
//! Read next: [`plan_class()`], [`document`] for what a plan looks like from outside.

mod again;
mod beside;
mod cautions;
mod day;
pub mod document;
mod error;
pub mod floor_file;
mod heats_solve;
mod hour;
mod house;
mod inputs;
mod open_gym;
pub mod picture;
mod plan_class;
mod plan_file;
mod policy_doc;
mod replan;
pub mod service;
mod sessions;
mod shelf;

pub use again::Again;
pub use cautions::TEXTS as CAUTIONS;
pub use classwright_store::db::{Db, DbError, Place};
pub use classwright_store::record;
pub use day::{DayRequest, PlannedDay, day_schema, plan_day};
pub use error::AppError;
pub use heats_solve::{SolveRequest, Solved, heats_solve, solution_schema};
pub use plan_class::{PlanRequest, Planned, plan_class, plan_schema};
pub use policy_doc::{PolicyDoc, look_into};
pub use replan::{At, KitCount, Late, ReplanRequest, Replanned, replan};
pub use sessions::{ReadSession, read_session, session_text};
pub use shelf::{Shelf, open_shelf};
