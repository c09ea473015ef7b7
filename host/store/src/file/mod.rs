//! Reading the two kinds of file: TOML for things that have parts, CSV for long lists.
//!
//! A file is read whole, must be UTF-8, and every fault in it is told with its line. Keys and columns that nobody
//! asked for are refused, since they are mostly slips of the pen that would otherwise be lost without a word.

pub(crate) mod csv;
pub(crate) mod json;
pub(crate) mod quantity;
mod source;
pub(crate) mod toml;

use std::path::{Path, PathBuf};

use crate::error::Report;

pub use source::Files;
pub(crate) use source::{Source, plain};

/// A file's text.
#[derive(Debug)]
pub(crate) struct Text {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
}

impl Text {
    /// What stands in a file: UTF-8 of no more than a gym's files have.
    fn of_bytes(path: PathBuf, bytes: Vec<u8>, report: &Report) -> Option<Text> {
        match String::from_utf8(bytes) {
            Ok(text) => Some(Text::new(path, text)),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let line = line_of(error.as_bytes(), good);
                refuse(report, &path, Some(line), "is not UTF-8 text; save it as UTF-8 and try again")
            }
        }
    }

    fn new(path: PathBuf, text: String) -> Text {
        let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
        Text { path, text }
    }
}

fn refuse<T>(report: &Report, path: &Path, line: Option<u32>, problem: &str) -> Option<T> {
    report.add(path, line, None, problem);
    None
}

/// The line, from 1, of a byte of a text.
pub(crate) fn line_of(text: &[u8], at: usize) -> u32 {
    text[..at.min(text.len())].iter().filter(|&&byte| byte == b'\n').count() as u32 + 1
}
