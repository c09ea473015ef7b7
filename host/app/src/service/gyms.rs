//! Whether there is data to work with, and whether it has a gym.

use classwright_store::db::{DbError, gyms};

use super::Service;
use crate::AppError;

impl Service {
    /// Whether the data has a gym of this id.
    pub async fn has_gym(&self, gym: &str) -> Result<bool, AppError> {
        let mut conn = self.db().read().await?;
        match gyms::world(&mut conn, gym).await {
            Ok(_) => Ok(true),
            Err(DbError::Missing { .. }) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }

    /// An error unless the data answers.
    pub async fn ready(&self) -> Result<(), AppError> {
        let mut conn = self.db().read().await?;
        gyms::list(&mut conn, "", 1).await?;
        Ok(())
    }
}
