//! The gym's data, durable: one SQLite file, or a PostgreSQL server that several hosts share.
//!
//! One set of statements serves both. What differs stands in [`Backend`]: how a change begins, and how other hosts
//! learn of it. [`Db::read`] lends a connection to look with; [`Db::write`] begins a change of one gym, which is in the
//! ledger or did not happen.
//!
//! Every table has a file of its own here, with functions that take the connection or the change.

pub mod answers;
pub mod athletes;
pub mod attendance;
pub mod backup;
pub mod bests;
pub mod classes;
pub mod components;
mod digest;
mod documents;
pub mod erase;
mod error;
pub mod events;
pub mod gyms;
mod hear;
mod kept;
pub mod kits;
pub mod ledger;
pub mod limitations;
pub mod links;
pub mod logins;
pub mod movements;
pub mod one_athlete;
pub mod overrides;
mod place;
pub mod plans;
pub mod records;
mod rows;
mod schema;
pub mod sessions;
pub mod shelf;
mod tables;
pub mod tokens;
pub mod users;
pub mod verify;
mod write;

use std::sync::Arc;
use std::time::Duration;

use sqlx::any::{AnyConnectOptions, AnyPoolOptions, install_default_drivers};
use sqlx::pool::PoolConnection;
use sqlx::{Any, AnyPool, ConnectOptions, Connection, Executor, Transaction};
use tokio::sync::{Semaphore, watch};
use tokio::time::timeout;

use hear::Ears;

pub use digest::digest;
pub use error::DbError;
pub use kept::{Kept, some_of};
pub use place::{Backend, Place};
pub use sqlx::AnyConnection;
pub use write::{Write, now_ms};

/// A connection to look with.
pub type Conn = PoolConnection<Any>;

/// A moment of the data: everything read in it fits together. Dropping it ends it.
pub type Snapshot = Transaction<'static, Any>;

/// How long one waits for others before giving up.
const LONGEST_WAIT: Duration = Duration::from_secs(20);

/// The data of one gym or many.
#[derive(Clone, Debug)]
pub struct Db {
    pool: AnyPool,
    backend: Backend,
    /// Counts the changes that this host made or heard of.
    changes: watch::Sender<u64>,
    ears: Arc<Ears>,
    /// Who writes at once: those who wait must not hold the connections that others read with.
    turns: Arc<Semaphore>,
}

impl Db {
    /// Opens the data and brings its schema up to date. A file that is not there is made, for its owner's eyes only.
    pub async fn open(place: &Place) -> Result<Db, DbError> {
        install_default_drivers();
        let backend = place.backend();
        place.make_file().map_err(|error| DbError::opening(place, error))?;
        let options: AnyConnectOptions = place.url().parse().map_err(|error| DbError::opening(place, error))?;
        // Not by the pool, which would try for long and then only say that it did.
        let mut first = options.connect().await.map_err(|error| DbError::opening(place, error))?;
        if let Some(statements) = backend.at_connect() {
            first.execute(statements).await.map_err(|error| DbError::opening(place, error))?;
        }
        schema::bring_up(&mut first, backend, None).await.map_err(|error| DbError::migrating(place, &error))?;
        first.close().await?;
        let pool = AnyPoolOptions::new()
            .max_connections(backend.connections())
            .acquire_timeout(LONGEST_WAIT)
            .test_before_acquire(backend == Backend::Postgres)
            .after_connect(move |connection, _| {
                Box::pin(async move {
                    if let Some(statements) = backend.at_connect() {
                        connection.execute(statements).await?;
                    }
                    Ok(())
                })
            })
            .connect_with(options.clone())
            .await
            .map_err(|error| DbError::opening(place, error))?;
        let changes = watch::Sender::new(0);
        let ears = Arc::new(Ears::open(place, options, changes.clone()).await?);
        Ok(Db { pool, backend, changes, ears, turns: Arc::new(Semaphore::new(backend.writers())) })
    }

    /// A connection to look with. What is read with it one after the other may be of different moments.
    pub async fn read(&self) -> Result<Conn, DbError> {
        Ok(self.pool.acquire().await?)
    }

    /// The data as it is at this moment, whatever is written meanwhile.
    pub async fn snapshot(&self) -> Result<Snapshot, DbError> {
        Ok(self.pool.begin_with(self.backend.begin_to_read()).await?)
    }

    /// Begins a change of a gym by somebody (a user's id, or `console`). Changes of one gym follow one another.
    ///
    /// # Errors
    ///
    /// [`DbError::Busy`] where other changes take too long.
    pub async fn write(&self, gym: &str, who: &str) -> Result<Write, DbError> {
        let turn = timeout(LONGEST_WAIT, self.turns.clone().acquire_owned()).await.map_err(|_| DbError::Busy)?;
        let turn = turn.map_err(|_| DbError::Sql(sqlx::Error::PoolClosed))?;
        let mut transaction = self.pool.begin_with(self.backend.begin()).await?;
        if let Some(lock) = self.backend.lock_gym() {
            sqlx::query(lock).bind(gym).execute(&mut *transaction).await?;
        }
        Ok(Write::new(transaction, turn, self, gym, who))
    }

    /// Tells when something has changed, here at once, elsewhere soon after. It may tell once too often.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.changes.subscribe()
    }

    /// How many connections are open, and how many of these nobody uses.
    pub fn connections(&self) -> (u32, u32) {
        (self.pool.size(), u32::try_from(self.pool.num_idle()).unwrap_or(u32::MAX))
    }

    /// What keeps the data.
    pub fn backend(&self) -> Backend {
        self.backend
    }

    /// Waits for what is running, and lets go of the data.
    pub async fn close(&self) {
        self.ears.close().await;
        self.pool.close().await;
    }

    pub(crate) fn changed(&self) {
        self.changes.send_modify(|count| *count += 1);
    }
}
