//! The roster: who trains, with what they can do and where. An athlete sees their own row only.

use classwright_store::db::{athletes, bests, limitations};
use classwright_store::record::{AthleteRecord, BestRecord, LimitationRecord};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::rows::same_id;
use super::{Page, Role, Service, Stored, Who, standing};
use crate::AppError;

/// One of several things that belong to somebody, with the number that it keeps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Numbered<T> {
    /// Its number, from 1.
    pub n: i64,
    /// The thing itself.
    pub value: T,
}

impl Service {
    /// Who trains, in the order of the roster.
    pub async fn athletes(
        &self,
        who: &Who,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<Stored<AthleteRecord>>, AppError> {
        if who.role == Role::Athlete {
            let items = match &who.athlete {
                Some(athlete) => vec![self.athlete(who, athlete).await?],
                None => Vec::new(),
            };
            return Ok(Page { items, next: None });
        }
        let mut conn = self.db().read().await?;
        let found = athletes::list(&mut conn, &who.gym, after.unwrap_or_default(), limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |kept| kept.place.clone()).map(Stored::from))
    }

    /// Somebody who trains.
    pub async fn athlete(&self, who: &Who, athlete: &str) -> Result<Stored<AthleteRecord>, AppError> {
        who.must_see(athlete)?;
        Ok(athletes::get(&mut *self.db().read().await?, &who.gym, athlete).await?.into())
    }

    /// Puts somebody on the roster.
    pub async fn add_athlete(&self, who: &Who, new: AthleteRecord) -> Result<Stored<AthleteRecord>, AppError> {
        let mut change = self.change(who).await?;
        let revision = athletes::insert(&mut change, &new).await?;
        standing::gym(&mut change).await?;
        let about = about(&mut change, &new.id).await?;
        change.note("athlete.added", &about, json!({})).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Changes somebody's row of the roster.
    pub async fn put_athlete(
        &self,
        who: &Who,
        athlete: &str,
        new: AthleteRecord,
        expected: Option<i64>,
    ) -> Result<Stored<AthleteRecord>, AppError> {
        same_id(athlete, &new.id)?;
        let mut change = self.change(who).await?;
        let before = athletes::get(change.conn(), &who.gym, athlete).await?.value;
        let revision = athletes::put(&mut change, &new, expected).await?;
        standing::gym(&mut change).await?;
        let about = about(&mut change, athlete).await?;
        change.note("athlete.changed", &about, json!({ "fields": fields(&before, &new) })).await?;
        change.commit().await?;
        Ok(Stored { revision, value: new })
    }

    /// Takes somebody off the roster of whom nothing else is known; [`Service::erase_athlete`] is for everybody else.
    pub async fn remove_athlete(&self, who: &Who, athlete: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        let about = about(&mut change, athlete).await?;
        athletes::remove(&mut change, athlete, expected).await?;
        standing::gym(&mut change).await?;
        change.note("athlete.removed", &about, json!({})).await?;
        change.commit().await?;
        Ok(())
    }

    /// Somebody's bests with their history, in the order in which they were written down.
    pub async fn bests(&self, who: &Who, athlete: &str) -> Result<Stored<Vec<Numbered<BestRecord>>>, AppError> {
        who.must_see(athlete)?;
        let mut moment = self.db().snapshot().await?;
        let revision = athletes::get(&mut moment, &who.gym, athlete).await?.revision;
        Ok(Stored { revision, value: numbered(bests::list(&mut moment, &who.gym, athlete).await?) })
    }

    /// What somebody reports as sore or restricted, with its history.
    pub async fn limitations(
        &self,
        who: &Who,
        athlete: &str,
    ) -> Result<Stored<Vec<Numbered<LimitationRecord>>>, AppError> {
        who.must_see(athlete)?;
        let mut moment = self.db().snapshot().await?;
        let revision = athletes::get(&mut moment, &who.gym, athlete).await?.revision;
        Ok(Stored { revision, value: numbered(limitations::list(&mut moment, &who.gym, athlete).await?) })
    }
}

/// How the ledger calls an athlete: not by their id, so that it says nothing of whoever is erased.
pub(crate) async fn about(change: &mut classwright_store::db::Write, athlete: &str) -> Result<String, AppError> {
    let gym = change.gym().to_owned();
    Ok(format!("athlete:{}", athletes::ledger_name(change.conn(), &gym, athlete).await?))
}

fn numbered<T>(found: Vec<(i64, T)>) -> Vec<Numbered<T>> {
    found.into_iter().map(|(n, value)| Numbered { n, value }).collect()
}

/// Which fields differ, without what stands in them.
fn fields(before: &AthleteRecord, after: &AthleteRecord) -> Vec<&'static str> {
    let differs = [
        ("name", before.name != after.name),
        ("column", before.column != after.column),
        ("skill", before.skill != after.skill),
        ("place", before.place != after.place),
        ("bar", before.bar != after.bar),
        ("training-share", before.training_share != after.training_share),
        ("return-week", before.return_week != after.return_week),
        ("age", before.age != after.age),
        ("mass", before.mass != after.mass),
        ("tags", before.tags != after.tags),
    ];
    differs.into_iter().filter_map(|(field, differs)| differs.then_some(field)).collect()
}
