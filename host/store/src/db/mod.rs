//! The gym's data, durable: one SQLite file, or a PostgreSQL server that several hosts share.
//!
//! One set of statements serves both. What differs stands in [`Backend`]: how a change begins, and how other hosts
//! learn of it. [`Db::read`] lends a connection to look with; [`Db::write`] begins a change of one gym, which is in the
//! ledger or did not happen.
//!
//! Every table has a file of its own here, with functions that take the connection or the change.

pub mod components;
mod error;
pub mod events;
pub mod gyms;
pub mod ledger;
mod place;
pub mod shelf;
mod write;

use sqlx::any::{AnyConnectOptions, AnyPoolOptions, install_default_drivers};
use sqlx::migrate::Migrator;
use sqlx::pool::PoolConnection;
use sqlx::{Any, AnyPool, Executor};
use tokio::sync::watch;

pub use error::DbError;
pub use place::{Backend, Place};
pub use write::{Write, now_ms};

/// A connection to look with.
pub type Conn = PoolConnection<Any>;

static SQLITE: Migrator = sqlx::migrate!("migrations/sqlite");
static POSTGRES: Migrator = sqlx::migrate!("migrations/postgres");

/// The data of one gym or many.
#[derive(Clone, Debug)]
pub struct Db {
    pool: AnyPool,
    backend: Backend,
    /// Counts the changes that this host made or heard of.
    changes: watch::Sender<u64>,
}

impl Db {
    /// Opens the data and brings its schema up to date. A file that is not there is made.
    pub async fn open(place: &Place) -> Result<Db, DbError> {
        install_default_drivers();
        let options: AnyConnectOptions = place.url().parse().map_err(|error| DbError::opening(place, error))?;
        let backend = place.backend();
        let pool = AnyPoolOptions::new()
            .max_connections(backend.connections())
            .after_connect(move |connection, _| {
                Box::pin(async move {
                    for statement in backend.at_connect() {
                        connection.execute(*statement).await?;
                    }
                    Ok(())
                })
            })
            .connect_with(options)
            .await
            .map_err(|error| DbError::opening(place, error))?;
        let migrations = match backend {
            Backend::Sqlite => &SQLITE,
            Backend::Postgres => &POSTGRES,
        };
        migrations.run(&pool).await.map_err(|error| DbError::migrating(place, &error))?;
        Ok(Db { pool, backend, changes: watch::Sender::new(0) })
    }

    /// A connection to look with.
    pub async fn read(&self) -> Result<Conn, DbError> {
        Ok(self.pool.acquire().await?)
    }

    /// Begins a change of a gym by somebody (a user's id, or `console`). Changes of one gym follow one another.
    pub async fn write(&self, gym: &str, who: &str) -> Result<Write, DbError> {
        let mut transaction = self.pool.begin_with(self.backend.begin()).await?;
        if let Some(lock) = self.backend.lock_gym() {
            sqlx::query(lock).bind(gym).execute(&mut *transaction).await?;
        }
        Ok(Write::new(transaction, self, gym, who))
    }

    /// Tells when something has changed, here or, as far as it is told, on another host.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.changes.subscribe()
    }

    /// What keeps the data.
    pub fn backend(&self) -> Backend {
        self.backend
    }

    /// Waits for what is running, and lets go of the data.
    pub async fn close(&self) {
        self.pool.close().await;
    }

    pub(crate) fn changed(&self) {
        self.changes.send_modify(|count| *count += 1);
    }
}
