//! The gym's data on both databases: every test here runs on a SQLite file and on a PostgreSQL server.

#[path = "../support/postgres.rs"]
pub mod postgres;

mod accounts;
mod answers;
mod backups;
mod changes;
mod classes;
#[cfg(any())]
mod erase;
mod hall;
mod lasting;
mod ledger;
mod people;
mod schema;
mod shelf;
mod written;
