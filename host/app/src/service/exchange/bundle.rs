//! A gym's folder in one piece, as it travels: its files as texts, its components as base64.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use classwright_store::record::GymRecords;
use classwright_store::{Files, write_folder};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::AppError;

/// A gym's folder in one piece.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct BundleDoc {
    /// Texts by name from the folder: `gym.toml`, `classes/monday.toml`.
    pub files: BTreeMap<String, String>,
    /// Components as base64, by the path that `shelf.toml` has for them.
    #[serde(default)]
    pub components: BTreeMap<String, String>,
}

impl BundleDoc {
    /// Files and components in one piece.
    pub fn new(files: Files, components: BTreeMap<String, Vec<u8>>) -> BundleDoc {
        let components = components.into_iter().map(|(path, bytes)| (path, BASE64_STANDARD.encode(bytes))).collect();
        BundleDoc { files, components }
    }

    /// The bytes of the component at a path.
    pub fn component(&self, path: &str) -> Result<Vec<u8>, AppError> {
        let field = || format!("components[\"{path}\"]");
        let text = self.components.get(path).ok_or_else(|| {
            AppError::input(
                &field(),
                format!("is missing, and shelf.toml has it; send the bytes of `{path}` as base64"),
            )
        })?;
        BASE64_STANDARD.decode(text).map_err(|error| AppError::input(&field(), format!("is not base64: {error}")))
    }
}

/// Reads a gym folder with the components that its shelf names. All faults of its files come at once.
pub fn read_gym_folder(folder: &Path) -> Result<BundleDoc, AppError> {
    let records = GymRecords::of_folder(folder).map_err(AppError::Gym)?;
    let mut components = BTreeMap::new();
    for policy in &records.shelf {
        let path: PathBuf = folder.join(&policy.file);
        let bytes = std::fs::read(&path).map_err(|error| AppError::File { path, problem: error.to_string() })?;
        components.insert(policy.file.clone(), bytes);
    }
    Ok(BundleDoc::new(records.files(), components))
}

/// Writes a gym folder that is new or empty, whole or not at all.
pub fn write_gym_folder(folder: &Path, bundle: &BundleDoc) -> Result<(), AppError> {
    let mut files: BTreeMap<String, Vec<u8>> =
        bundle.files.iter().map(|(name, text)| (name.clone(), text.clone().into_bytes())).collect();
    for path in bundle.components.keys() {
        files.insert(path.clone(), bundle.component(path)?);
    }
    write_folder(folder, &files).map_err(|error| AppError::File { path: error.file, problem: error.problem })
}
