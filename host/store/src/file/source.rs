//! Where a gym's files are read from: a folder on the disk, or texts by name.
//!
//! Both are read the same way and told the same faults. Of texts by name every name must be one that a gym's folder
//! has, since nobody but this host makes them and a name that is not read would be lost without a word.

use std::collections::BTreeMap;
use std::fs;
use std::io::ErrorKind;
use std::path::{Component, Path, PathBuf};

use super::{Text, refuse};
use crate::error::Report;

/// The largest file that is read; a gym's are a few hundred kilobytes at most.
const MOST_BYTES: u64 = 16 << 20;

/// The files of a gym folder as texts, by name from the folder: `gym.toml`, `classes/monday.toml`.
pub type Files = BTreeMap<String, String>;

/// Where files are.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Source<'a> {
    /// In a folder.
    Folder(&'a Path),
    /// At hand. Their paths are their names.
    Files(&'a Files),
}

impl<'a> Source<'a> {
    /// The folder; nothing where the files are at hand.
    pub(crate) fn folder(self) -> &'a Path {
        match self {
            Source::Folder(folder) => folder,
            Source::Files(_) => Path::new(""),
        }
    }

    /// Where a file of the gym is, for reading and for telling.
    pub(crate) fn path(self, name: &str) -> PathBuf {
        self.folder().join(name)
    }

    /// The text of a file that has to be there.
    pub(crate) fn must(self, path: PathBuf, report: &Report) -> Option<Text> {
        let text = self.may(path.clone(), report)?;
        if text.is_none() {
            report.add(&path, None, None, "there is no such file; a gym folder needs it");
        }
        text
    }

    /// The text of a file that may be missing: `Some(None)` then, `None` after a fault.
    pub(crate) fn may(self, path: PathBuf, report: &Report) -> Option<Option<Text>> {
        let too_large = "is larger than 16 MiB; split it or take out what does not belong";
        if let Source::Files(files) = self {
            return match path.to_str().and_then(|name| files.get(name)) {
                None => Some(None),
                Some(text) if text.len() as u64 > MOST_BYTES => refuse(report, &path, None, too_large),
                Some(text) => Some(Some(Text::new(path, text.clone()))),
            };
        }
        let size = match fs::metadata(&path) {
            Ok(about) => about.len(),
            Err(error) if error.kind() == ErrorKind::NotFound => return Some(None),
            Err(error) => return refuse(report, &path, None, &format!("cannot be read: {error}")),
        };
        if size > MOST_BYTES {
            return refuse(report, &path, None, too_large);
        }
        match fs::read(&path) {
            Ok(bytes) => Text::of_bytes(path, bytes, report).map(Some),
            Err(error) => refuse(report, &path, None, &format!("cannot be read: {error}")),
        }
    }

    /// Whether a file is there.
    pub(crate) fn has(self, path: &Path) -> bool {
        match self {
            Source::Folder(_) => path.is_file(),
            Source::Files(files) => path.to_str().is_some_and(|name| files.contains_key(name)),
        }
    }

    /// Files of a folder of the gym with this ending, by name; none where the folder is missing.
    pub(crate) fn with_ending(self, folder: &str, ending: &str, report: &Report) -> Vec<PathBuf> {
        let mut files: Vec<PathBuf> = match self {
            Source::Folder(_) => on_disk(&self.path(folder), ending, report),
            Source::Files(files) => {
                let within = |name: &&String| Path::new(name.as_str()).parent() == Some(Path::new(folder));
                let found = files.keys().filter(within).map(PathBuf::from);
                found.filter(|path| path.extension().is_some_and(|found| found == ending)).collect()
            }
        };
        files.sort();
        files
    }

    /// Refuses texts by names that no gym's folder has.
    pub(crate) fn check_names(self, report: &Report) {
        let Source::Files(files) = self else { return };
        for name in files.keys().filter(|name| !known(name)) {
            let problem = "is no file of a gym folder; choose an id that can name a file: no / \\ : * ? \" < > | in it, \
                           no dot at its start or end, at most 200 letters";
            report.add(Path::new(name), None, None, problem);
        }
    }
}

fn on_disk(folder: &Path, ending: &str, report: &Report) -> Vec<PathBuf> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound => return Vec::new(),
        Err(error) => {
            report.add(folder, None, None, format!("cannot be read: {error}"));
            return Vec::new();
        }
    };
    entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|found| found == ending) && path.is_file())
        .collect()
}

/// Whether a gym's folder has files of this name.
fn known(name: &str) -> bool {
    let whole = [
        "gym.toml",
        "kit.toml",
        "kit-kinds.toml",
        "homes.toml",
        "roster.csv",
        "bests.csv",
        "limitations.csv",
        "shelf.toml",
    ];
    let within = [("classes/", ".toml"), ("movements/", ".toml"), ("sessions/", ".md")];
    let id = |(folder, ending): &(&str, &str)| name.strip_prefix(folder)?.strip_suffix(ending).filter(|id| plain(id));
    whole.contains(&name) || within.iter().any(|at| id(at).is_some())
}

/// Whether an id can name a file on any system.
pub(crate) fn plain(id: &str) -> bool {
    let bad = |c: char| c.is_control() || matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|');
    let alone = matches!(Path::new(id).components().collect::<Vec<_>>()[..], [Component::Normal(_)]);
    alone && id.len() <= 200 && id.trim() == id && !id.starts_with('.') && !id.ends_with('.') && !id.contains(bad)
}
