//! What commands of the service are given in files: TOML as a gym folder has it, JSON, text, or bytes.

use std::path::{Path, PathBuf};

use classwright_app::AppError;
use serde_json::Value;

use crate::error::CliError;

/// A file's bytes.
pub(crate) fn bytes(file: &Path) -> Result<Vec<u8>, CliError> {
    std::fs::read(file).map_err(|error| unread(file, error.to_string()))
}

/// A file's text.
pub(crate) fn text(file: &Path) -> Result<String, CliError> {
    String::from_utf8(bytes(file)?).map_err(|_| wrong(file, "is not UTF-8 text"))
}

/// A file's tables, as JSON. Days and times of day become texts, as the service has them.
pub(crate) fn toml(file: &Path) -> Result<Value, CliError> {
    let text = text(file)?;
    let table: toml::Table = toml::from_str(&text).map_err(|error| wrong(file, error.to_string().trim_end()))?;
    Ok(json_of(toml::Value::Table(table)))
}

/// A file's JSON.
pub(crate) fn json(file: &Path) -> Result<Value, CliError> {
    serde_json::from_slice(&bytes(file)?).map_err(|error| wrong(file, &format!("is no JSON: {error}")))
}

/// The name of a file without its ending: the id of what stands in it, unless another was given.
pub(crate) fn id_of(file: &Path, given: Option<&str>) -> Result<String, CliError> {
    let own = || file.file_stem().and_then(|stem| stem.to_str()).map(str::to_owned);
    given.map(str::to_owned).or_else(own).ok_or_else(|| wrong(file, "names no id: give one with --as"))
}

/// Today by this machine's clock, as the service writes days.
pub(crate) fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

fn json_of(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => Value::String(text),
        toml::Value::Integer(number) => number.into(),
        toml::Value::Float(number) => number.into(),
        toml::Value::Boolean(is) => is.into(),
        toml::Value::Datetime(moment) => Value::String(moment.to_string()),
        toml::Value::Array(items) => items.into_iter().map(json_of).collect(),
        toml::Value::Table(table) => table.into_iter().map(|(key, value)| (key, json_of(value))).collect(),
    }
}

/// A file that cannot be read.
pub(crate) fn unread(file: &Path, problem: String) -> CliError {
    AppError::File { path: PathBuf::from(file), problem }.into()
}

fn wrong(file: &Path, problem: &str) -> CliError {
    CliError::new(format!("error: {}: {problem}", file.display()), 2)
}
