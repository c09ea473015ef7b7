//! Movements and kinds of kit that a gym adds to the built-in library.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::written;

/// A movement; one with the id of a built-in one takes its place.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MovementRecord {
    /// Small letters, digits and hyphens.
    #[serde(deserialize_with = "written::text")]
    pub id: String,
    /// Plain name, as a coach writes it.
    #[serde(deserialize_with = "written::text")]
    pub name: String,
    /// Other names.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub aliases: Vec<String>,
    /// Ids of patterns, the main one first.
    #[serde(deserialize_with = "written::texts")]
    pub patterns: Vec<String>,
    /// Grade of the demand on a region, 0 to 3.
    pub demand: BTreeMap<String, u32>,
    /// Kit that one person claims, by kind.
    pub kit: BTreeMap<String, u32>,
    /// What carries the load, such as `bar`.
    #[serde(deserialize_with = "written::text")]
    pub load: String,
    /// How it is usually done: `both`, `each` or `alternating`.
    #[serde(deserialize_with = "written::text")]
    pub sides: String,
    /// How long it takes.
    pub seconds: SecondsRecord,
    /// Skill it asks for, 1 to 5.
    pub skill: u32,
    /// Movements that it follows from.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub progressed_from: Vec<String>,
    /// Easier movements, the nearest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub regressed_to: Vec<String>,
    /// What the coach says.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub cues: Vec<String>,
    /// What the coach looks for.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub faults: Vec<String>,
}

/// Seconds a unit of work: typical, quickest, slowest. At least one unit is said.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SecondsRecord {
    /// A repetition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rep: Option<[f64; 3]>,
    /// A metre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metre: Option<[f64; 3]>,
    /// A kilocalorie on the machine's display.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calorie: Option<[f64; 3]>,
    /// A second, for what can be held or done for a time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second: Option<[f64; 3]>,
}

/// A kind of kit; one with the id of a built-in one takes its place.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct KitKindRecord {
    /// Small letters, digits and hyphens.
    #[serde(deserialize_with = "written::text")]
    pub id: String,
    /// Plain name.
    #[serde(deserialize_with = "written::text")]
    pub name: String,
    /// Other names.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub aliases: Vec<String>,
}
