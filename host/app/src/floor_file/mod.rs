//! Floors and their plans as files that stand by themselves: the formats `heats-1` and `heats-solution-1`.
//!
//! The statement of the problem and an independent checker are in `tests/data/heats`. Reading is strict: what is
//! missing, unknown, of another type or out of range is named with its place in the JSON, all of it at once. A floor
//! that was read is well formed; whether it has a plan is asked elsewhere.
//!
//! How such a floor becomes a [`Floor`]: bout k of an athlete is at stage k; every bout takes one of the coach's span;
//! `resources` are counted kit; bars are of one type where `type` is the same; each `config` is a loading, and
//! loading 0 is the empty bar; durations are fixed, starts are free, and the class has no end.
//!
//! [`Floor`]: classwright_training::floor::Floor

mod answer;
mod before;
mod floor;
mod json;
mod reader;

pub use answer::{SolutionDoc, SolutionHeatDoc};
pub use before::PlanBefore;
pub use floor::{FloorFile, read_floor};
pub use reader::{MAX_BYTES, Misfit};
