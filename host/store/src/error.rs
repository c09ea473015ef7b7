//! What is wrong in a gym's files: one line a fault, with the place to put it right.
//!
//! Reading goes on after a fault, so that all of them are told at once. [`Report`] is where they are gathered.

use std::cell::RefCell;
use std::fmt;
use std::path::{Path, PathBuf};

/// Something wrong in a file of the gym.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileError {
    /// The file, as it was asked for.
    pub file: PathBuf,
    /// Line, from 1, where one can be named.
    pub line: Option<u32>,
    /// Field, for example `bar[2].type` (rows are counted from 1) or a column of a table.
    pub field: Option<String>,
    /// What is wrong and what to do about it.
    pub problem: String,
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file.display())?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        if let Some(field) = &self.field {
            write!(f, ": {field}")?;
        }
        write!(f, ": {}", self.problem)
    }
}

impl std::error::Error for FileError {}

/// Gathers faults while reading goes on.
#[derive(Debug, Default)]
pub(crate) struct Report(RefCell<Vec<FileError>>);

impl Report {
    /// Notes a fault.
    pub(crate) fn add(&self, file: &Path, line: Option<u32>, field: Option<&str>, problem: impl Into<String>) {
        // A fault is one line, whatever words it was given.
        let problem = problem.into().lines().map(str::trim).collect::<Vec<_>>().join(" ");
        let field = field.map(str::to_owned);
        self.0.borrow_mut().push(FileError { file: file.to_owned(), line, field, problem });
    }

    /// The value if nothing was wrong, else all faults in the order of files and lines.
    pub(crate) fn finish<T>(self, value: Option<T>) -> Result<T, Vec<FileError>> {
        let mut errors = self.0.into_inner();
        errors.sort_by(|a, b| (&a.file, a.line, &a.field).cmp(&(&b.file, b.line, &b.field)));
        match value {
            Some(value) if errors.is_empty() => Ok(value),
            _ => Err(errors),
        }
    }
}
