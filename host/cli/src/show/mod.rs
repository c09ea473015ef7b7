//! Results for people to read at a terminal.

mod cards;
mod changes;
mod day;
mod errors;
mod floor;
mod heats;
mod plan;
mod table;

pub(crate) use cards::card;
pub(crate) use changes::replan;
pub(crate) use day::day;
pub(crate) use errors::session_errors;
pub(crate) use heats::solution;
pub(crate) use plan::plan;
pub(crate) use table::{Column, column, differences, fields, moment, moments, table, words};
