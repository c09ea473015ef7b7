//! The shelf at a glance.

use classwright_store::db::shelf;

use super::{Shelved, ShelvedDoc};
use crate::AppError;
use crate::service::{Page, Service, Stored, Who};

impl Service {
    /// The whole shelf, in the order in which policies are asked. It is never longer than a page.
    pub async fn policies(&self, who: &Who) -> Result<Page<Stored<ShelvedDoc>>, AppError> {
        let mut conn = self.db().read().await?;
        let mut items = Vec::new();
        for entry in shelf::whole(&mut conn, &who.gym).await? {
            let about = super::about(&mut conn, &who.gym, &entry.digest).await?;
            items.push(Shelved { entry, about }.doc()?);
        }
        Ok(Page { items, next: None })
    }
}
