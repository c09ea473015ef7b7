//! What a component is built from, as one digest.
//!
//! Covers the policy's manifest and `src`, and the SDK with the contract where the policy uses it by path. A component
//! whose record has another digest is stale. Case files, tests and the SDK's case reader do not count: they do not
//! reach the component. The compiler does not count either; it stands in the record by name.

use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

/// The source cannot be read.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", path.display())]
pub struct SourceError {
    /// Which file or folder.
    pub path: PathBuf,
    /// What is wrong with it.
    pub problem: String,
}

/// The digest of the source of the policy in a folder, hex.
pub fn source_digest(dir: &Path) -> Result<String, SourceError> {
    let sdk = sdk(dir)?;
    let mut files = vec![("policy/Cargo.toml".to_owned(), dir.join("Cargo.toml"))];
    collect(&dir.join("src"), "policy/src", &mut files)?;
    if let Some(sdk) = sdk {
        files.push(("sdk/Cargo.toml".to_owned(), sdk.join("Cargo.toml")));
        collect(&sdk.join("src"), "sdk/src", &mut files)?;
        collect(&sdk.join("../wit/v1"), "wit/v1", &mut files)?;
    }
    files.retain(|(name, _)| !name.starts_with("sdk/src/cases/"));
    files.sort();
    let mut digest = Sha256::new();
    for (name, path) in files {
        let bytes = std::fs::read(&path).map_err(|error| wrong(&path, error))?;
        // With lengths, so that no two lists of files read alike.
        digest.update(format!("{} {name} {}\n", name.len(), bytes.len()));
        digest.update(bytes);
    }
    Ok(hex(&digest.finalize()))
}

/// Lower-case hex.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The manifest of a folder, read.
pub(crate) fn manifest(dir: &Path) -> Result<toml::Table, SourceError> {
    let path = dir.join("Cargo.toml");
    let text = std::fs::read_to_string(&path).map_err(|error| wrong(&path, error))?;
    toml::from_str(&text).map_err(|error| wrong(&path, error))
}

fn collect(folder: &Path, name: &str, files: &mut Vec<(String, PathBuf)>) -> Result<(), SourceError> {
    for entry in std::fs::read_dir(folder).map_err(|error| wrong(folder, error))? {
        let path = entry.map_err(|error| wrong(folder, error))?.path();
        let name = format!("{name}/{}", path.file_name().unwrap_or_default().to_string_lossy());
        if path.is_dir() {
            collect(&path, &name, files)?;
        } else {
            files.push((name, path));
        }
    }
    Ok(())
}

/// The SDK's folder, where the policy depends on it by path, itself or through its workspace.
fn sdk(dir: &Path) -> Result<Option<PathBuf>, SourceError> {
    let own = manifest(dir)?;
    let Some(dependency) = own.get("dependencies").and_then(|all| all.get("classwright-sdk")) else {
        return Ok(None);
    };
    if let Some(path) = dependency.get("path").and_then(toml::Value::as_str) {
        return Ok(Some(dir.join(path)));
    }
    if dependency.get("workspace").and_then(toml::Value::as_bool) != Some(true) {
        return Ok(None);
    }
    let full = std::path::absolute(dir).map_err(|error| wrong(dir, error))?;
    for above in full.ancestors().skip(1).filter(|above| above.join("Cargo.toml").is_file()) {
        let table = manifest(above)?;
        if let Some(workspace) = table.get("workspace") {
            let path = workspace.get("dependencies").and_then(|all| all.get("classwright-sdk")?.get("path")?.as_str());
            return Ok(path.map(|path| above.join(path)));
        }
    }
    Ok(None)
}

fn wrong(path: &Path, error: impl ToString) -> SourceError {
    SourceError { path: path.into(), problem: error.to_string() }
}
