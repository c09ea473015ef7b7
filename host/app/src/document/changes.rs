//! On the wire: what a new plan changes, what holds a class up, and what more would give.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One difference between the plan before and this one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangeDoc {
    /// `people`, `heats`, `starts`, `bars` or `end`.
    pub about: String,
    /// Ids of those whom it concerns, where it is about people or bars.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub athletes: Vec<String>,
    /// One sentence to be read out.
    pub text: String,
}

/// What holds a class up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WhyDoc {
    /// What is used up entirely at some time, the longest first.
    pub binds: Vec<BindsDoc>,
    /// The earliest end that was found as things are, whoever that would have moved; gains are counted from it.
    pub from_s: u32,
    /// What one more would give, each planned with the same effort; the most first.
    pub gives: Vec<GivesDoc>,
}

/// Something that is used up entirely for a while.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BindsDoc {
    /// What.
    pub what: String,
    /// How many there are.
    pub there: u32,
    /// For how many seconds, from now on.
    pub total_s: u32,
    /// From and until, in order.
    pub spans_s: Vec<[u32; 2]>,
}

/// A change to what there is, and the plan that it allows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GivesDoc {
    /// What would be changed.
    pub change: String,
    /// End of the class then; absent where no plan was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish_s: Option<u32>,
    /// By how many seconds that is earlier.
    pub gives_s: u32,
    /// Where it is not proven that no more can be had: no plan ends before this second.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_bound_s: Option<u32>,
}
