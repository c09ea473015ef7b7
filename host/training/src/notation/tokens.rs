//! The smallest pieces of a line: words, numbers, times; and the state that rules share.
//!
//! A rule that cannot go on stops its line with a [`Fault`]. A rule that knows what was meant, but cannot accept it
//! (an unknown name, a number out of bounds), notes the fault and goes on, so that one reading finds every problem.

use std::cell::RefCell;
use std::ops::{Range, RangeInclusive};

use winnow::Parser;
use winnow::ascii::{Caseless, digit1};
use winnow::combinator::{not, opt, preceded};
use winnow::error::ErrMode;
use winnow::stream::{LocatingSlice, Location, Stateful, Stream};
use winnow::token::{literal, one_of, take_while};

use super::error::{Fault, Parsed};
use crate::MovementLibrary;

/// A line being read.
pub(super) type Input<'i> = Stateful<LocatingSlice<&'i str>, State<'i>>;

/// What every rule can see.
#[derive(Clone, Copy, Debug)]
pub(super) struct State<'i> {
    pub(super) library: &'i MovementLibrary,
    /// Faults of the whole file so far.
    pub(super) faults: &'i RefCell<Vec<Fault>>,
    /// Where the line starts in the file.
    pub(super) base: usize,
}

impl<'i> State<'i> {
    /// Reads `text`, which stands at `base`, with a rule. Nothing comes out if anything was wrong in it.
    pub(super) fn read<T>(
        self,
        text: &'i str,
        base: usize,
        rule: impl FnOnce(&mut Input<'i>) -> Parsed<T>,
    ) -> Option<T> {
        let before = self.faults.borrow().len();
        let mut input = Stateful { input: LocatingSlice::new(text), state: State { base, ..self } };
        match rule(&mut input) {
            Ok(value) => (self.faults.borrow().len() == before).then_some(value),
            Err(ErrMode::Backtrack(fault) | ErrMode::Cut(fault)) => {
                self.note(fault);
                None
            }
            Err(ErrMode::Incomplete(_)) => None,
        }
    }

    /// Notes a fault; reading goes on.
    pub(super) fn note(&self, fault: Fault) {
        self.faults.borrow_mut().push(fault);
    }
}

/// Byte of the file where the input stands.
pub(super) fn at(input: &Input<'_>) -> usize {
    input.state.base + input.input.current_token_start()
}

/// What is left of the line.
pub(super) fn left<'i>(input: &Input<'i>) -> &'i str {
    input.input.peek_finish()
}

/// The next word, for a fault to point at.
pub(super) fn here(input: &Input<'_>) -> Range<usize> {
    let left = left(input);
    let word = left.trim_start();
    let start = at(input) + left.len() - word.len();
    let first = word.chars().next().map_or(0, char::len_utf8);
    let len =
        word[first..].find(|c: char| c.is_whitespace() || ",;@()".contains(c)).map_or(word.len(), |at| at + first);
    start..start + len
}

/// Stops the line at the next word.
pub(super) fn stop<T>(input: &Input<'_>, expected: impl Into<String>) -> Parsed<T> {
    Fault::new(here(input), expected).stop()
}

/// Blanks, if any.
pub(super) fn blank(input: &mut Input<'_>) -> Parsed<()> {
    take_while(0.., char::is_whitespace).void().parse_next(input)
}

/// A sign after any blanks.
pub(super) fn sign<'i>(sign: char) -> impl Parser<Input<'i>, (), ErrMode<Fault>> {
    preceded(blank, literal(sign)).void()
}

/// Words in this order, whatever their case, each after any blanks and ended by something else than a letter.
pub(super) fn words<'i>(phrase: &'static str) -> impl Parser<Input<'i>, (), ErrMode<Fault>> {
    move |input: &mut Input<'i>| {
        for word in phrase.split(' ') {
            blank(input)?;
            literal(Caseless(word)).void().parse_next(input)?;
            if word.ends_with(char::is_alphanumeric) {
                not(one_of(char::is_alphanumeric)).parse_next(input)?;
            }
        }
        Ok(())
    }
}

/// One of several words; each with what it stands for.
pub(super) fn one_word<'i, T: Copy>(known: &'static [(&'static str, T)]) -> impl Parser<Input<'i>, T, ErrMode<Fault>> {
    move |input: &mut Input<'i>| {
        for &(phrase, meaning) in known {
            if opt(words(phrase)).parse_next(input)?.is_some() {
                return Ok(meaning);
            }
        }
        Err(ErrMode::Backtrack(Fault::new(here(input), "")))
    }
}

/// The dash of a range.
pub(super) fn dash(input: &mut Input<'_>) -> Parsed<()> {
    (blank, one_of(['-', '–', '—']), blank).void().parse_next(input)
}

/// True where a number, perhaps below zero, is next.
pub(super) fn number_next(input: &Input<'_>) -> bool {
    let left = left(input).trim_start();
    left.trim_start_matches(['-', '−']).starts_with(|c: char| c.is_ascii_digit())
        && left.trim_start_matches(['-', '−']).len() + 3 >= left.len()
}

/// A number as it stands.
#[derive(Clone, Debug)]
pub(super) struct Number<'i> {
    pub(super) span: Range<usize>,
    negative: bool,
    whole: &'i str,
    fraction: &'i str,
}

/// Digits, with a sign and decimals if the coach wrote any.
pub(super) fn number<'i>(input: &mut Input<'i>) -> Parsed<Number<'i>> {
    blank(input)?;
    let start = at(input);
    let (negative, whole, fraction) = (
        opt(one_of(['-', '−'])).map(|sign| sign.is_some()),
        digit1,
        opt(preceded('.', digit1)).map(|digits: Option<&str>| digits.unwrap_or("")),
    )
        .context("a number")
        .parse_next(input)?;
    Ok(Number { span: start..at(input), negative, whole, fraction: fraction.trim_end_matches('0') })
}

impl Number<'_> {
    /// So many decimal places as a whole number, if there are no more and it is not absurdly large.
    fn scaled(&self, places: usize) -> Option<u64> {
        if self.negative || self.fraction.len() > places {
            return None;
        }
        format!("{}{:0<places$}", self.whole, self.fraction).parse().ok()
    }

    /// The number times `factor`, in units of so many decimal places, if it is within the bounds; if not, the fault
    /// is noted and the least allowed stands in.
    pub(super) fn within(
        &self,
        input: &Input<'_>,
        places: usize,
        factor: u64,
        bounds: &RangeInclusive<u64>,
        expected: &str,
    ) -> u32 {
        // Three places more, so that 1.5 km is a whole number of metres.
        let value = self.scaled(places + 3).map(|value| u128::from(value) * u128::from(factor));
        match value.filter(|value| value % 1000 == 0).and_then(|value| u64::try_from(value / 1000).ok()) {
            Some(value) if bounds.contains(&value) => value as u32,
            _ => {
                input.state.note(Fault::new(self.span.clone(), expected));
                *bounds.start() as u32
            }
        }
    }
}

/// A time as m:ss or h:mm:ss, in seconds.
pub(super) fn clock(input: &mut Input<'_>) -> Parsed<(u64, Range<usize>)> {
    blank(input)?;
    let start = at(input);
    let (first, second, third): (&str, &str, Option<&str>) =
        (digit1, preceded(':', digit1), opt(preceded(':', digit1))).context("a time such as 1:30").parse_next(input)?;
    let span = start..at(input);
    let number = |digits: &str| digits.parse::<u64>().unwrap_or(u64::MAX).min(1_000_000);
    let sixty = |digits: &str| digits.len() == 2 && number(digits) < 60;
    if !sixty(second) || !third.is_none_or(sixty) {
        input.state.note(Fault::new(span.clone(), "minutes and two digits of seconds below 60, such as 1:05"));
    }
    let seconds = match third {
        Some(third) => number(first) * 3600 + number(second) * 60 + number(third),
        None => number(first) * 60 + number(second),
    };
    Ok((seconds, span))
}

/// A time, as a clock shows it or as a number with a unit, within bounds.
pub(super) fn duration(input: &mut Input<'_>, bounds: &RangeInclusive<u64>, expected: &str) -> Parsed<u32> {
    if let Some((seconds, span)) = opt(clock).parse_next(input)? {
        if bounds.contains(&seconds) {
            return Ok(seconds as u32);
        }
        input.state.note(Fault::new(span, expected));
        return Ok(*bounds.start() as u32);
    }
    if !number_next(input) {
        return stop(input, expected);
    }
    let number = number(input)?;
    match opt(one_word(TIME_UNITS)).parse_next(input)? {
        Some(factor) => Ok(number.within(input, 0, factor, bounds, expected)),
        None => Fault::new(number.span, expected).stop(),
    }
}

/// Words for units of time, in seconds.
pub(super) const TIME_UNITS: &[(&str, u64)] = &[
    ("s", 1),
    ("sec", 1),
    ("secs", 1),
    ("second", 1),
    ("seconds", 1),
    ("min", 60),
    ("mins", 60),
    ("minute", 60),
    ("minutes", 60),
];

/// The end of the line.
pub(super) fn end(input: &mut Input<'_>, expected: &str) -> Parsed<()> {
    blank(input)?;
    if left(input).is_empty() {
        return Ok(());
    }
    let all = left(input).trim_end();
    Fault::new(at(input)..at(input) + all.len(), expected).stop()
}
