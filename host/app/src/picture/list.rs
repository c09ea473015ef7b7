//! The picture as a neutral list, which any way of drawing starts from.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a row of the picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum RowsBy {
    /// A heat: who is called when.
    Heat,
    /// A bar: who has it, loaded how.
    Bar,
}

/// A floor plan, ready to be drawn. Times are whole seconds from the start of the class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Picture {
    /// What the rows are.
    pub by: RowsBy,
    /// The session's title.
    pub title: String,
    /// Gym, class, day, hour and coach, as far as they are known.
    pub occasion: String,
    /// When the floor is done, and how that stands to the length of the class.
    pub verdict: String,
    /// The picture begins here, at a round time before the first span.
    pub from_s: u32,
    /// It ends here, at a whole minute.
    pub to_s: u32,
    /// The clock on the wall when the class starts, in minutes from midnight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_min: Option<u32>,
    /// The plan's finish and the end of the class.
    pub marks: Vec<Mark>,
    /// From top to bottom.
    pub rows: Vec<Row>,
    /// The parts that are drawn.
    pub parts: Vec<PartKey>,
    /// Initials in the picture, with the names they stand for.
    pub initials: Vec<Initials>,
    /// Bars that nobody uses, with what there is to say of them.
    pub resting: Vec<String>,
}

/// A moment that is marked through all rows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Which.
    pub what: MarkKind,
    /// When. It may lie after the end of the picture.
    pub at_s: u32,
    /// In words.
    pub text: String,
}

/// What is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MarkKind {
    /// The last bout of the plan ends.
    Finish,
    /// The class ends.
    ClassEnds,
}

/// A heat or a bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// What it is called.
    pub name: String,
    /// How many people, or what kind of bar.
    pub note: String,
    /// Everybody in the heat, by full name; empty for a bar.
    pub people: Vec<String>,
    /// One under another; more than one where parts overlap in time.
    pub lanes: Vec<Lane>,
}

/// Spans that follow each other.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lane {
    /// In order of time; they do not overlap.
    pub spans: Vec<Span>,
    /// Parts with all their spans, in order of time; they do not overlap. Empty for a bar.
    pub groups: Vec<Group>,
}

/// A bout, a change of plates, or a time at which a bar is not to be had.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// Which of them.
    pub what: SpanKind,
    /// From 1; of a change of plates, the part it is made for; 0 where nobody can have the bar.
    pub part: u32,
    /// When it begins.
    pub from_s: u32,
    /// When it ends.
    pub to_s: u32,
    /// Stands above it: the set, or the initials of who has the bar.
    pub above: String,
    /// Stands in it where there is room for one of these, the longest first.
    pub inside: Vec<String>,
    /// Stands below it: when it starts, or the load in kilograms.
    pub below: String,
    /// All of it in a sentence.
    pub told: String,
}

/// What a span is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpanKind {
    /// Somebody works.
    Work,
    /// Plates are put on and taken off.
    SetUp,
    /// Another class has the bar, or it is not there yet.
    NotFree,
}

/// The spans of a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// First start.
    pub from_s: u32,
    /// Last end.
    pub to_s: u32,
    /// Its name, the longest first; the last is its number.
    pub names: Vec<String>,
}

/// A part and its number in the picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartKey {
    /// From 1.
    pub part: u32,
    /// `preparation`, `skill`, `strength`, `conditioning` or `cool-down`.
    pub kind: String,
    /// Its heading, as written.
    pub heading: String,
}

/// Initials and the name they stand for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Initials {
    /// In the picture.
    pub initials: String,
    /// In full.
    pub name: String,
}
