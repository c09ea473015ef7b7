//! The schema: brought up to date in place, forward only, all of it or nothing.

use sqlx::migrate::{MigrateError, Migrator};
use sqlx::{AnyConnection, Connection};

use super::Backend;

static SQLITE: Migrator = sqlx::migrate!("migrations/sqlite");
static POSTGRES: Migrator = sqlx::migrate!("migrations/postgres");

/// The newest schema that this host knows.
pub(crate) fn newest(backend: Backend) -> i64 {
    of(backend).iter().map(|migration| migration.version).max().unwrap_or_default()
}

/// Brings the schema up to date, or to an earlier one for looking at it. Hosts that start at the same time follow one another.
pub(crate) async fn bring_up(
    connection: &mut AnyConnection,
    backend: Backend,
    to: Option<i64>,
) -> Result<(), MigrateError> {
    match backend {
        // SQLite has no lock but that of a change: everything happens within one.
        Backend::Sqlite => {
            let mut change = connection.begin_with(backend.begin()).await?;
            of(backend).run_direct(to, &mut *change, false).await?;
            Ok(change.commit().await?)
        }
        // The migrator takes a lock of the server, and makes each step a change of its own.
        Backend::Postgres => of(backend).run_direct(to, connection, false).await,
    }
}

fn of(backend: Backend) -> &'static Migrator {
    match backend {
        Backend::Sqlite => &SQLITE,
        Backend::Postgres => &POSTGRES,
    }
}
