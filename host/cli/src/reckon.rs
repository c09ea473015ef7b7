//! `classwright reckon`: the formulas of the trade, one question at a time.
//!
//! Every answer names its equation or table and where it was published; `--json` gives the same numbers, rounded to
//! three decimals, in keys that end in their unit. Masses are always given in kilograms, and in pounds as well where
//! the question was asked in pounds. What a formula does not take is refused with [`ReckonError`], which says what
//! is wrong, where, and what to write instead. Nothing is read or stored.

mod args;
mod best;
mod percent;
mod plates;
mod return_week;
mod row;
mod week;
mod zone;

use serde_json::Value;

/// Said wherever an answer could be taken for permission.
const CAUTION: &str = "Local rules and licensed practice come first; this clears nobody to train.";

/// One question.
#[derive(Debug, clap::Subcommand)]
pub(crate) enum Reckon {
    /// Estimate a best (one-repetition maximum) from a set to failure.
    Best(best::BestArgs),
    /// How often a load goes, with a given best.
    Reps(best::RepsArgs),
    /// Which plates make a load.
    Plates(plates::PlatesArgs),
    /// The load for a percent of a best, or for a number of repetitions.
    Percent(percent::PercentArgs),
    /// Repetitions a set and in all, by percent of a best.
    Zone(zone::ZoneArgs),
    /// Load, monotony and strain of a week.
    LoadWeek(week::LoadWeekArgs),
    /// Power, split and time on a rowing machine.
    Row(row::RowArgs),
    /// What is done in the first weeks back after a break.
    Return(return_week::ReturnArgs),
}

/// The answer to print: readable text, or one line of JSON.
pub(crate) fn run(reckon: Reckon, json: bool) -> Result<String, ReckonError> {
    let answer = match reckon {
        Reckon::Best(args) => best::best(&args),
        Reckon::Reps(args) => best::reps(&args),
        Reckon::Plates(args) => plates::plates(&args),
        Reckon::Percent(args) => percent::percent(&args),
        Reckon::Zone(args) => zone::zone(&args),
        Reckon::LoadWeek(args) => week::load_week(&args),
        Reckon::Row(args) => row::row(&args),
        Reckon::Return(args) => return_week::return_week(&args),
    }?;
    Ok(if json { answer.json.to_string() } else { answer.text })
}

/// A question that has no answer; the command ends with [`ReckonError::EXIT_CODE`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ReckonError {
    /// The option or argument that is wrong.
    place: &'static str,
    /// What is wrong with it.
    problem: String,
    /// What to do instead.
    remedy: &'static str,
}

impl ReckonError {
    /// As for every other misuse of the command line.
    pub(crate) const EXIT_CODE: u8 = 2;

    fn new(place: &'static str, problem: impl ToString, remedy: &'static str) -> Self {
        ReckonError { place, problem: problem.to_string(), remedy }
    }
}

impl std::fmt::Display for ReckonError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}\n{}", self.place, self.problem, self.remedy)
    }
}

impl std::error::Error for ReckonError {}

/// The same answer for a person and for a program.
struct Answer {
    text: String,
    json: Value,
}

/// A number for a program: at most three decimals.
fn rounded(number: f64) -> f64 {
    // A sum with 0.0 turns a negative zero into zero.
    (number * 1000.0).round() / 1000.0 + 0.0
}

/// A number for a person: at most one decimal, and none where it is whole.
fn short(number: f64) -> String {
    ((number * 10.0).round() / 10.0 + 0.0).to_string()
}

#[cfg(test)]
mod tests;
