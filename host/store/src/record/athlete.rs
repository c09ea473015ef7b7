//! A person who trains: their row of the roster, their bests and their limitations.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::written;

/// Everything the gym keeps about a person to plan with.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AthleteRecords {
    /// Their row of the roster.
    pub record: AthleteRecord,
    /// One-repetition maxima with their history.
    #[serde(default)]
    pub bests: Vec<BestRecord>,
    /// What they report as sore or restricted, and for how long.
    #[serde(default)]
    pub limitations: Vec<LimitationRecord>,
}

/// A row of the roster.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AthleteRecord {
    /// Their id.
    #[serde(deserialize_with = "written::text")]
    pub id: String,
    /// Name as the coach reads it out.
    #[serde(deserialize_with = "written::text")]
    pub name: String,
    /// The written load column they follow, 1 or 2.
    pub column: u32,
    /// Skill, 1 to 5.
    pub skill: u32,
    /// `floor`, or the id of a home.
    #[serde(deserialize_with = "written::text")]
    pub place: String,
    /// The type of bar they use.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub bar: Option<String>,
    /// The share of a best that percentages are taken of, such as `90 %`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub training_share: Option<String>,
    /// Week since they came back from a break, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub return_week: Option<u32>,
    /// Whole years.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub age: Option<u32>,
    /// Body mass, such as `66 kg`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub mass: Option<String>,
    /// Words that the gym has put on them; none has a semicolon in it.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::tags")]
    pub tags: Vec<String>,
}

/// A one-repetition maximum.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct BestRecord {
    /// Name or id of a movement.
    #[serde(deserialize_with = "written::text")]
    pub movement: String,
    /// What was lifted, such as `102.5 kg`.
    #[serde(deserialize_with = "written::text")]
    pub load: String,
    /// `tested`, or how it is estimated from a set, such as `5 reps by epley`.
    #[serde(deserialize_with = "written::text")]
    pub how: String,
    /// First day on which it counts; without one it is older than all that have one.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub since: Option<String>,
}

/// A region that is sore or restricted, as the athlete reports it. Not a diagnosis.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LimitationRecord {
    /// Id of a region, such as `lower-back`.
    #[serde(deserialize_with = "written::text")]
    pub region: String,
    /// `left`, `right` or `both`; both where it is not said.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub side: Option<String>,
    /// `mild`, `moderate` or `severe`.
    #[serde(deserialize_with = "written::text")]
    pub severity: String,
    /// First day on which it holds; from ever where none is said.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub since: Option<String>,
    /// Last day on which it holds; on and on where none is said.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub until: Option<String>,
}
