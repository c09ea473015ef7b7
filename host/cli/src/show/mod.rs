//! Results for people to read at a terminal.

mod cards;
mod errors;
mod floor;
mod plan;

pub(crate) use errors::session_errors;
pub(crate) use plan::plan;
