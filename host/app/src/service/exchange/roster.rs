//! A roster as a table: what it would change is shown first, then made so, all of it or nothing.
//!
//! Whoever is not in the table stays on the roster, and a column that the table does not have stays as it is. An empty
//! field takes away what stood there.

use classwright_store::db::{DbError, athletes, gyms, records};
use classwright_store::record::{AthleteRecord, GymRecords};
use classwright_store::{FileError, RosterFile, read_roster};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::AppError;
use crate::service::{Service, Who, athletes as noted, standing};

/// What a table changes on the roster.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RosterChangeDoc {
    /// Counts changes of what classes are planned from: held against where the table is applied.
    pub world: i64,
    /// Whether it was made so; otherwise it would be.
    pub applied: bool,
    /// Who comes onto the roster.
    pub added: Vec<AthleteRecord>,
    /// Whose row becomes another.
    pub changed: Vec<ChangedRowDoc>,
    /// Whose row stays (ids).
    pub unchanged: Vec<String>,
    /// Who is on the roster and not in the table. They stay.
    pub missing: Vec<MissingRowDoc>,
}

/// A row that becomes another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ChangedRowDoc {
    /// Whose.
    pub id: String,
    /// What they are called on the roster.
    pub name: String,
    /// What changes, in the order of the roster's columns.
    pub fields: Vec<FieldChangeDoc>,
}

/// A field that becomes another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct FieldChangeDoc {
    /// The column.
    pub field: String,
    /// What stands there; nothing where nothing does.
    pub from: String,
    /// What is to stand there.
    pub to: String,
}

/// Somebody who is not in the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MissingRowDoc {
    /// Their id.
    pub id: String,
    /// What they are called.
    pub name: String,
}

impl Service {
    /// What a table (the text of a `roster.csv`) would change on the roster. Changes nothing.
    pub async fn roster_change(&self, who: &Who, csv: String) -> Result<RosterChangeDoc, AppError> {
        let mut moment = self.db().snapshot().await?;
        let world = gyms::world(&mut moment, &who.gym).await?;
        let gym = records::gym(&mut moment, &who.gym).await?;
        drop(moment);
        Ok(compared(csv, gym).await?.doc(world, false))
    }

    /// Makes it so. `expected` is the `world` of the change that was shown, where one was.
    pub async fn apply_roster(
        &self,
        who: &Who,
        csv: String,
        expected: Option<i64>,
    ) -> Result<RosterChangeDoc, AppError> {
        let mut change = self.change(who).await?;
        let world = gyms::world(change.conn(), &who.gym).await?;
        if expected.is_some_and(|expected| expected != world) {
            return Err(DbError::Stale { what: "roster", id: who.gym.clone(), now: world }.into());
        }
        let gym = records::gym(change.conn(), &who.gym).await?;
        let compared = compared(csv, gym).await?;
        for new in &compared.added {
            athletes::insert(&mut change, new).await?;
            let about = noted::about(&mut change, &new.id).await?;
            change.note("athlete.added", &about, json!({})).await?;
        }
        for (new, row) in &compared.changed {
            athletes::put(&mut change, new, None).await?;
            let about = noted::about(&mut change, &new.id).await?;
            let fields: Vec<&str> = row.fields.iter().map(|field| field.field.as_str()).collect();
            change.note("athlete.changed", &about, json!({ "fields": fields })).await?;
        }
        standing::gym(&mut change).await?;
        let world = gyms::world(change.conn(), &who.gym).await?;
        change.commit().await?;
        Ok(compared.doc(world, true))
    }
}

/// A table held against the roster.
#[derive(Debug)]
struct Compared {
    added: Vec<AthleteRecord>,
    changed: Vec<(AthleteRecord, ChangedRowDoc)>,
    unchanged: Vec<String>,
    missing: Vec<MissingRowDoc>,
}

impl Compared {
    fn doc(self, world: i64, applied: bool) -> RosterChangeDoc {
        let Compared { added, changed, unchanged, missing } = self;
        let changed = changed.into_iter().map(|(_, row)| row).collect();
        RosterChangeDoc { world, applied, added, changed, unchanged, missing }
    }
}

async fn compared(csv: String, gym: GymRecords) -> Result<Compared, AppError> {
    let reading = tokio::task::spawn_blocking(move || compare(&csv, &gym));
    let read = reading.await.map_err(|error| AppError::Fault(format!("reading a roster broke off: {error}")))?;
    read.map_err(AppError::Gym)
}

fn compare(csv: &str, gym: &GymRecords) -> Result<Compared, Vec<FileError>> {
    let RosterFile { columns, athletes } = read_roster(csv, gym)?;
    let mut found = Compared { added: Vec::new(), changed: Vec::new(), unchanged: Vec::new(), missing: Vec::new() };
    let stands = |id: &str| gym.athletes.iter().map(|athlete| &athlete.record).find(|record| record.id == id);
    for row in &athletes {
        let Some(old) = stands(&row.id) else {
            found.added.push(row.clone());
            continue;
        };
        let new = laid_over(old, row, &columns);
        let fields = changes(old, &new);
        if fields.is_empty() {
            found.unchanged.push(row.id.clone());
        } else {
            found.changed.push((new, ChangedRowDoc { id: old.id.clone(), name: old.name.clone(), fields }));
        }
    }
    let gone = gym.athletes.iter().filter(|old| athletes.iter().all(|row| row.id != old.record.id));
    found.missing =
        gone.map(|old| MissingRowDoc { id: old.record.id.clone(), name: old.record.name.clone() }).collect();
    Ok(found)
}

/// A row of the roster with the columns that the table has.
fn laid_over(old: &AthleteRecord, row: &AthleteRecord, columns: &[&str]) -> AthleteRecord {
    let mut new = old.clone();
    for column in columns {
        match *column {
            "name" => new.name.clone_from(&row.name),
            "column" => new.column = row.column,
            "skill" => new.skill = row.skill,
            "place" => new.place.clone_from(&row.place),
            "bar" => new.bar.clone_from(&row.bar),
            "training-share" => new.training_share.clone_from(&row.training_share),
            "return-week" => new.return_week = row.return_week,
            "age" => new.age = row.age,
            "mass" => new.mass.clone_from(&row.mass),
            "tags" => new.tags.clone_from(&row.tags),
            _ => {}
        }
    }
    new
}

fn changes(old: &AthleteRecord, new: &AthleteRecord) -> Vec<FieldChangeDoc> {
    let differs = fields(old).into_iter().zip(fields(new)).filter(|(old, new)| old != new);
    differs.map(|((field, from), (_, to))| FieldChangeDoc { field: field.into(), from, to }).collect()
}

/// What stands in each column.
fn fields(record: &AthleteRecord) -> [(&'static str, String); 10] {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let number = |number: Option<u32>| number.map(|number| number.to_string()).unwrap_or_default();
    [
        ("name", record.name.clone()),
        ("column", record.column.to_string()),
        ("skill", record.skill.to_string()),
        ("place", record.place.clone()),
        ("bar", text(&record.bar)),
        ("training-share", text(&record.training_share)),
        ("return-week", number(record.return_week)),
        ("age", number(record.age)),
        ("mass", text(&record.mass)),
        ("tags", record.tags.join(";")),
    ]
}
