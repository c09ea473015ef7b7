//! Classes: when, with which session and coach, who is on the list; and who is there.
//!
//! Checking in is no change of a class: a coach may edit it while people come in. Whoever comes unannounced is checked
//! in like the others. Everything is told to whoever watches the class.

use classwright_store::db::{DbError, Kept, Write, athletes, attendance, classes};
use classwright_store::record::ClassRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::rows::same_id;
use super::{Page, Service, Stored, Who, standing};
use crate::AppError;

/// More people than this come to no class.
const MOST_AT_ONCE: usize = 1_000;

/// Days of which classes are wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Days {
    /// First day, such as `2026-12-07`; from the first class on where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Last day; to the last class where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
}

/// What was seen of somebody.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// They came.
    In,
    /// They do not come, or have left.
    Out,
}

/// Somebody who is named on a class's list or was checked in or out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Attendee {
    /// Their id.
    pub athlete: String,
    /// Whether the class's list names them.
    pub listed: bool,
    /// What was seen of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked: Option<Seen>,
    /// When, in milliseconds since 1970.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked_at: Option<i64>,
}

impl Service {
    /// Classes by day and id.
    pub async fn classes(
        &self,
        who: &Who,
        days: &Days,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<Stored<ClassRecord>>, AppError> {
        let span = classes::Span {
            from: days.from.as_deref().unwrap_or_default(),
            to: days.to.as_deref().unwrap_or_default(),
            after: after.unwrap_or_default(),
        };
        let mut moment = self.db().snapshot().await?;
        let found = classes::list(&mut moment, &who.gym, span, limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |kept| kept.place.clone()).map(stored))
    }

    /// A class.
    pub async fn class(&self, who: &Who, class: &str) -> Result<Stored<ClassRecord>, AppError> {
        let mut moment = self.db().snapshot().await?;
        Ok(stored(classes::get(&mut moment, &who.gym, class).await?))
    }

    /// Adds a class.
    pub async fn add_class(&self, who: &Who, new: ClassRecord) -> Result<Stored<ClassRecord>, AppError> {
        let mut change = self.change(who).await?;
        let gym = standing::gym(&mut change).await?;
        standing::class(&mut change, &gym, &new).await?;
        let revision = classes::insert(&mut change, &new).await?;
        let detail = json!({ "date": new.date, "session": new.session });
        done(change, "class.added", &new.id, detail, json!({ "revision": revision })).await?;
        Ok(Stored { revision, value: new })
    }

    /// Changes a class. Who was checked in or out stays so, and a plan that stands stays until it is planned anew.
    pub async fn put_class(
        &self,
        who: &Who,
        class: &str,
        new: ClassRecord,
        expected: Option<i64>,
    ) -> Result<Stored<ClassRecord>, AppError> {
        same_id(class, &new.id)?;
        let mut change = self.change(who).await?;
        let gym = standing::gym(&mut change).await?;
        standing::class(&mut change, &gym, &new).await?;
        let revision = classes::put(&mut change, &new, expected).await?;
        let told = json!({ "revision": revision });
        done(change, "class.changed", class, told.clone(), told).await?;
        Ok(Stored { revision, value: new })
    }

    /// Removes a class that was never planned.
    pub async fn remove_class(&self, who: &Who, class: &str, expected: Option<i64>) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        classes::remove(&mut change, class, expected).await?;
        done(change, "class.removed", class, json!({}), json!({ "removed": true })).await
    }

    /// Everybody who is named on a class's list or was checked in or out.
    pub async fn attendance(&self, who: &Who, class: &str) -> Result<Vec<Attendee>, AppError> {
        let mut moment = self.db().snapshot().await?;
        classes::get(&mut moment, &who.gym, class).await?;
        let found = attendance::list(&mut moment, &who.gym, class).await?;
        Ok(found.into_iter().map(attendee).collect())
    }

    /// Checks people in or out, or takes back what was seen of them (`None`). Everybody or nobody: one who is not on the
    /// roster is an error.
    pub async fn check(
        &self,
        who: &Who,
        class: &str,
        people: &[String],
        seen: Option<Seen>,
    ) -> Result<Vec<Attendee>, AppError> {
        if !(1..=MOST_AT_ONCE).contains(&people.len()) {
            let problem = format!("names {} people; name 1 to {MOST_AT_ONCE}", people.len());
            return Err(AppError::input("athletes", problem));
        }
        let mut change = self.change(who).await?;
        classes::get(change.conn(), &who.gym, class).await?;
        let (kind, checked) = match seen {
            Some(Seen::In) => ("checked-in", Some(attendance::Checked::In)),
            Some(Seen::Out) => ("checked-out", Some(attendance::Checked::Out)),
            None => ("check-taken-back", None),
        };
        let mut news = Vec::new();
        for (at, athlete) in people.iter().enumerate() {
            if athletes::find(change.conn(), &who.gym, athlete).await?.is_none() {
                return Err(nobody(at, athlete));
            }
            if attendance::check(&mut change, class, athlete, checked).await? {
                change.tell(class, kind, &json!({ "athlete": athlete })).await?;
                news.push(athletes::ledger_name(change.conn(), &who.gym, athlete).await?);
            }
        }
        let found = attendance::list(change.conn(), &who.gym, class).await?;
        if !news.is_empty() {
            let what = format!("class.{kind}");
            change.note(&what, &format!("class:{class}"), json!({ "athletes": news })).await?;
            change.commit().await?;
        }
        Ok(found.into_iter().map(attendee).collect())
    }
}

/// Commits a change of a class and tells of it.
async fn done(
    mut change: Write,
    what: &str,
    class: &str,
    detail: serde_json::Value,
    told: serde_json::Value,
) -> Result<(), AppError> {
    change.note(what, &format!("class:{class}"), detail).await?;
    change.tell(class, "class-changed", &told).await?;
    Ok(change.commit().await?)
}

fn nobody(at: usize, athlete: &str) -> AppError {
    match athlete {
        "" => AppError::input(&format!("athletes[{at}]"), "is empty; write an athlete's id"),
        athlete => DbError::Missing { what: "athlete", id: athlete.to_owned() }.into(),
    }
}

fn attendee(one: attendance::Attendance) -> Attendee {
    let seen = |checked| match checked {
        attendance::Checked::In => Seen::In,
        attendance::Checked::Out => Seen::Out,
    };
    Attendee {
        athlete: one.athlete,
        listed: one.named,
        checked: one.checked.map(|(checked, _)| seen(checked)),
        checked_at: one.checked.map(|(_, at)| at),
    }
}

fn stored(kept: Kept<classes::Class>) -> Stored<ClassRecord> {
    Stored { revision: kept.revision, value: kept.value.record }
}
