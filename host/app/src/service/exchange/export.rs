//! A whole gym written out, as it is at one moment.

use std::collections::BTreeMap;

use classwright_store::db::{AnyConnection, DbError, classes, components, records, sessions, shelf};
use classwright_store::read_files;
use classwright_store::record::{GymRecords, ShelfRecord};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::BundleDoc;
use crate::AppError;
use crate::service::{Service, Who};

/// A gym's folder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ExportedDoc {
    /// The folder in one piece.
    pub bundle: BundleDoc,
    /// Places to mend before the folder can be planned from, a sentence each: classes of the past may name kit that the
    /// gym has no longer.
    pub faults: Vec<String>,
}

impl Service {
    /// The gym as the files of its folder, with the components on its shelf.
    pub async fn export_gym(&self, who: &Who) -> Result<ExportedDoc, AppError> {
        let mut moment = self.db().snapshot().await?;
        let mut gym = records::gym(&mut moment, &who.gym).await?;
        gym.sessions = sessions::texts(&mut moment, &who.gym).await?;
        let kept = classes::list(&mut moment, &who.gym, classes::Span::default(), i64::MAX).await?;
        gym.classes = kept.into_iter().map(|kept| kept.value.record).collect();
        gym.classes.sort_by(|a, b| a.id.cmp(&b.id));
        let components = put_shelf(&mut moment, &who.gym, &mut gym).await?;
        drop(moment);
        let making = tokio::task::spawn_blocking(move || {
            let files = gym.files();
            let faults = read_files(&files).err().unwrap_or_default();
            let faults = faults.iter().map(ToString::to_string).collect();
            ExportedDoc { bundle: BundleDoc::new(files, components), faults }
        });
        making.await.map_err(|error| AppError::Fault(format!("writing a gym broke off: {error}")))
    }
}

/// The shelf, with its components by the path that they get. A policy that was set aside is written as one that is not
/// asked.
async fn put_shelf(
    conn: &mut AnyConnection,
    gym: &str,
    records: &mut GymRecords,
) -> Result<BTreeMap<String, Vec<u8>>, AppError> {
    let mut bytes = BTreeMap::new();
    for entry in shelf::whole(conn, gym).await? {
        let damaged = |error: serde_json::Error| DbError::Damaged(format!("policy {}: {error}", entry.policy));
        let file = format!("policies/{}.wasm", entry.policy);
        bytes.insert(file.clone(), components::bytes(conn, gym, &entry.digest).await?);
        records.shelf.push(ShelfRecord {
            file,
            enabled: entry.is_asked(),
            settings: serde_json::from_str(&entry.settings).map_err(damaged)?,
            limits: serde_json::from_value(entry.limits.clone()).map_err(damaged)?,
        });
    }
    Ok(bytes)
}
