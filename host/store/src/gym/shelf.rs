//! `shelf.toml`: the installed policies in the order in which they are asked, with the owner's settings and limits.
//!
//! Whether a component is there and whether the settings suit it is found out when it is loaded, not here.

use std::path::PathBuf;

use serde_json::Value as Json;

use crate::error::Report;
use crate::file::json::json;
use crate::file::toml::{Table, Value, text, whole, yes_or_no};
use crate::file::{Source, Text};

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

pub(super) fn read(file: &Text, source: Source<'_>, report: &Report) -> Vec<ShelfEntry> {
    let Some(mut whole_file) = Table::parse(file, report) else {
        return Vec::new();
    };
    let rows = whole_file.tables("policy").into_iter();
    let shelf = rows.filter_map(|row| one(row, source)).collect();
    whole_file.finish();
    shelf
}

fn one(mut row: Table<'_>, source: Source<'_>) -> Option<ShelfEntry> {
    let file_spot = row.spot("file");
    let file = row.need("file", text);
    if file.as_ref().is_some_and(|file| !file.ends_with(".wasm")) {
        file_spot.wrong("is no .wasm file; write the path of a component from the gym folder");
    }
    let enabled = row.maybe("enabled", yes_or_no).unwrap_or(true);
    let settings = row.maybe("settings", settings).unwrap_or_else(|| "{}".into());
    let limits = row.table("limits").map(limits).unwrap_or_default();
    row.finish();
    Some(ShelfEntry { file: source.path(&file?), enabled, settings, limits })
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
    // What TOML cannot say (null, a number of more than 64 bits) is written as a text of JSON.
    let read = match json(value)? {
        Json::String(text) => serde_json::from_str(&text).unwrap_or(Json::String(text)),
        other => other,
    };
    match read {
        object @ Json::Object(_) => Ok(object.to_string()),
        _ => Err("is no table; write [policy.settings] with a key for each setting".into()),
    }
}
