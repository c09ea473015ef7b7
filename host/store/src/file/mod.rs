//! Reading the two kinds of file: TOML for things that have parts, CSV for long lists.
//!
//! A file is read whole, must be UTF-8, and every fault in it is told with its line. Keys and columns that nobody
//! asked for are refused, since they are mostly slips of the pen that would otherwise be lost without a word.

pub(crate) mod csv;
pub(crate) mod quantity;
pub(crate) mod toml;

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::error::Report;

/// The largest file that is read; a gym's are a few hundred kilobytes at most.
const MOST_BYTES: u64 = 16 << 20;

/// A file's text.
#[derive(Debug)]
pub(crate) struct Text {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
}

impl Text {
    /// The text of a file that has to be there.
    pub(crate) fn read(path: PathBuf, report: &Report) -> Option<Text> {
        let text = Text::read_if_there(path.clone(), report)?;
        if text.is_none() {
            report.add(&path, None, None, "there is no such file; a gym folder needs it");
        }
        text
    }

    /// The text of a file that may be missing: `Some(None)` then, `None` after a fault.
    pub(crate) fn read_if_there(path: PathBuf, report: &Report) -> Option<Option<Text>> {
        let size = match fs::metadata(&path) {
            Ok(about) => about.len(),
            Err(error) if error.kind() == ErrorKind::NotFound => return Some(None),
            Err(error) => return refuse(report, &path, None, &format!("cannot be read: {error}")),
        };
        if size > MOST_BYTES {
            return refuse(report, &path, None, "is larger than 16 MiB; split it or take out what does not belong");
        }
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) => return refuse(report, &path, None, &format!("cannot be read: {error}")),
        };
        match String::from_utf8(bytes) {
            Ok(text) => {
                let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
                Some(Some(Text { path, text }))
            }
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let line = line_of(error.as_bytes(), good);
                refuse(report, &path, Some(line), "is not UTF-8 text; save it as UTF-8 and try again")
            }
        }
    }
}

fn refuse<T>(report: &Report, path: &Path, line: Option<u32>, problem: &str) -> Option<T> {
    report.add(path, line, None, problem);
    None
}

/// Files of a folder with this ending, by name; none where the folder is missing.
pub(crate) fn files_with_ending(folder: &Path, ending: &str, report: &Report) -> Vec<PathBuf> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound => return Vec::new(),
        Err(error) => {
            report.add(folder, None, None, format!("cannot be read: {error}"));
            return Vec::new();
        }
    };
    let mut files: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|found| found == ending) && path.is_file())
        .collect();
    files.sort();
    files
}

/// The line, from 1, of a byte of a text.
pub(crate) fn line_of(text: &[u8], at: usize) -> u32 {
    text[..at.min(text.len())].iter().filter(|&&byte| byte == b'\n').count() as u32 + 1
}
