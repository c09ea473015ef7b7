//! `shelf.toml`: the installed policies in the order in which they are asked, with the owner's settings and limits.
//!
//! Whether a component is there and whether the settings suit it is found out when it is loaded, not here.

use std::path::{Path, PathBuf};

use serde_json::{Map, Number, Value as Json};
use toml::de::DeValue;

use crate::error::Report;
use crate::file::Text;
use crate::file::toml::{Table, Value, text, whole, yes_or_no};

/// A policy on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShelfEntry {
    /// The component, found from the gym folder.
    pub file: PathBuf,
    /// False where it is kept but not asked.
    pub enabled: bool,
    /// The owner's settings: JSON text of an object, keys in order.
    pub settings: String,
    /// What one call may use.
    pub limits: ShelfLimits,
}

/// What one call of a policy may use; `None` leaves it to the runtime.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ShelfLimits {
    /// WebAssembly instructions, roughly.
    pub fuel: Option<u64>,
    /// Milliseconds by the clock.
    pub wall_ms: Option<u64>,
    /// Mebibytes of memory.
    pub memory_mib: Option<u64>,
    /// Mebibytes of answer.
    pub answer_mib: Option<u64>,
}

pub(super) fn read(file: &Text, folder: &Path, report: &Report) -> Vec<ShelfEntry> {
    let Some(mut whole_file) = Table::parse(file, report) else {
        return Vec::new();
    };
    let rows = whole_file.tables("policy").into_iter();
    let shelf = rows.filter_map(|row| one(row, folder)).collect();
    whole_file.finish();
    shelf
}

fn one(mut row: Table<'_>, folder: &Path) -> Option<ShelfEntry> {
    let file_spot = row.spot("file");
    let file = row.need("file", text);
    if file.as_ref().is_some_and(|file| !file.ends_with(".wasm")) {
        file_spot.wrong("is no .wasm file; write the path of a component from the gym folder");
    }
    let enabled = row.maybe("enabled", yes_or_no).unwrap_or(true);
    let settings = row.maybe("settings", settings).unwrap_or_else(|| "{}".into());
    let limits = row.table("limits").map(limits).unwrap_or_default();
    row.finish();
    Some(ShelfEntry { file: folder.join(file?), enabled, settings, limits })
}

fn limits(mut table: Table<'_>) -> ShelfLimits {
    let limits = ShelfLimits {
        fuel: table.maybe("fuel", whole(1, 1_000_000_000_000)),
        wall_ms: table.maybe("wall-ms", whole(1, 600_000)),
        memory_mib: table.maybe("memory-mib", whole(1, 4_096)),
        answer_mib: table.maybe("answer-mib", whole(1, 1_024)),
    };
    table.finish();
    limits
}

fn settings(value: &Value<'_>) -> Result<String, String> {
    match json(value)? {
        object @ Json::Object(_) => Ok(object.to_string()),
        _ => Err("is no table; write [policy.settings] with a key for each setting".into()),
    }
}

/// A value as JSON; dates and times become texts.
fn json(value: &Value<'_>) -> Result<Json, String> {
    Ok(match value {
        DeValue::String(text) => Json::String(text.to_string()),
        DeValue::Integer(number) => {
            let read = i64::from_str_radix(number.as_str(), number.radix());
            read.map(Json::from).map_err(|_| format!("holds {number}, too large a number; at most 64 bits"))?
        }
        DeValue::Float(number) => {
            let read = number.as_str().parse().ok().and_then(Number::from_f64);
            read.map(Json::Number).ok_or_else(|| format!("holds {number}, which JSON cannot say; write a number"))?
        }
        DeValue::Boolean(yes) => Json::Bool(*yes),
        DeValue::Datetime(when) => Json::String(when.to_string()),
        DeValue::Array(values) => {
            Json::Array(values.iter().map(|value| json(value.get_ref())).collect::<Result<_, String>>()?)
        }
        DeValue::Table(table) => {
            let row = |(key, value): (&toml::Spanned<_>, &toml::Spanned<Value<'_>>)| {
                Ok((std::borrow::Cow::to_string(key.get_ref()), json(value.get_ref())?))
            };
            Json::Object(table.iter().map(row).collect::<Result<Map<_, _>, String>>()?)
        }
    })
}
