//! Kit of the floor or of a home: bars one by one, plates in pairs, everything else counted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{is_default, written};

/// Kit at one place, with what of it is out of service.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct KitRecord {
    /// Whether collars count in a load; they do not where it is not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub collars_counted: Option<bool>,
    /// Mass of one collar, such as `2.5 kg`.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub collar: Option<String>,
    /// Pairs of collars; enough for every bar where it is not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub collars: Option<u32>,
    /// Kinds of bar with their bars.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bar: Vec<BarsRecord>,
    /// Plates by mass.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plate: Vec<PlatesRecord>,
    /// Everything else.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kit: Vec<StockRecord>,
}

/// All bars of a type.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct BarsRecord {
    /// Id of the type, such as `bar-20`.
    #[serde(rename = "type", deserialize_with = "written::text")]
    pub bar_type: String,
    /// Plain name.
    #[serde(deserialize_with = "written::text")]
    pub name: String,
    /// Mass of the bar alone.
    #[serde(deserialize_with = "written::text")]
    pub mass: String,
    /// How many there are.
    pub count: u32,
    /// What each is called; by the letter of its kind (A1, A2, …) where it is not said.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_texts")]
    pub ids: Option<Vec<String>>,
    /// Those that cannot be used.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "written::texts")]
    pub out_of_service: Vec<String>,
}

/// All plates of a mass.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PlatesRecord {
    /// Mass of one plate.
    #[serde(deserialize_with = "written::text")]
    pub mass: String,
    /// How many pairs there are.
    pub pairs: u32,
    /// How many of these cannot be used.
    #[serde(default, skip_serializing_if = "is_default")]
    pub out_of_service: u32,
}

/// Counted kit that is not told apart.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StockRecord {
    /// Name or id of a kind.
    #[serde(deserialize_with = "written::text")]
    pub kind: String,
    /// Mass of each, where that matters.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "written::maybe_text")]
    pub mass: Option<String>,
    /// How many there are.
    pub count: u32,
    /// How many of these cannot be used.
    #[serde(default, skip_serializing_if = "is_default")]
    pub out_of_service: u32,
}
