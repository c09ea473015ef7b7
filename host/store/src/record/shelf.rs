//! A policy on the shelf, as `shelf.toml` says it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{is_default, written};

/// A policy on the shelf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ShelfRecord {
    /// Path of the component from the gym folder.
    #[serde(deserialize_with = "written::text")]
    pub file: String,
    /// False where it is kept but not asked.
    #[serde(default = "enabled")]
    pub enabled: bool,
    /// The owner's settings, as the policy's schema has them.
    #[serde(default, skip_serializing_if = "Map::is_empty")]
    pub settings: Map<String, Value>,
    /// What one call may use.
    #[serde(default, skip_serializing_if = "is_default")]
    pub limits: LimitsRecord,
}

fn enabled() -> bool {
    true
}

/// What one call of a policy may use; what is not said is the runtime's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LimitsRecord {
    /// WebAssembly instructions, roughly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<u64>,
    /// Milliseconds by the clock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_ms: Option<u64>,
    /// Mebibytes of memory.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub memory_mib: Option<u64>,
    /// Mebibytes of answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer_mib: Option<u64>,
}
