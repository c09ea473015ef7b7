//! How loads, times and counts are written on the command line.

use clap::builder::{PossibleValuesParser, TypedValueParser};
use classwright_training::formulas::{bests::Equation, percent::Edition};
use classwright_training::{Mass, Unit};
use serde_json::{Map, Value, json};
use std::str::FromStr;

use super::{rounded, short};

/// The most that is taken for a load, in either unit; whoever writes more has slipped.
const MOST: f64 = 2000.0;

/// A load as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LoadArg {
    /// In the unit.
    pub(super) value: f64,
    pub(super) unit: Unit,
}

impl LoadArg {
    pub(super) fn kg(self) -> f64 {
        in_kg(self.value, self.unit)
    }

    /// To the nearest gram, by way of hundredths of the unit where it was written so.
    pub(super) fn mass(self) -> Mass {
        let hundredths = self.value * 100.0;
        if (hundredths - hundredths.round()).abs() < 1e-6 {
            self.unit.to_mass(hundredths.round() as u32)
        } else {
            Mass::from_kg(self.kg())
        }
    }

    /// The value in the unit of another load.
    pub(super) fn in_unit(self, unit: Unit) -> f64 {
        if self.unit == unit { self.value } else { self.kg() / in_kg(1.0, unit) }
    }
}

impl std::fmt::Display for LoadArg {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.value, self.unit.symbol())
    }
}

impl FromStr for LoadArg {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        load_in(text, Unit::Kilograms)
    }
}

/// A load in a unit, kilograms where the text names none.
fn load_in(text: &str, unit: Unit) -> Result<LoadArg, String> {
    let load = zero_or_more(text, unit)?;
    if load.value == 0.0 {
        return Err("a load is above 0".to_owned());
    }
    Ok(load)
}

/// A collar may also be left out of the load.
pub(super) fn collar(text: &str) -> Result<LoadArg, String> {
    zero_or_more(text, Unit::Kilograms)
}

fn zero_or_more(text: &str, unit: Unit) -> Result<LoadArg, String> {
    let text = text.trim();
    let (number, unit) = if let Some(number) = text.strip_suffix("kg") {
        (number, Unit::Kilograms)
    } else if let Some(number) = text.strip_suffix("lb") {
        (number, Unit::Pounds)
    } else {
        (text, unit)
    };
    let value = number
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|value| value.is_finite())
        .ok_or("a load is a number with kg or lb, for example 100kg, 62.5kg or 225lb")?;
    if value < 0.0 {
        return Err("a load is above 0".to_owned());
    }
    if value > MOST {
        return Err(format!("a load is at most {MOST}"));
    }
    Ok(LoadArg { value, unit })
}

/// Plates with their pairs, such as `25x2,20x4,1.25x1`, in the unit that is not written.
pub(super) fn plate_list(text: &str, unit: Unit) -> Result<Vec<(LoadArg, u32)>, String> {
    let row = |row: &str| {
        let (plate, pairs) = row.split_once(['x', '*']).unwrap_or((row, ""));
        let pairs = pairs.trim().parse().ok().filter(|&pairs: &u32| (1..=100).contains(&pairs));
        let pairs = pairs.ok_or_else(|| format!("'{}' does not say how many pairs (1 to 100)", row.trim()))?;
        let plate = load_in(plate, unit).map_err(|problem| format!("'{}': {problem}", row.trim()))?;
        Ok((plate, pairs))
    };
    text.split(',').map(row).collect()
}

/// Plates on one side now, inner to outer, such as `20,20,5`.
pub(super) fn side_list(text: &str, unit: Unit) -> Result<Vec<Mass>, String> {
    text.split(',')
        .filter(|plate| !plate.trim().is_empty())
        .map(|plate| {
            load_in(plate, unit).map(LoadArg::mass).map_err(|problem| format!("'{}': {problem}", plate.trim()))
        })
        .collect()
}

/// Seconds, or minutes and seconds: `120`, `2:00`, `1:52.4`.
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    let problem = || "a time is minutes and seconds, for example 2:00 or 1:52.4, or seconds alone".to_owned();
    let (minutes, seconds) = text.trim().split_once(':').map_or((None, text.trim()), |(m, s)| (Some(m), s));
    let whole = |text: &str| text.parse::<u32>().map(f64::from);
    let minutes = minutes.map_or(Ok(0.0), whole).map_err(|_| problem())?;
    let tail: f64 = seconds.parse().map_err(|_| problem())?;
    let all = minutes * 60.0 + tail;
    let fits = tail.is_finite() && tail >= 0.0 && (tail < 60.0 || minutes == 0.0);
    if !fits {
        return Err(problem());
    }
    if !(1.0..=86_400.0).contains(&all) {
        return Err("a time is from one second to one day".to_owned());
    }
    Ok(all)
}

/// A whole number of repetitions, sets or weeks.
pub(super) fn count(text: &str) -> Result<u32, String> {
    let count = text.trim().parse().ok().filter(|count: &u32| (1..=1000).contains(count));
    count.ok_or_else(|| "this is a whole number from 1 to 1000".to_owned())
}

/// A percent of a best. Pulls go above 100, but not far.
pub(super) fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('%').trim_end();
    let percent = number.parse().ok().filter(|percent: &f64| *percent > 0.0 && *percent <= 150.0);
    percent.ok_or_else(|| "a percent is above 0 and at most 150".to_owned())
}

/// One of the equations by its name.
pub(super) fn equation() -> impl TypedValueParser<Value = Equation> {
    PossibleValuesParser::new(Equation::ALL.map(Equation::id)).map(|id| {
        Equation::ALL
            .into_iter()
            .find(|equation| equation.id().eq_ignore_ascii_case(&id))
            .expect("only names of equations pass")
    })
}

/// One of the editions by its name.
pub(super) fn edition() -> impl TypedValueParser<Value = Edition> {
    PossibleValuesParser::new(Edition::ALL.map(Edition::id)).map(|id| {
        Edition::ALL
            .into_iter()
            .find(|edition| edition.id().eq_ignore_ascii_case(&id))
            .expect("only names of editions pass")
    })
}

/// Writes a mass into an answer: in kilograms, and in pounds too where the question was in pounds.
pub(super) fn put_mass(json: &mut Map<String, Value>, name: &str, value: f64, unit: Unit) {
    json.insert(format!("{name}_kg"), json!(rounded(in_kg(value, unit))));
    if unit == Unit::Pounds {
        json.insert(format!("{name}_lb"), json!(rounded(value)));
    }
}

/// A mass for a person, in the unit of the question.
pub(super) fn shown(value: f64, unit: Unit) -> String {
    format!("{} {}", short(value), unit.symbol())
}

fn in_kg(value: f64, unit: Unit) -> f64 {
    match unit {
        Unit::Kilograms => value,
        Unit::Pounds => value * 0.453_592_37,
    }
}
