//! TOML tables, read key by key.
//!
//! [`Table::need`] and [`Table::maybe`] take a key out; [`Table::finish`] refuses the keys that are left. Offsets are
//! kept while reading and turned into lines only when there is a fault to tell.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{Text, line_of};
use crate::error::Report;

/// A value as it stands in the file.
pub(crate) type Value<'t> = DeValue<'t>;

/// A place in a file, for faults that are found later.
#[derive(Clone, Debug)]
pub(crate) struct Spot<'t> {
    file: &'t Text,
    report: &'t Report,
    at: usize,
    field: String,
}

impl Spot<'_> {
    /// Notes a fault there.
    pub(crate) fn wrong(&self, problem: impl Into<String>) {
        let line = line_of(self.file.text.as_bytes(), self.at);
        self.report.add(&self.file.path, Some(line), Some(&self.field), problem);
    }
}

/// A table of which keys are being taken out.
#[derive(Debug)]
pub(crate) struct Table<'t> {
    file: &'t Text,
    report: &'t Report,
    /// Where it starts.
    at: usize,
    /// What it is called in front of a field, with the dot: empty for the file itself.
    path: String,
    table: DeTable<'t>,
    /// Keys that were asked for.
    known: Vec<&'static str>,
}

impl<'t> Table<'t> {
    /// The whole file; every fault of syntax is told.
    pub(crate) fn parse(file: &'t Text, report: &'t Report) -> Option<Self> {
        let (table, errors) = DeTable::parse_recoverable(&file.text);
        for error in &errors {
            let line = error.span().map(|span| line_of(file.text.as_bytes(), span.start));
            report.add(&file.path, line, None, format!("is not TOML: {}", error.message()));
        }
        let (at, table) = (0, table.into_inner());
        errors.is_empty().then(|| Table { file, report, at, path: String::new(), table, known: Vec::new() })
    }

    /// What a key must hold; a fault where it is missing or cannot be read.
    pub(crate) fn need<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&Value<'t>) -> Result<T, String>,
    ) -> Option<T> {
        if !self.table.contains_key(key) {
            self.known.push(key);
            self.spot_at(self.at, key).wrong("is missing; write it in this table");
            return None;
        }
        self.maybe(key, read)
    }

    /// What a key may hold; a fault where it cannot be read.
    pub(crate) fn maybe<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&Value<'t>) -> Result<T, String>,
    ) -> Option<T> {
        let value = self.take(key)?;
        match read(value.get_ref()) {
            Ok(read) => Some(read),
            Err(problem) => {
                self.spot_at(value.span().start, key).wrong(problem);
                None
            }
        }
    }

    /// A table under a key, if there is one.
    pub(crate) fn table(&mut self, key: &'static str) -> Option<Table<'t>> {
        let value = self.take(key)?;
        self.child(key.to_owned(), value)
    }

    /// Tables of an array under a key, numbered from 1; none where the key is missing.
    pub(crate) fn tables(&mut self, key: &'static str) -> Vec<Table<'t>> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let span = value.span();
        match value.into_inner() {
            DeValue::Array(rows) => {
                (1..).zip(rows).filter_map(|(n, row)| self.child(format!("{key}[{n}]"), row)).collect()
            }
            other => {
                let problem = format!("is {}; write one [[{key}]] table for each", kind(&other));
                self.spot_at(span.start, key).wrong(problem);
                Vec::new()
            }
        }
    }

    /// The place of a key's value, or of the table where the key is missing. Ask before taking the key out.
    pub(crate) fn spot(&self, key: &str) -> Spot<'t> {
        self.spot_at(self.offset(key), key)
    }

    /// Where a key's value starts, or the table where the key is missing.
    pub(crate) fn offset(&self, key: &str) -> usize {
        self.table.get(key).map_or(self.at, |value| value.span().start)
    }

    /// A place in this table's file.
    pub(crate) fn spot_at(&self, at: usize, key: &str) -> Spot<'t> {
        Spot { file: self.file, report: self.report, at, field: format!("{}{key}", self.path) }
    }

    /// Refuses the keys that nobody took out.
    pub(crate) fn finish(self) {
        for key in self.table.keys() {
            let spot = self.spot_at(key.span().start, key.get_ref());
            spot.wrong(format!("is no key of this table; the keys are {}", self.known.join(", ")));
        }
    }

    fn take(&mut self, key: &'static str) -> Option<Spanned<Value<'t>>> {
        self.known.push(key);
        self.table.remove(key)
    }

    fn child(&self, name: String, value: Spanned<Value<'t>>) -> Option<Table<'t>> {
        let at = value.span().start;
        match value.into_inner() {
            DeValue::Table(table) => {
                let path = format!("{}{name}.", self.path);
                Some(Table { file: self.file, report: self.report, at, path, table, known: Vec::new() })
            }
            other => {
                self.spot_at(at, &name).wrong(format!("is {}; a table is needed", kind(&other)));
                None
            }
        }
    }
}

/// A text that is not empty.
pub(crate) fn text(value: &Value<'_>) -> Result<String, String> {
    match value {
        DeValue::String(text) if text.trim().is_empty() => Err("is empty; write a text".into()),
        DeValue::String(text) => Ok(text.trim().to_owned()),
        other => Err(format!("is {}; write a text in quotes", kind(other))),
    }
}

/// True or false.
pub(crate) fn yes_or_no(value: &Value<'_>) -> Result<bool, String> {
    match value {
        DeValue::Boolean(yes) => Ok(*yes),
        other => Err(format!("is {}; write true or false", kind(other))),
    }
}

/// A whole number within bounds.
pub(crate) fn whole(least: u64, most: u64) -> impl Fn(&Value<'_>) -> Result<u64, String> {
    move |value| {
        let DeValue::Integer(number) = value else {
            return Err(format!("is {}; write a whole number from {least} to {most}", kind(value)));
        };
        let read = u64::from_str_radix(number.as_str(), number.radix()).ok();
        read.filter(|read| (least..=most).contains(read))
            .ok_or_else(|| format!("is {number}; write a whole number from {least} to {most}"))
    }
}

/// As [`whole`], for numbers that are small.
pub(crate) fn small(least: u32, most: u32) -> impl Fn(&Value<'_>) -> Result<u32, String> {
    move |value| whole(least.into(), most.into())(value).map(|number| number as u32)
}

/// A list of values, each read the same way.
pub(crate) fn list<'t, T>(
    read: impl Fn(&Value<'t>) -> Result<T, String>,
) -> impl Fn(&Value<'t>) -> Result<Vec<T>, String> {
    move |value| {
        let DeValue::Array(values) = value else {
            return Err(format!("is {}; write a list in square brackets", kind(value)));
        };
        let numbered = (1..).zip(values.iter());
        numbered.map(|(n, value)| read(value.get_ref()).map_err(|problem| format!("entry {n} {problem}"))).collect()
    }
}

/// Seconds: a whole number or a text such as `1:30`.
pub(crate) fn seconds(value: &Value<'_>) -> Result<u32, String> {
    match value {
        DeValue::Integer(_) => small(0, 86_399)(value),
        other => super::quantity::seconds(&text(other)?),
    }
}

/// A date or time, in quotes or bare, that is read on by a parser of its own.
pub(crate) fn when<T>(parse: impl Fn(&str) -> Result<T, String>) -> impl Fn(&Value<'_>) -> Result<T, String> {
    move |value| match value {
        DeValue::Datetime(bare) => parse(&bare.to_string()),
        other => parse(&text(other)?),
    }
}

/// A text that is read on by a parser of its own.
pub(crate) fn parsed<T>(parse: impl Fn(&str) -> Result<T, String>) -> impl Fn(&Value<'_>) -> Result<T, String> {
    move |value| parse(&text(value)?)
}

/// What a value is, in words.
pub(crate) fn kind(value: &Value<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a decimal number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
