//! Spine.
#![expect(clippy::unwrap_used, reason = "tests")]
#[path = "../support/postgres.rs"]
pub mod postgres;
#[path = "../db/accounts.rs"]
mod accounts;
#[path = "../db/answers.rs"]
mod answers;
#[path = "../db/backups.rs"]
mod backups;
#[path = "../db/changes.rs"]
mod changes;
#[path = "../db/hall.rs"]
mod hall;
#[path = "../db/lasting.rs"]
mod lasting;
#[path = "../db/ledger.rs"]
mod ledger;
#[path = "../db/schema.rs"]
mod schema;
