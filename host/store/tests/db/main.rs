//! The gym's data on both databases: every test here runs on a SQLite file and on a PostgreSQL server.

#[path = "../support/postgres.rs"]
mod postgres;

mod hall;
