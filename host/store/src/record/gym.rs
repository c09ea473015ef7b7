//! The whole of a gym, and how it runs its floor.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::written;
use super::{AthleteRecords, ClassRecord, KitKindRecord, KitRecord, MovementRecord, ShelfRecord, is_default};

/// Everything that a gym owns but its components' bytes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct GymRecords {
    /// Name of the gym.
    #[serde(deserialize_with = "written::text")]
    pub name: String,
    /// How it runs its floor.
    #[serde(default)]
    pub rules: RulesRecord,
    /// Kinds of kit that only this gym has, or built-in ones that it changed.
    #[serde(default)]
    pub kit_kinds: Vec<KitKindRecord>,
    /// Movements that only this gym has, or built-in ones that it changed, in its order.
    #[serde(default)]
    pub movements: Vec<MovementRecord>,
    /// Kit of the floor.
    #[serde(default)]
    pub floor_kit: KitRecord,
    /// Kit where people train at home, in the gym's order.
    #[serde(default)]
    pub homes: Vec<HomeRecord>,
    /// Everyone on the roster, in its order.
    #[serde(default)]
    pub athletes: Vec<AthleteRecords>,
    /// Texts of the sessions by id.
    #[serde(default)]
    pub sessions: BTreeMap<String, String>,
    /// Classes in the order of their ids.
    #[serde(default)]
    pub classes: Vec<ClassRecord>,
    /// Policies in the order in which they are asked.
    #[serde(default)]
    pub shelf: Vec<ShelfRecord>,
}

/// How the floor is run: a gym's `[floor]`, or what a class has different. What is not said is usual, or the gym's.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RulesRecord {
    /// How many at loaded or hurried work one coach watches at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coach_span: Option<u32>,
    /// How many heats at most.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_heats: Option<u32>,
    /// Heats start at multiples of this time, such as `0:30`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_time")]
    pub heats_start_every: Option<String>,
    /// How long a change of plates takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate_change: Option<PlateChangeRecord>,
    /// Time between two parts, such as `2:00`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_time")]
    pub between_parts: Option<String>,
    /// How much the heat policy may search.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effort: Option<u64>,
}

/// How long a change of plates takes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PlateChangeRecord {
    /// Whatever changes, such as `10 s`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_time")]
    pub fixed: Option<String>,
    /// For each pair, such as `5 s`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_time")]
    pub a_pair: Option<String>,
}

/// What there is where somebody trains at home.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct HomeRecord {
    /// Small letters, digits and hyphens; not `floor`.
    #[serde(deserialize_with = "written::text")]
    pub id: String,
    /// Its kit. In the file its tables stand beside the id.
    #[serde(default, skip_serializing_if = "is_default")]
    pub kit: KitRecord,
}
