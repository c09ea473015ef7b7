//! Loads: what stands after `@`.
//!
//! `40 kg`, `40/30 kg` (columns), `60, 70, 80 kg` (set by set), `70% of back squat`, `65-75% of clean`,
//! `build 60-80% of back squat`, `build 40-60 kg`, `bodyweight`, `empty bar`, each perhaps with `, RPE 8`.

use std::ops::Range;

use winnow::Parser;
use winnow::combinator::{opt, preceded};

use super::bounds;
use super::error::{Fault, Parsed};
use super::names;
use super::tokens::{Input, Number, at, blank, dash, left, number, number_next, one_word, sign, stop, words};
use crate::session::WrittenLoad;
use crate::{MovementIx, Unit};

/// What a percent is of where the coach does not say.
#[derive(Clone, Copy, Debug)]
pub(super) enum Of {
    /// Of this movement's best.
    Movement(MovementIx),
    /// Several movements, or none, stand there: the coach has to say.
    Open,
    /// The movement's name was not known: that is said already.
    Unknown,
}

#[derive(Clone, Copy)]
enum InUnit {
    Mass(Unit),
    Percent,
}

const UNITS: &[(&str, InUnit)] = &[
    ("kg", InUnit::Mass(Unit::Kilograms)),
    ("kgs", InUnit::Mass(Unit::Kilograms)),
    ("kilos", InUnit::Mass(Unit::Kilograms)),
    ("lb", InUnit::Mass(Unit::Pounds)),
    ("lbs", InUnit::Mass(Unit::Pounds)),
    ("pounds", InUnit::Mass(Unit::Pounds)),
    ("percent", InUnit::Percent),
];

const LOAD: &str = "a load such as `40 kg`, `40/30 kg`, `70%`, `build 60-80%`, `bodyweight`, `empty bar` or `RPE 7`";
const UNIT: &str = "a unit after the load: `kg`, `lb` or `%`";
const PERCENT: &str = "a percentage from 1 to 120, with at most one decimal";

/// The load and the effort after the `@`; at least one of them.
pub(super) fn load(input: &mut Input<'_>, of: Of) -> Parsed<(Option<WrittenLoad>, Option<u32>)> {
    if let Some(effort) = effort(input)? {
        return Ok((None, Some(effort)));
    }
    let load = if opt(words("bodyweight")).parse_next(input)?.is_some()
        || opt(words("body weight")).parse_next(input)?.is_some()
    {
        Some(WrittenLoad::Bodyweight)
    } else if opt(words("empty bar")).parse_next(input)?.is_some() {
        Some(WrittenLoad::EmptyBar)
    } else if opt(words("build")).parse_next(input)?.is_some() {
        build(input, of)?
    } else {
        numbers(input, of)?
    };
    let comma = opt(sign(',')).parse_next(input)?.is_some();
    let effort = if comma { effort(input)? } else { None };
    if comma && effort.is_none() {
        return stop(input, "an effort such as `RPE 8` after the comma");
    }
    Ok((load, effort))
}

fn effort(input: &mut Input<'_>) -> Parsed<Option<u32>> {
    if opt(words("RPE")).parse_next(input)?.is_none() {
        return Ok(None);
    }
    const EFFORT: &str = "an effort from 1 to 10, with at most one decimal, such as `RPE 7.5`";
    if !number_next(input) {
        return stop(input, EFFORT);
    }
    Ok(Some(number(input)?.within(input, 1, 1, &bounds::EFFORT_TENTHS, EFFORT)))
}

/// Numbers that rise from the first to the last set.
fn build<'i>(input: &mut Input<'i>, of: Of) -> Parsed<Option<WrittenLoad>> {
    blank(input)?;
    let start = at(input);
    let from = columns(input)?;
    if opt(dash).parse_next(input)?.is_none() {
        return stop(input, "a dash and the last load, as in `build 40-60 kg`");
    }
    let to = columns(input)?;
    let unit = unit(input)?;
    let span = start..at(input);
    let InUnit::Mass(unit) = unit else {
        return percent(input, &from, Some(&to), true, span, of);
    };
    let (from, to) = (masses(input, &from, unit), masses(input, &to, unit));
    if from.len() != to.len() {
        input.state.note(Fault::new(span, "as many columns in the last load as in the first"));
    } else if from.iter().zip(&to).any(|(from, to)| from > to) {
        input.state.note(Fault::new(span, "loads that build: the low end first"));
    }
    Ok(Some(WrittenLoad::Build { from, to, unit }))
}

/// A load without a word before it.
fn numbers<'i>(input: &mut Input<'i>, of: Of) -> Parsed<Option<WrittenLoad>> {
    if !number_next(input) {
        return stop(input, LOAD);
    }
    blank(input)?;
    let start = at(input);
    let mut steps = vec![columns(input)?];
    if opt(dash).parse_next(input)?.is_some() {
        let to = columns(input)?;
        return match unit(input)? {
            InUnit::Percent => percent(input, &steps[0], Some(&to), false, start..at(input), of),
            InUnit::Mass(_) => {
                Fault::new(start..at(input), "one load, or `build` before the range where it rises set by set").stop()
            }
        };
    }
    // `60 kg, 70 kg` may repeat the unit; `60, 70 kg` says it once.
    let mut known = opt(unit).parse_next(input)?;
    while another(input) {
        sign(',').parse_next(input)?;
        if !left(input).starts_with(char::is_whitespace) {
            return stop(input, "a blank between loads, as in `60, 70 kg`; decimals take a point, as in `62.5 kg`");
        }
        steps.push(columns(input)?);
        let again = opt(unit).parse_next(input)?;
        if let (Some(InUnit::Mass(a)), Some(InUnit::Mass(b))) = (known, again)
            && a != b
        {
            return Fault::new(start..at(input), "loads in one unit").stop();
        }
        known = again.or(known);
        if steps.len() > bounds::MAX_STEPS {
            return Fault::new(start..at(input), format!("at most {} loads in a row", bounds::MAX_STEPS)).stop();
        }
    }
    let Some(unit) = known else {
        if left(input).trim_start().starts_with(char::is_alphabetic) {
            return stop(input, UNIT);
        }
        return Fault::new(start..at(input), UNIT).stop();
    };
    let span = start..at(input);
    let InUnit::Mass(unit) = unit else {
        if steps.len() > 1 {
            return Fault::new(span, "one percentage, or `build 60-80%` where it rises").stop();
        }
        return percent(input, &steps[0], None, false, span, of);
    };
    let steps: Vec<Vec<u32>> = steps.iter().map(|step| masses(input, step, unit)).collect();
    if steps.iter().any(|step| step.len() != steps[0].len()) {
        input.state.note(Fault::new(span, "as many columns in every load as in the first"));
    }
    Ok(Some(WrittenLoad::Masses { steps, unit }))
}

/// True where a comma and another number follow, and not an effort.
fn another(input: &Input<'_>) -> bool {
    let rest = left(input).trim_start().strip_prefix(',');
    rest.is_some_and(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit()))
}

fn columns<'i>(input: &mut Input<'i>) -> Parsed<Vec<Number<'i>>> {
    let mut columns = Vec::new();
    loop {
        if !number_next(input) {
            return stop(input, "a number");
        }
        columns.push(number(input)?);
        if columns.len() > bounds::MAX_COLUMNS {
            let span = columns[0].span.start..at(input);
            return Fault::new(span, format!("at most {} load columns", bounds::MAX_COLUMNS)).stop();
        }
        if opt(sign('/')).parse_next(input)?.is_none() {
            return Ok(columns);
        }
    }
}

fn unit(input: &mut Input<'_>) -> Parsed<InUnit> {
    if opt(sign('%')).parse_next(input)?.is_some() {
        return Ok(InUnit::Percent);
    }
    one_word(UNITS).context(UNIT).parse_next(input)
}

fn masses(input: &Input<'_>, columns: &[Number<'_>], unit: Unit) -> Vec<u32> {
    let expected = match unit {
        Unit::Kilograms => "a load from 0.25 kg to 500 kg, with at most two decimals",
        Unit::Pounds => "a load from 0.56 lb to 1102 lb (0.25 kg to 500 kg), with at most two decimals",
    };
    let mass = |column: &Number<'_>| {
        let hundredths = column.within(input, 2, 1, &(1..=1_000_000), expected);
        if !bounds::LOAD_GRAMS.contains(&u64::from(unit.to_mass(hundredths).grams())) {
            let span = column.span.clone();
            // `within` has noted what it refused.
            if input.state.faults.borrow().last().is_none_or(|fault| fault.span != span) {
                input.state.note(Fault::new(span, expected));
            }
        }
        hundredths
    };
    columns.iter().map(mass).collect()
}

fn percent(
    input: &mut Input<'_>,
    low: &[Number<'_>],
    high: Option<&[Number<'_>]>,
    build: bool,
    span: Range<usize>,
    of: Of,
) -> Parsed<Option<WrittenLoad>> {
    let high = high.unwrap_or(low);
    let ([low], [high]) = (low, high) else {
        return Fault::new(span, "one percentage for everybody; columns take `kg` or `lb`").stop();
    };
    let same = low.span == high.span;
    let low = low.within(input, 1, 1, &bounds::PERMILLE, PERCENT);
    let high = if same { low } else { high.within(input, 1, 1, &bounds::PERMILLE, PERCENT) };
    if low > high {
        input.state.note(Fault::new(span.clone(), "a range with its low end first, such as 65-75%"));
    }
    let said = opt(preceded(words("of"), names::movement)).parse_next(input)?;
    let of = match (said, of) {
        (Some(said), _) => said,
        (None, Of::Movement(ix)) => Some(ix),
        (None, Of::Unknown) => None,
        (None, Of::Open) => {
            input.state.note(Fault::new(span, "`of` and a movement after the percentage, as in `70% of back squat`"));
            None
        }
    };
    // Where no movement is known a fault has been noted, and the item is dropped.
    Ok(of.map(|of| WrittenLoad::Percent { low_permille: low, high_permille: high, of, build }))
}
