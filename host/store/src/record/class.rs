//! A class: a session on a day, who comes, and what is different in that hour.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{RulesRecord, written};

/// A class as its sheet says.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ClassRecord {
    /// Its id; in a folder, the file's name without its ending.
    #[serde(deserialize_with = "written::text")]
    pub id: String,
    /// Day, such as `2026-12-07`.
    #[serde(deserialize_with = "written::text")]
    pub date: String,
    /// Start by the clock on the wall, such as `18:00`.
    #[serde(deserialize_with = "written::text")]
    pub time: String,
    /// Zone of that clock by its IANA name.
    #[serde(deserialize_with = "written::text")]
    pub zone: String,
    /// Id of the session. In a folder the file names the session's path instead, `sessions/monday.md`.
    #[serde(deserialize_with = "written::text")]
    pub session: String,
    /// Who coaches.
    #[serde(deserialize_with = "written::text")]
    pub coach: String,
    /// Athletes who come, by id; not beside `absent`. Everybody comes where neither is said.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_texts")]
    pub present: Option<Vec<String>>,
    /// Athletes who do not come, by id.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_texts")]
    pub absent: Option<Vec<String>>,
    /// Pairs who are in one heat.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::pairs")]
    pub together: Vec<[String; 2]>,
    /// Pairs who are not.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::pairs")]
    pub apart: Vec<[String; 2]>,
    /// What is different in how the floor is run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor: Option<RulesRecord>,
    /// What cannot be used in that hour, on top of what the gym says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_of_service: Option<OutRecord>,
}

/// What cannot be used in the hour of a class.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OutRecord {
    /// Bars by what they are called.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub bars: Vec<String>,
    /// Pairs of collars, where these are counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub collars: Option<u32>,
    /// Plates.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plate: Vec<PlatesOutRecord>,
    /// Everything else.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kit: Vec<KitOutRecord>,
}

/// Plates that cannot be used.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PlatesOutRecord {
    /// Mass of one plate.
    #[serde(deserialize_with = "written::text")]
    pub mass: String,
    /// How many pairs.
    pub pairs: u32,
}

/// Counted kit that cannot be used.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct KitOutRecord {
    /// Name or id of a kind.
    #[serde(deserialize_with = "written::text")]
    pub kind: String,
    /// Mass of each, where that matters.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub mass: Option<String>,
    /// How many.
    pub count: u32,
}
