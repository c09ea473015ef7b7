//! A folder written whole or not at all: made beside its place, and put there once everything is on the disk.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

use crate::error::FileError;

/// Writes files, by name from the folder, into a folder that is new or empty.
pub fn write_folder(folder: &Path, files: &BTreeMap<String, Vec<u8>>) -> Result<(), FileError> {
    let wrong = |file: &Path, problem: String| FileError { file: file.to_owned(), line: None, field: None, problem };
    let failed = |file: &Path, error: io::Error| wrong(file, format!("cannot be written: {error}"));
    match fs::read_dir(folder) {
        Ok(mut entries) => {
            if entries.next().is_some() {
                return Err(wrong(
                    folder,
                    "is there already, with files in it; name a new folder or an empty one".into(),
                ));
            }
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(failed(folder, error)),
    }
    let inside = |name: &str| Path::new(name).components().all(|part| matches!(part, Component::Normal(_)));
    if let Some(name) = files.keys().find(|name| name.is_empty() || !inside(name)) {
        return Err(wrong(&folder.join(name), "would not be in the folder".into()));
    }
    let beside = beside(folder).ok_or_else(|| wrong(folder, "is no place for a folder; name a new one".into()))?;
    let written = write(&beside, files).and_then(|()| put(&beside, folder).map_err(|error| (folder.to_owned(), error)));
    written.map_err(|(file, error)| {
        // What is left of it is in nobody's way; that it cannot be cleared up is no second fault.
        let _ = fs::remove_dir_all(&beside);
        failed(&file, error)
    })
}

/// A name beside the folder that no other process uses.
fn beside(folder: &Path) -> Option<PathBuf> {
    let name = folder.file_name()?.to_string_lossy();
    Some(folder.with_file_name(format!(".{name}.new-{}", std::process::id())))
}

fn write(folder: &Path, files: &BTreeMap<String, Vec<u8>>) -> Result<(), (PathBuf, io::Error)> {
    let at = |path: &Path, made: io::Result<()>| made.map_err(|error| (path.to_owned(), error));
    at(folder, fs::create_dir_all(folder))?;
    for (name, bytes) in files {
        let path = folder.join(name);
        if let Some(parent) = path.parent() {
            at(parent, fs::create_dir_all(parent))?;
        }
        at(&path, File::create_new(&path).and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all())))?;
    }
    Ok(())
}

fn put(from: &Path, to: &Path) -> io::Result<()> {
    // An empty folder makes way; one that has been filled in the meantime does not.
    match fs::remove_dir(to) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => fs::rename(from, to)?,
    }
    match to.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => File::open(parent)?.sync_all(),
        _ => Ok(()),
    }
}
