//! The gym's data on both databases: every test here runs on a SQLite file and on a PostgreSQL server.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

#[path = "../support/postgres.rs"]
pub mod postgres;

mod accounts;
mod answers;
mod backups;
mod changes;
mod classes;
mod erase;
mod hall;
mod lasting;
mod ledger;
mod people;
mod plans;
mod schema;
mod shelf;
mod written;
