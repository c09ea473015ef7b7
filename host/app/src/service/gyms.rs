//! The gyms themselves: which there are, what they are called, how their floors are run; and a backup of the data.

use std::path::PathBuf;

use classwright_store::db::{DbError, answers, backup, gyms};
use classwright_store::record::{KitKindRecord, RulesRecord};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::accounts::tidy_name;
use super::auth::secrets;
use super::{Page, Service, Stored, Who, standing};
use crate::AppError;

/// How long what was answered to a call with a key is kept.
const ANSWERS_KEPT_MS: i64 = 7 * 24 * 3600 * 1000;

/// A gym.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct GymDoc {
    /// Its id, which never changes.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// How its floor is run.
    #[serde(default)]
    pub rules: RulesRecord,
    /// Kinds of kit that only this gym has, or built-in ones that it changed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kit_kinds: Vec<KitKindRecord>,
}

/// A gym in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct GymHead {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
}

impl Service {
    /// Gyms in the order of their ids: one's own, or all for whoever has the data in hand.
    pub async fn gyms(&self, who: &Who, after: Option<&str>, limit: usize) -> Result<Page<GymHead>, AppError> {
        let mut conn = self.db().read().await?;
        let after = after.unwrap_or_default();
        let found = match who.gym.as_str() {
            "" => gyms::list(&mut conn, after, limit as i64 + 1).await?,
            own if own > after => vec![gyms::get(&mut conn, own).await?],
            _ => Vec::new(),
        };
        let heads = found.into_iter().map(|gym| GymHead { id: gym.gym, name: gym.name }).collect();
        Ok(Page::of(heads, limit, |gym: &GymHead| gym.id.clone()))
    }

    /// A gym.
    pub async fn gym(&self, who: &Who) -> Result<Stored<GymDoc>, AppError> {
        let mut conn = self.db().read().await?;
        doc(gyms::get(&mut conn, &who.gym).await?)
    }

    /// Sets a gym's name, its rules and its kinds of kit. What stands in it has to go on making sense.
    pub async fn set_gym(&self, who: &Who, new: &GymDoc, expected: Option<i64>) -> Result<Stored<GymDoc>, AppError> {
        super::rows::same_id(&who.gym, &new.id)?;
        let name = tidy_name("name", &new.name)?;
        let fault = |error: serde_json::Error| AppError::Fault(format!("a record has no JSON form: {error}"));
        let rules = serde_json::to_value(&new.rules).map_err(fault)?;
        let kinds = serde_json::to_value(&new.kit_kinds).map_err(fault)?;
        let mut change = self.change(who).await?;
        let all = gyms::GymChange { name: Some(&name), rules: Some(&rules), kit_kinds: Some(&kinds) };
        gyms::change(&mut change, &all, expected).await?;
        let gym = standing::gym(&mut change).await?;
        standing::coming_classes(&mut change, &gym).await?;
        let stored = doc(gyms::get(change.conn(), &who.gym).await?)?;
        change.commit().await?;
        Ok(stored)
    }

    /// Whether the data has a gym of this id.
    pub async fn has_gym(&self, gym: &str) -> Result<bool, AppError> {
        let mut conn = self.db().read().await?;
        match gyms::world(&mut conn, gym).await {
            Ok(_) => Ok(true),
            Err(DbError::Missing { .. }) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }

    /// An error unless the data answers. Its schema was brought up to date when it was opened.
    pub async fn ready(&self) -> Result<(), AppError> {
        let mut conn = self.db().read().await?;
        gyms::list(&mut conn, "", 1).await?;
        Ok(())
    }

    /// Writes a backup into a new file, which whoever asks reads and removes.
    ///
    /// A backup is of everything that is kept in one place, so an owner gets one only where their gym is alone there.
    pub async fn backup_file(&self, who: &Who) -> Result<PathBuf, AppError> {
        let ids = {
            let mut conn = self.db().read().await?;
            gyms::ids(&mut conn).await?
        };
        if *who != Who::console(&who.gym) && ids != [who.gym.as_str()] {
            return Err(AppError::NotAllowed(
                "other gyms are kept in the same place, and a backup is of all of them: whoever runs the host takes it \
                 with `classwright backup`; `export` gives you what is your gym's"
                    .into(),
            ));
        }
        let file = std::env::temp_dir().join(format!("classwright-backup-{}.db", secrets::id('b')?));
        backup::backup(self.db(), &file).await?;
        Ok(file)
    }

    /// Forgets what nobody asks for any more.
    pub async fn tidy(&self) -> Result<(), AppError> {
        let ids = {
            let mut conn = self.db().read().await?;
            gyms::ids(&mut conn).await?
        };
        for gym in ids {
            answers::sweep(self.db(), &gym, ANSWERS_KEPT_MS).await?;
        }
        Ok(())
    }
}

fn doc(gym: gyms::Gym) -> Result<Stored<GymDoc>, AppError> {
    let damaged = |error: serde_json::Error| DbError::Damaged(format!("gym `{}`: {error}", gym.gym));
    let rules = serde_json::from_value(gym.rules.clone()).map_err(damaged)?;
    let kit_kinds = serde_json::from_value(gym.kit_kinds.clone()).map_err(damaged)?;
    Ok(Stored { revision: gym.revision, value: GymDoc { id: gym.gym, name: gym.name, rules, kit_kinds } })
}
