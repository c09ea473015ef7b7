//! Movements that a gym adds to the built-in library, or puts in the place of built-in ones.
//!
//! A change after which a session could not be read any more is refused: sessions name movements in words.

use classwright_store::Gym;
use classwright_store::db::{DbError, Write, movements, sessions};
use classwright_store::record::MovementRecord;
use serde_json::json;

use super::rows::same_id;
use super::{Page, Service, Stored, Who, standing};
use crate::AppError;

impl Service {
    /// The gym's own movements, in its order.
    pub async fn movements(
        &self,
        who: &Who,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<Stored<MovementRecord>>, AppError> {
        let mut conn = self.db().read().await?;
        let found = movements::list(&mut conn, &who.gym, after.unwrap_or_default(), limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |kept| kept.place.clone()).map(Stored::from))
    }

    /// A movement of the gym's own.
    pub async fn movement(&self, who: &Who, movement: &str) -> Result<Stored<MovementRecord>, AppError> {
        Ok(movements::get(&mut *self.db().read().await?, &who.gym, movement).await?.into())
    }

    /// Adds a movement.
    pub async fn add_movement(&self, who: &Who, new: MovementRecord) -> Result<Stored<MovementRecord>, AppError> {
        let mut change = self.change(who).await?;
        let before = standing::gym(&mut change).await?;
        let revision = movements::insert(&mut change, &new).await?;
        still_right(&mut change, &before).await?;
        change.note("movement.added", &format!("movement:{}", new.id), json!({})).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Changes a movement.
    pub async fn put_movement(
        &self,
        who: &Who,
        movement: &str,
        new: MovementRecord,
        expected: Option<i64>,
    ) -> Result<Stored<MovementRecord>, AppError> {
        same_id(movement, &new.id)?;
        let mut change = self.change(who).await?;
        let before = standing::gym(&mut change).await?;
        let revision = movements::put(&mut change, &new, expected).await?;
        still_right(&mut change, &before).await?;
        change.note("movement.changed", &format!("movement:{movement}"), json!({ "revision": revision })).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Removes a movement that no best, no session and no other movement names.
    pub async fn remove_movement(&self, who: &Who, movement: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        let before = standing::gym(&mut change).await?;
        movements::remove(&mut change, movement, expected).await?;
        still_right(&mut change, &before).await.map_err(|error| needed(movement, error))?;
        change.note("movement.removed", &format!("movement:{movement}"), json!({})).await?;
        change.commit().await?;
        Ok(())
    }
}

/// An error unless the gym can be read with its movements as they are now, and all its sessions as before.
async fn still_right(change: &mut Write, before: &Gym) -> Result<(), AppError> {
    let after = standing::gym(change).await?;
    let id = change.gym().to_owned();
    let texts = sessions::texts(change.conn(), &id).await?;
    standing::broken_session(&texts, &before.library, &after.library).map_or(Ok(()), Err)
}

/// Says by what a movement is needed where it cannot be missed.
fn needed(movement: &str, error: AppError) -> AppError {
    let why = match error {
        AppError::Gym(faults) => match &faults[..] {
            [only] => only.to_string(),
            [first, more @ ..] => format!("{first} (and {} more such places)", more.len()),
            [] => "the gym could not be read without it".into(),
        },
        AppError::Session { path, errors, .. } => match errors.first() {
            Some(error) => format!("{}, line {}: {error}", path.display(), error.line),
            None => format!("{} could not be read without it", path.display()),
        },
        other => return other,
    };
    AppError::Db(DbError::Needed { what: "movement", id: movement.to_owned(), why })
}
