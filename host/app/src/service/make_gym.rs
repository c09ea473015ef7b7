//! Making a gym: one that has nothing yet, or what a folder says, whole or not at all.
//!
//! Only whoever has the data in hand may: over the wire, the first gym is made by the link of a host's first start.

use classwright_store::db::{DbError, gyms, kits};
use classwright_store::record::KitRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::accounts::{gym_id, tidy_name};
use super::exchange::{BundleDoc, ImportedDoc};
use super::gyms::GymHead;
use super::{Service, Who, standing};
use crate::AppError;

/// A gym that is to be made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct NewGym {
    /// Its id: small letters, digits and hyphens, a letter first.
    pub id: String,
    /// What it is called; not beside a folder, which says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// A gym's folder in one piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub folder: Option<BundleDoc>,
}

/// A gym that was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct MadeGym {
    /// The gym.
    pub gym: GymHead,
    /// What was taken in with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub imported: Option<ImportedDoc>,
}

impl Service {
    /// Makes a gym.
    pub async fn make_gym(&self, who: &Who, new: NewGym) -> Result<MadeGym, AppError> {
        if *who != Who::console(&who.gym) {
            let words = "only whoever has the data in hand makes a gym: where the data is, with `classwright gym make`";
            return Err(AppError::NotAllowed(words.into()));
        }
        let id = gym_id(&new.id)?;
        let who = Who::console(&id);
        match (new.name, new.folder) {
            (Some(name), None) => {
                let name = tidy_name("name", &name)?;
                let mut change = self.change(&who).await?;
                gyms::make(&mut change, &name, &json!({}), &json!([])).await?;
                kits::insert(&mut change, kits::FLOOR, &KitRecord::default()).await?;
                standing::gym(&mut change).await?;
                change.commit().await?;
                Ok(MadeGym { gym: GymHead { id, name }, imported: None })
            }
            (None, Some(folder)) => {
                if self.has_gym(&id).await? {
                    return Err(DbError::exists("gym", &id).into());
                }
                let imported = self.import_gym(&who, folder).await?;
                Ok(MadeGym { gym: GymHead { id, name: imported.name.clone() }, imported: Some(imported) })
            }
            _ => Err(AppError::input("name", "is needed, or else a folder, and never both: send one of the two")),
        }
    }
}
