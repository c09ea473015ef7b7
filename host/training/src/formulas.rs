//! The published formulas and tables of the trade, one file each, with their sources.
//!
//! They are pure functions of numbers and promise only what their source says. Outside a formula's range they refuse
//! with a typed error that names the range; none of them clears an athlete for anything. Where two conventions are
//! in use both are here, and the caller says which. Figures that have no published source are marked "common
//! practice, no source" or "our reading".

pub mod bests;
pub mod cadence;
pub mod discs;
pub mod effort;
pub mod energy;
pub mod goals;
pub mod hot_weather;
pub mod percent;
pub mod progression;
pub mod return_to_training;
pub mod rowing;
pub mod warm_up;
pub mod week_load;
pub mod work_rest;
pub mod zones;

/// A span of whole numbers, both ends included; an end that is not there is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// Lower end.
    pub from: Option<u32>,
    /// Upper end.
    pub to: Option<u32>,
}

impl Span {
    /// Both ends given.
    pub const fn of(from: u32, to: u32) -> Self {
        Span { from: Some(from), to: Some(to) }
    }

    /// So much or more.
    pub const fn at_least(from: u32) -> Self {
        Span { from: Some(from), to: None }
    }

    /// So much or less.
    pub const fn at_most(to: u32) -> Self {
        Span { from: None, to: Some(to) }
    }

    /// True for a number within it.
    pub fn holds(self, number: u32) -> bool {
        self.from.is_none_or(|from| number >= from) && self.to.is_none_or(|to| number <= to)
    }
}

impl std::fmt::Display for Span {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.from, self.to) {
            (Some(from), Some(to)) if from == to => write!(f, "{from}"),
            (Some(from), Some(to)) => write!(f, "{from} to {to}"),
            (Some(from), None) => write!(f, "{from} or more"),
            (None, Some(to)) => write!(f, "{to} or fewer"),
            (None, None) => write!(f, "any"),
        }
    }
}

/// A quantity that a formula cannot take.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} must be {range}, and {given} is not")]
pub struct OutOfRange {
    /// The quantity, for example `load`.
    pub what: &'static str,
    /// What it may be, for example `above 0`.
    pub range: &'static str,
    /// What was given.
    pub given: f64,
}

/// The number itself where it is finite and above zero.
pub(crate) fn above_zero(what: &'static str, given: f64) -> Result<f64, OutOfRange> {
    if given.is_finite() && given > 0.0 { Ok(given) } else { Err(OutOfRange { what, range: "above 0", given }) }
}
