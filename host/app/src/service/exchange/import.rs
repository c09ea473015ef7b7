//! A whole gym taken in: everything is read and tried first, then kept in one change.

use std::path::PathBuf;

use classwright_store::db::{
    DbError, Write, athletes, bests, classes, gyms, kits, limitations, movements, sessions, shelf,
};
use classwright_store::record::{GymRecords, KitRecord, ShelfRecord};
use classwright_store::{FileError, read_files, session_file_name};
use classwright_training::notation;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::BundleDoc;
use crate::AppError;
use crate::service::accounts::gym_id;
use crate::service::shelf::{Looked, Placed, Wishes};
use crate::service::{Service, Who, standing};

/// What was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ImportedDoc {
    /// The gym.
    pub gym: String,
    /// Its name.
    pub name: String,
    /// How many athletes.
    pub athletes: u32,
    /// How many sessions.
    pub sessions: u32,
    /// How many classes.
    pub classes: u32,
    /// How many movements of its own.
    pub movements: u32,
    /// The policies in the order in which they are asked.
    pub policies: Vec<ImportedPolicyDoc>,
}

/// A policy that was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ImportedPolicyDoc {
    /// Its name.
    pub policy: String,
    /// The component.
    pub digest: String,
    /// Whether it is asked.
    pub enabled: bool,
    /// Whether it passed what every component is asked at its installation.
    pub passed: bool,
}

/// A gym that was read and can be kept.
struct Ready {
    records: GymRecords,
    /// Titles of the sessions, in the order of their ids.
    titles: Vec<String>,
}

impl Service {
    /// Takes a gym in. There must be no gym of that id, or one that has nothing yet; only whoever has the data's file in
    /// hand makes a new one.
    pub async fn import_gym(&self, who: &Who, bundle: BundleDoc) -> Result<ImportedDoc, AppError> {
        let files = bundle.files.clone();
        let reading = tokio::task::spawn_blocking(move || ready(&files));
        let read = reading.await.map_err(|error| AppError::Fault(format!("reading a gym broke off: {error}")))?;
        let Ready { records, titles } = read.map_err(AppError::Gym)?;
        let mut policies: Vec<(Looked, &ShelfRecord)> = Vec::new();
        for policy in &records.shelf {
            let looked = self.look_into(&who.gym, bundle.component(&policy.file)?).await?;
            if policies.iter().any(|(other, _)| other.name() == looked.name()) {
                let problem = format!("holds {} a second time; keep one of the two", looked.name());
                return Err(AppError::input(&policy.file, problem));
            }
            policies.push((looked, policy));
        }
        let mut change = self.change(who).await?;
        make(&mut change, who, &records).await?;
        people(&mut change, &records).await?;
        for ((id, text), title) in records.sessions.iter().zip(&titles) {
            sessions::insert(&mut change, id, title, text).await?;
        }
        for class in &records.classes {
            classes::insert(&mut change, class).await?;
        }
        let policies = keep(&mut change, policies).await?;
        let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
        let imported = ImportedDoc {
            gym: who.gym.clone(),
            name: records.name.clone(),
            athletes: count(records.athletes.len()),
            sessions: count(records.sessions.len()),
            classes: count(records.classes.len()),
            movements: count(records.movements.len()),
            policies,
        };
        // What is kept has to say what was sent.
        standing::gym(&mut change).await?;
        let detail = json!({
            "athletes": imported.athletes, "sessions": imported.sessions, "classes": imported.classes,
            "movements": imported.movements, "policies": imported.policies.len(),
        });
        change.note("gym.imported", &format!("gym:{}", who.gym), detail).await?;
        change.commit().await?;
        Ok(imported)
    }
}

/// Reads files as a gym's, and its sessions: what cannot be read is not kept.
fn ready(files: &classwright_store::Files) -> Result<Ready, Vec<FileError>> {
    let gym = read_files(files)?;
    let records = GymRecords::of_files(files)?;
    let (mut titles, mut errors) = (Vec::new(), Vec::new());
    for (id, text) in &records.sessions {
        match notation::parse(text, &gym.library) {
            Ok(session) => titles.push(session.title),
            Err(wrong) => errors.extend(wrong.into_iter().map(|error| FileError {
                file: PathBuf::from(session_file_name(id)),
                line: Some(error.line),
                field: None,
                problem: error.to_string(),
            })),
        }
    }
    if errors.is_empty() { Ok(Ready { records, titles }) } else { Err(errors) }
}

/// The gym itself with its kit and movements: a new one, or one that has nothing yet.
async fn make(change: &mut Write, who: &Who, records: &GymRecords) -> Result<(), AppError> {
    let fault = |error: serde_json::Error| AppError::Fault(format!("a record has no JSON form: {error}"));
    let rules = serde_json::to_value(&records.rules).map_err(fault)?;
    let kinds = serde_json::to_value(&records.kit_kinds).map_err(fault)?;
    match gyms::world(change.conn(), &who.gym).await {
        Ok(_) => {
            must_be_empty(change, &who.gym).await?;
            let all = gyms::GymChange { name: Some(&records.name), rules: Some(&rules), kit_kinds: Some(&kinds) };
            gyms::change(change, &all, None).await?;
        }
        Err(DbError::Missing { .. }) if *who == Who::console(&who.gym) => {
            gym_id(&who.gym)?;
            gyms::make(change, &records.name, &rules, &kinds).await?;
        }
        Err(error) => return Err(error.into()),
    }
    match kits::get(change.conn(), &who.gym, kits::FLOOR).await {
        Ok(_) => kits::put(change, kits::FLOOR, &records.floor_kit, None).await?,
        Err(DbError::Missing { .. }) => kits::insert(change, kits::FLOOR, &records.floor_kit).await?,
        Err(error) => return Err(error.into()),
    };
    for home in &records.homes {
        kits::insert(change, &home.id, &home.kit).await?;
    }
    for movement in &records.movements {
        movements::insert(change, movement).await?;
    }
    Ok(())
}

/// An error where a gym has anything that would be mixed with what comes in.
async fn must_be_empty(change: &mut Write, gym: &str) -> Result<(), AppError> {
    let (floor, homes) = kits::all(change.conn(), gym).await?;
    let conn = change.conn();
    let has = [
        ("athletes", !athletes::list(conn, gym, "", 1).await?.is_empty()),
        ("sessions", !sessions::list(conn, gym, "", 1).await?.is_empty()),
        ("movements", !movements::list(conn, gym, "", 1).await?.is_empty()),
        ("policies", !shelf::whole(conn, gym).await?.is_empty()),
        ("kit", floor != KitRecord::default() || !homes.is_empty()),
        // A class needs a session, but a plan of somebody who was erased keeps its class.
        ("classes", !classes::list(conn, gym, classes::Span::default(), 1).await?.is_empty()),
    ];
    match has.into_iter().find(|(_, there)| *there) {
        Some((what, _)) => {
            let problem =
                format!("`{gym}` has {what} already: import into a new gym, or into one that has nothing yet");
            Err(AppError::input("gym", problem))
        }
        None => Ok(()),
    }
}

/// Everyone on the roster.
async fn people(change: &mut Write, records: &GymRecords) -> Result<(), AppError> {
    for athlete in &records.athletes {
        athletes::insert(change, &athlete.record).await?;
        for best in &athlete.bests {
            bests::add(change, &athlete.record.id, best).await?;
        }
        for limitation in &athlete.limitations {
            limitations::add(change, &athlete.record.id, limitation).await?;
        }
    }
    Ok(())
}

/// Puts the policies on the shelf, in their order.
async fn keep(change: &mut Write, policies: Vec<(Looked, &ShelfRecord)>) -> Result<Vec<ImportedPolicyDoc>, AppError> {
    let mut kept = Vec::new();
    for (looked, record) in policies {
        let name = looked.name().to_owned();
        let wishes = Wishes { enabled: record.enabled, settings: record.settings.clone(), limits: record.limits };
        let installed = looked.keep(change, &wishes).await?;
        if installed.placed != Placed::New {
            return Err(AppError::Fault(format!("{name} was on an empty shelf already")));
        }
        kept.push(ImportedPolicyDoc {
            policy: name,
            digest: installed.policy.digest,
            enabled: record.enabled,
            passed: installed.conformance.passed,
        });
    }
    Ok(kept)
}
