//! Amounts: `12`, `8-10`, `6/side`, `12 alternating`, `0:30`, `200 m`, `15 cal`, `max`.

use std::ops::Range;

use winnow::Parser;
use winnow::combinator::{opt, preceded};

use super::bounds;
use super::error::{Fault, Parsed};
use super::names::{alternating, longest};
use super::tokens::{Input, at, blank, clock, dash, left, number, number_next, one_word, words};
use crate::{Amount, Measure, Movement, Sides};

/// An amount as it stands: what a plain `max` counts depends on the movement that follows.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    low: u32,
    high: u32,
    measure: Option<Measure>,
    sides: Option<Sides>,
    pub(super) span: Range<usize>,
}

/// Units with the measure, and how many of it one is.
const UNITS: &[(&str, (Measure, u64))] = &[
    ("reps", (Measure::Repetitions, 1)),
    ("rep", (Measure::Repetitions, 1)),
    ("repetitions", (Measure::Repetitions, 1)),
    ("s", (Measure::Seconds, 1)),
    ("sec", (Measure::Seconds, 1)),
    ("secs", (Measure::Seconds, 1)),
    ("second", (Measure::Seconds, 1)),
    ("seconds", (Measure::Seconds, 1)),
    ("min", (Measure::Seconds, 60)),
    ("mins", (Measure::Seconds, 60)),
    ("minute", (Measure::Seconds, 60)),
    ("minutes", (Measure::Seconds, 60)),
    ("m", (Measure::Metres, 1)),
    ("metre", (Measure::Metres, 1)),
    ("metres", (Measure::Metres, 1)),
    ("meter", (Measure::Metres, 1)),
    ("meters", (Measure::Metres, 1)),
    ("km", (Measure::Metres, 1000)),
    ("cal", (Measure::Calories, 1)),
    ("cals", (Measure::Calories, 1)),
    ("calorie", (Measure::Calories, 1)),
    ("calories", (Measure::Calories, 1)),
];

const SIDES: &[(&str, Sides)] = &[
    ("per side", Sides::Each),
    ("each side", Sides::Each),
    ("a side", Sides::Each),
    ("/ side", Sides::Each),
    // For movements whose name with `alternating` is another's.
    ("/ alternating", Sides::Alternating),
];

/// The amount that stands next; `None` where no amount does.
pub(super) fn amount(input: &mut Input<'_>) -> Parsed<Option<Draft>> {
    blank(input)?;
    let start = at(input);
    if number_next(input) && longest(input.state.library, left(input)).is_some() {
        // A name that starts with digits.
        return Ok(None);
    }
    let (low, high, measure) = if opt(words("max")).parse_next(input)?.is_some() {
        (0, 0, opt(one_word(UNITS)).parse_next(input)?.map(|(measure, _)| measure))
    } else if !number_next(input) {
        return Ok(None);
    } else if let Some((low, span)) = opt(clock).parse_next(input)? {
        let high = opt(preceded(dash, clock)).parse_next(input)?;
        let within = |value: u64, span| {
            if bounds::SECONDS.contains(&value) {
                return value as u32;
            }
            input.state.note(Fault::new(span, bounds::said(Measure::Seconds)));
            *bounds::SECONDS.start() as u32
        };
        let low = within(low, span);
        (low, high.map_or(low, |(high, span)| within(high, span)), Some(Measure::Seconds))
    } else {
        let low = number(input)?;
        let high = opt(preceded(dash, number)).parse_next(input)?;
        let (measure, factor) = opt(one_word(UNITS)).parse_next(input)?.unwrap_or((Measure::Repetitions, 1));
        let within = |number: super::tokens::Number<'_>| {
            number.within(input, 0, factor, &bounds::of(measure), bounds::said(measure))
        };
        let low = within(low);
        (low, high.map_or(low, within), Some(measure))
    };
    if low > high {
        input.state.note(Fault::new(start..at(input), "a range with its low end first, such as 8-10"));
    }
    let mut draft = Draft { low, high, measure, sides: None, span: start..at(input) };
    sides(input, &mut draft)?;
    Ok(Some(draft))
}

/// How the amount is shared between the sides, where that stands next.
fn sides(input: &mut Input<'_>, draft: &mut Draft) -> Parsed<()> {
    let each = opt(one_word(SIDES)).parse_next(input)?;
    let found = match each {
        None if alternating(input)? => Some(Sides::Alternating),
        found => found,
    };
    if found.is_some() {
        draft.sides = found;
        draft.span.end = at(input);
    }
    Ok(())
}

/// The same after the name of the movement, as in `6 reverse lunge per side`.
pub(super) fn sides_after(input: &mut Input<'_>, draft: Option<&mut Draft>) -> Parsed<()> {
    blank(input)?;
    let start = at(input);
    let mut after = Draft { low: 0, high: 0, measure: None, sides: None, span: start..start };
    sides(input, &mut after)?;
    match (after.sides, draft) {
        (None, _) => {}
        (found, Some(draft)) if draft.sides.is_none() => draft.sides = found,
        _ => input.state.note(Fault::new(after.span, "the sides once, and only with an amount")),
    }
    Ok(())
}

impl Draft {
    /// The amount, of the movement if that is known.
    pub(super) fn of(&self, movement: Option<&Movement>) -> Amount {
        let measure = self.measure.unwrap_or_else(|| movement.map_or(Measure::Repetitions, counted_in));
        Amount { low: self.low, high: self.high, measure, sides: self.sides.unwrap_or(Sides::Both) }
    }
}

/// What a plain `max` counts.
fn counted_in(movement: &Movement) -> Measure {
    [Measure::Repetitions, Measure::Calories, Measure::Metres, Measure::Seconds]
        .into_iter()
        .find(|&measure| can(movement, measure))
        .unwrap_or(Measure::Repetitions)
}

/// True where the movement can be measured so.
pub(super) fn can(movement: &Movement, measure: Measure) -> bool {
    match measure {
        Measure::Repetitions => movement.rep.is_some(),
        Measure::Seconds => movement.timed,
        Measure::Metres => movement.metre.is_some(),
        Measure::Calories => movement.calorie.is_some(),
    }
}

/// What the movement can be measured in, in words.
pub(super) fn can_in_words(movement: &Movement) -> String {
    let words = [
        (Measure::Repetitions, "repetitions (`12`)"),
        (Measure::Seconds, "a time (`0:30`)"),
        (Measure::Metres, "metres (`200 m`)"),
        (Measure::Calories, "calories (`15 cal`)"),
    ];
    let known: Vec<&str> =
        words.into_iter().filter(|&(measure, _)| can(movement, measure)).map(|(_, word)| word).collect();
    match known.is_empty() {
        true => format!("another movement: nothing is known to measure {} in", movement.name),
        false => format!("{} in {}", movement.name, known.join(" or ")),
    }
}
