//! Kit by place: the floor, which every gym has, and the homes in which people train.

use classwright_store::db::kits;
use classwright_store::record::{HomeRecord, KitRecord};
use serde_json::json;

use super::{Page, Service, Stored, Who, standing};
use crate::AppError;

impl Service {
    /// Places with their kit: the floor first, then the homes in the gym's order.
    pub async fn kits(
        &self,
        who: &Who,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<Stored<HomeRecord>>, AppError> {
        let mut conn = self.db().read().await?;
        let found = kits::list(&mut conn, &who.gym, after.unwrap_or_default(), limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |kept| kept.place.clone()).map(Stored::from))
    }

    /// The kit of a place.
    pub async fn kit(&self, who: &Who, place: &str) -> Result<Stored<KitRecord>, AppError> {
        Ok(kits::get(&mut *self.db().read().await?, &who.gym, place).await?.into())
    }

    /// Adds a home.
    pub async fn add_home(&self, who: &Who, new: HomeRecord) -> Result<Stored<HomeRecord>, AppError> {
        let mut change = self.change(who).await?;
        let revision = kits::insert(&mut change, &new.id, &new.kit).await?;
        standing::gym(&mut change).await?;
        change.note("kit.added", &format!("kit:{}", new.id), json!({})).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Changes the kit of a place. Kit of the floor that a class from today on has out of service has to be there.
    pub async fn put_kit(
        &self,
        who: &Who,
        place: &str,
        new: KitRecord,
        expected: Option<i64>,
    ) -> Result<Stored<KitRecord>, AppError> {
        let mut change = self.change(who).await?;
        let revision = kits::put(&mut change, place, &new, expected).await?;
        let gym = standing::gym(&mut change).await?;
        if place == kits::FLOOR {
            standing::coming_classes(&mut change, &gym).await?;
        }
        change.note("kit.changed", &format!("kit:{place}"), json!({ "revision": revision })).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Removes a home in which nobody trains.
    pub async fn remove_home(&self, who: &Who, place: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        kits::remove(&mut change, place, expected).await?;
        standing::gym(&mut change).await?;
        change.note("kit.removed", &format!("kit:{place}"), json!({})).await?;
        change.commit().await?;
        Ok(())
    }
}
