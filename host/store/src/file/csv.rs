//! CSV as in RFC 4180, with a header: columns may stand in any order, each once, and all of them must be known.

use super::Text;
use crate::error::Report;

/// A row and where it stands.
#[derive(Debug)]
pub(crate) struct Row<'t> {
    file: &'t Text,
    report: &'t Report,
    columns: &'t [String],
    record: csv::StringRecord,
    line: u32,
}

/// The rows of a file whose columns are `known`; those in `optional` may be missing. None after a fault of the header.
pub(crate) fn rows<'t, T>(
    file: &'t Text,
    report: &'t Report,
    known: &[&str],
    optional: &[&str],
    mut read: impl FnMut(&Row<'_>) -> Option<T>,
) -> Vec<T> {
    let mut reader = reader(&file.text);
    let columns: Vec<String> = match reader.headers() {
        Ok(headers) => headers.iter().map(str::to_owned).collect(),
        Err(error) => {
            report.add(&file.path, Some(1), None, format!("has a header that cannot be read: {error}"));
            return Vec::new();
        }
    };
    if !header_is_good(file, report, &columns, known, optional) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for record in reader.into_records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map(|position| position.line() as u32);
                report.add(&file.path, line, None, format!("cannot be read: {error}"));
                continue;
            }
        };
        let line = record.position().map_or(1, |position| position.line() as u32);
        if record.len() != columns.len() {
            let problem = format!(
                "has {} fields, the header has {}; put a text with a comma in it in double quotes",
                record.len(),
                columns.len()
            );
            report.add(&file.path, Some(line), None, problem);
            continue;
        }
        found.extend(read(&Row { file, report, columns: &columns, record, line }));
    }
    found
}

/// The columns that a text has; none where its header cannot be read.
pub(crate) fn columns(text: &str) -> Vec<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    reader(text).headers().map(|header| header.iter().map(str::to_owned).collect()).unwrap_or_default()
}

fn reader(text: &str) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes())
}

fn header_is_good(file: &Text, report: &Report, columns: &[String], known: &[&str], optional: &[&str]) -> bool {
    let wrong = |column: &str, problem: String| report.add(&file.path, Some(1), Some(column), problem);
    let mut good = true;
    for (at, column) in columns.iter().enumerate() {
        if !known.contains(&column.as_str()) {
            wrong(column, format!("is no column of this file; the columns are {}", known.join(", ")));
            good = false;
        } else if columns[..at].contains(column) {
            wrong(column, "stands twice in the header; keep one".into());
            good = false;
        }
    }
    for column in known {
        if !optional.contains(column) && !columns.iter().any(|found| found == column) {
            wrong(column, format!("is missing from the header; the columns are {}", known.join(", ")));
            good = false;
        }
    }
    good
}

impl Row<'_> {
    /// What stands in a column; `None` where nothing does.
    pub(crate) fn field(&self, column: &str) -> Option<&str> {
        let at = self.columns.iter().position(|found| found == column)?;
        self.record.get(at).filter(|text| !text.is_empty())
    }

    /// What must stand in a column; a fault where nothing does or it cannot be read.
    pub(crate) fn need<T>(&self, column: &str, read: impl FnOnce(&str) -> Result<T, String>) -> Option<T> {
        if self.field(column).is_none() {
            self.wrong(column, "is empty; write it");
            return None;
        }
        self.maybe(column, read)
    }

    /// What may stand in a column; a fault where it cannot be read.
    pub(crate) fn maybe<T>(&self, column: &str, read: impl FnOnce(&str) -> Result<T, String>) -> Option<T> {
        match read(self.field(column)?) {
            Ok(read) => Some(read),
            Err(problem) => {
                self.wrong(column, problem);
                None
            }
        }
    }

    /// Notes a fault of a column.
    pub(crate) fn wrong(&self, column: &str, problem: impl Into<String>) {
        self.report.add(&self.file.path, Some(self.line), Some(column), problem);
    }
}

/// Any text.
pub(crate) fn text(text: &str) -> Result<String, String> {
    Ok(text.to_owned())
}

/// A whole number within bounds.
pub(crate) fn whole(least: u32, most: u32) -> impl Fn(&str) -> Result<u32, String> {
    move |text| {
        let read = text.parse::<u32>().ok().filter(|read| (least..=most).contains(read));
        read.ok_or_else(|| format!("is `{text}`; write a whole number from {least} to {most}"))
    }
}
