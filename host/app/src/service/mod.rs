//! What people do with a gym whose data is kept: each use case a method of [`Service`], a file a topic.
//!
//! A [`Service`] is cheap to clone and keeps nothing that another host on the same data would lack: what it holds in
//! memory is read again once the data says that it has changed. Planning and every other call of a policy goes through
//! a bounded pool, so that a slow policy keeps nobody waiting but those who plan.
//!
//! Who may call what at all is the border's business (the route table of the web); what concerns an athlete's own
//! things is asked of [`Who`] here.

pub mod accounts;
pub mod athletes;
pub mod attempt;
pub mod auth;
pub mod cards;
pub mod classes;
mod components;
pub mod erase;
pub mod events;
pub mod exchange;
pub mod gyms;
mod kit;
pub mod ledger;
pub mod make_gym;
mod movements;
pub mod once;
pub mod overrides;
pub mod plans;
mod pool;
mod question;
pub mod replay;
mod reported;
mod rows;
pub mod sessions;
pub mod shelf;
mod standing;
mod watch;
mod who;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use classwright_policies::{Runtime, RuntimeOptions};
use classwright_store::db::Db;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::AppError;
use auth::{Gate, LoginRules};
use cards::Cards;
use components::Components;
use pool::GuestPool;
use question::Worlds;

pub use watch::{DbState, GuestCalls, PoolState};
pub use who::{Role, Who};

/// How a service is set up, for the life of a process.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ServiceOptions {
    /// Where compiled components are kept between runs; `None` compiles once a process.
    pub cache_dir: Option<PathBuf>,
    /// Classes that are planned at once. A gym gets all of these places but one, where there are several.
    pub guest_calls_at_once: u32,
    /// How many of one gym may wait for a place; further ones are told to come back.
    pub waiting_line: u32,
    /// How long one waits for a place before being told to come back.
    pub longest_wait: Duration,
    /// How logging in is held.
    pub logins: LoginRules,
}

impl Default for ServiceOptions {
    /// No cache, 4 at once, 64 waiting for up to 30 s.
    fn default() -> Self {
        ServiceOptions {
            cache_dir: None,
            guest_calls_at_once: 4,
            waiting_line: 64,
            longest_wait: Duration::from_secs(30),
            logins: LoginRules::default(),
        }
    }
}

/// Something that can be edited, with the revision that an editor holds against.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Stored<T> {
    /// Counts its changes, from 1.
    pub revision: i64,
    /// The thing itself.
    pub value: T,
}

/// A part of a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Page<T> {
    /// In order.
    pub items: Vec<T>,
    /// What to ask for as `after` to go on; absent at the end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// Everything that is done with the data of one gym or many.
#[derive(Clone)]
pub struct Service {
    inner: Arc<Inner>,
}

struct Inner {
    db: Db,
    runtime: Runtime,
    pool: GuestPool,
    gate: Gate,
    counts: watch::Counts,
    components: Components,
    worlds: Worlds,
    cards: Cards,
}

impl Service {
    /// A service on opened data.
    pub fn new(db: Db, options: ServiceOptions) -> Result<Service, AppError> {
        let runtime = Runtime::new(RuntimeOptions {
            cache_dir: options.cache_dir.clone(),
            calls_at_once: options.guest_calls_at_once.max(1),
            ..RuntimeOptions::default()
        })?;
        let pool = GuestPool::new(&options);
        let gate = Gate::new(&db, options.logins.clone());
        let cards = Cards::new(db.changes());
        Ok(Service {
            inner: Arc::new(Inner {
                cards,
                db,
                components: Components::new(&runtime),
                runtime,
                pool,
                gate,
                counts: watch::Counts::default(),
                worlds: question::worlds(),
            }),
        })
    }

    /// The data.
    pub fn db(&self) -> &Db {
        &self.inner.db
    }

    fn counts(&self) -> &watch::Counts {
        &self.inner.counts
    }

    fn pool(&self) -> &GuestPool {
        &self.inner.pool
    }

    fn gate(&self) -> &Gate {
        &self.inner.gate
    }

    /// Where policies are loaded.
    pub fn runtime(&self) -> &Runtime {
        &self.inner.runtime
    }

    fn components(&self) -> &Components {
        &self.inner.components
    }

    fn cards(&self) -> &Cards {
        &self.inner.cards
    }

    fn worlds(&self) -> &Worlds {
        &self.inner.worlds
    }

    /// Does work that calls policies, or that is long, for a gym: on a thread of its own, once there is a place.
    ///
    /// # Errors
    ///
    /// [`AppError::Overloaded`] where the line is full or the wait too long, [`AppError::Fault`] where the work panics.
    pub async fn in_pool<T: Send + 'static>(
        &self,
        gym: &str,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, AppError> {
        self.inner.pool.run(gym, work).await
    }
}

impl<T> Page<T> {
    /// A page from what was read: `limit + 1` rows are asked for, and the one too many tells that it goes on.
    pub fn of(mut items: Vec<T>, limit: usize, id: impl Fn(&T) -> String) -> Page<T> {
        let more = items.len() > limit;
        items.truncate(limit);
        let next = items.last().filter(|_| more).map(id);
        Page { items, next }
    }
}
