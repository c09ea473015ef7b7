//! A change of one gym: all of it or nothing, noted in the ledger, told to whoever watches.

use std::time::{SystemTime, UNIX_EPOCH};

use serde_json::Value;
use sqlx::{Any, AnyConnection, Transaction};
use tokio::sync::OwnedSemaphorePermit;

use super::{Db, DbError, answers, events, ledger};

/// A change that has begun. Dropped without [`Write::commit`], it has not happened.
pub struct Write {
    transaction: Transaction<'static, Any>,
    db: Db,
    gym: String,
    who: String,
    at: i64,
    /// What the newest note is about.
    about: String,
    /// The place among those who write at once.
    _turn: OwnedSemaphorePermit,
}

impl Write {
    pub(crate) fn new(
        transaction: Transaction<'static, Any>,
        turn: OwnedSemaphorePermit,
        db: &Db,
        gym: &str,
        who: &str,
    ) -> Write {
        let (gym, who, about) = (gym.to_owned(), who.to_owned(), String::new());
        Write { transaction, db: db.clone(), gym, who, at: now_ms(), about, _turn: turn }
    }

    /// The connection in which the change is made; what it reads shows the change.
    pub fn conn(&mut self) -> &mut AnyConnection {
        &mut self.transaction
    }

    /// The gym that is changed.
    pub fn gym(&self) -> &str {
        &self.gym
    }

    /// By whom.
    pub fn who(&self) -> &str {
        &self.who
    }

    /// When, in milliseconds since 1970.
    pub fn at(&self) -> i64 {
        self.at
    }

    /// Writes into the ledger what was done to what. The detail never holds a limitation.
    pub async fn note(&mut self, what: &str, about: &str, detail: Value) -> Result<(), DbError> {
        let (gym, who, at) = (self.gym.clone(), self.who.clone(), self.at);
        self.about = about.to_owned();
        ledger::append(self.conn(), &gym, ledger::New { at, who: &who, what, about, detail: &detail }).await
    }

    /// Tells whoever watches a class.
    pub async fn tell(&mut self, class: &str, kind: &str, body: &Value) -> Result<(), DbError> {
        let (gym, at) = (self.gym.clone(), self.at);
        events::append(self.conn(), &gym, at, class, kind, body).await
    }

    /// What classes are planned from has changed: nobody plans with what was read before.
    pub async fn world_changed(&mut self) -> Result<(), DbError> {
        let gym = self.gym.clone();
        sqlx::query("UPDATE gyms SET world = world + 1 WHERE gym = $1").bind(gym).execute(self.conn()).await?;
        Ok(())
    }

    /// Makes it so. Where a call with a key is served, the key is claimed with it (see [`answers`]).
    pub async fn commit(mut self) -> Result<(), DbError> {
        answers::claim(&mut self.transaction, &self.gym, self.at, &self.about).await?;
        if let Some(notify) = self.db.backend().notify() {
            sqlx::query(notify).bind(&self.gym).execute(&mut *self.transaction).await?;
        }
        self.transaction.commit().await?;
        answers::claimed(&self.gym);
        self.db.changed();
        Ok(())
    }

    /// Makes it so, and tells nobody: what changed is nothing that is watched.
    pub(crate) async fn commit_quietly(self) -> Result<(), DbError> {
        Ok(self.transaction.commit().await?)
    }
}

/// Milliseconds since 1970.
pub fn now_ms() -> i64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_millis() as i64)
}
