//! How a part runs: the text after the colon of its heading.

use std::ops::RangeInclusive;

use winnow::Parser;
use winnow::combinator::{opt, preceded};

use super::bounds::{self, ROUNDS, SECONDS};
use super::error::{Fault, Parsed};
use super::tokens::{
    Input, at, blank, dash, duration, end, here, left, number, number_next, one_word, sign, stop, words,
};
use crate::session::Scheme;

const SHAPES: &str = "a scheme such as `3 rounds`, `5 sets, rest 2:00`, `every 2:00 x 6`, \
    `4 rounds for time, cap 12:00`, `12-9-6 for time`, `as many rounds as possible in 12:00`, \
    `every minute for 12:00`, `5 x 3:00 work, 1:00 rest` or `ladder from 2 by 2 in 10:00`";
const TIME: &str = "a time from 0:01 to 120:00, such as `1:30`";
const REST: &str = "a rest from 0:01 to 120:00, such as `1:30`";
const COUNT: &str = "a whole number from 1 to 100";
const REPS: &str = "a whole number of repetitions from 1 to 1000";

/// The scheme, to the end of the line.
pub(super) fn scheme(input: &mut Input<'_>) -> Parsed<Scheme> {
    let scheme = if opt(words("for time")).parse_next(input)?.is_some() {
        for_time(input, 1)?
    } else if opt(words("as many rounds as possible")).parse_next(input)?.is_some()
        || opt(words("as many rounds and reps as possible")).parse_next(input)?.is_some()
    {
        words("in").context("`in` and a time, such as `in 12:00`").parse_next(input)?;
        Scheme::AsManyRounds { limit_s: time(input)? }
    } else if opt(words("every minute")).parse_next(input)?.is_some() {
        every_minute(input)?
    } else if opt(words("every")).parse_next(input)?.is_some() {
        let every_s = time(input)?;
        one_word(&[("x", ()), ("×", ()), ("for", ())])
            .context("`x` and how many, as in `every 2:00 x 6`")
            .parse_next(input)?;
        let sets = count(input)?;
        opt(one_word(SETS)).parse_next(input)?;
        Scheme::IntervalSets { every_s, sets }
    } else if opt(words("ladder")).parse_next(input)?.is_some() {
        ladder(input)?
    } else if number_next(input) {
        counted(input)?
    } else {
        let start = here(input).start;
        return Fault::new(start..start + left(input).trim().len(), SHAPES).stop();
    };
    end(input, "the end of the scheme")?;
    Ok(scheme)
}

const SETS: &[(&str, ())] = &[("sets", ()), ("set", ())];
const ROUND_WORDS: &[(&str, ())] = &[("rounds", ()), ("round", ())];

/// Schemes that start with a number.
fn counted(input: &mut Input<'_>) -> Parsed<Scheme> {
    blank(input)?;
    let start = at(input);
    let first = number(input)?;
    if opt(one_word(ROUND_WORDS)).parse_next(input)?.is_some() {
        let rounds = first.within(input, 0, 1, &ROUNDS, COUNT);
        if opt(words("for time")).parse_next(input)?.is_some() {
            return for_time(input, rounds);
        }
        let rest_s = rest(input)?.map_or(0, |(least, _)| least);
        return Ok(Scheme::Rounds { rounds, rest_s });
    }
    if opt(one_word(SETS)).parse_next(input)?.is_some() {
        let sets = first.within(input, 0, 1, &ROUNDS, COUNT);
        let (rest_s, rest_most_s) = rest_range(input)?;
        return Ok(Scheme::Sets { sets, rest_s, rest_most_s });
    }
    if opt(one_word(&[("x", ()), ("×", ())])).parse_next(input)?.is_some() {
        let intervals = first.within(input, 0, 1, &ROUNDS, COUNT);
        let work_s = time(input)?;
        words("work").context("`work`, as in `5 x 3:00 work, 1:00 rest`").parse_next(input)?;
        let rest_s = match opt(sign(',')).parse_next(input)? {
            None => 0,
            Some(()) => {
                let rest_s = duration(input, &SECONDS, REST)?;
                words("rest").context("`rest`, as in `5 x 3:00 work, 1:00 rest`").parse_next(input)?;
                rest_s
            }
        };
        return Ok(Scheme::WorkRest { intervals, work_s, rest_s });
    }
    let mut reps = vec![first.within(input, 0, 1, &bounds::REPS, REPS)];
    while opt(dash).parse_next(input)?.is_some() {
        if !number_next(input) {
            return stop(input, REPS);
        }
        reps.push(number(input)?.within(input, 0, 1, &bounds::REPS, REPS));
    }
    if reps.len() > bounds::MAX_STEPS {
        return Fault::new(start..at(input), format!("at most {} rounds", bounds::MAX_STEPS)).stop();
    }
    if opt(words("for time")).parse_next(input)?.is_none() {
        let expected = match reps.len() {
            1 => "`rounds`, `sets`, `x` or `for time` after the number",
            _ => "`for time` after the repetitions of each round, as in `12-9-6 for time`",
        };
        return stop(input, expected);
    }
    let cap_s = cap(input)?;
    Ok(Scheme::RepsForTime { reps, cap_s })
}

fn for_time(input: &mut Input<'_>, rounds: u32) -> Parsed<Scheme> {
    // In either order.
    let mut cap_s = cap(input)?;
    let rest_s = rest(input)?.map_or(0, |(least, _)| least);
    if cap_s.is_none() {
        cap_s = cap(input)?;
    }
    Ok(Scheme::ForTime { rounds, rest_s, cap_s })
}

fn every_minute(input: &mut Input<'_>) -> Parsed<Scheme> {
    words("for").context("`for` and a time, such as `for 12:00`").parse_next(input)?;
    blank(input)?;
    let start = at(input);
    let total_s = time(input)?;
    if total_s % 60 != 0 {
        input.state.note(Fault::new(start..at(input), "whole minutes, such as `12:00`"));
    }
    Ok(Scheme::EveryMinute { total_s })
}

fn ladder(input: &mut Input<'_>) -> Parsed<Scheme> {
    const SHAPE: &str = "the whole of `ladder from 2 by 2 in 10:00`";
    words("from").context(SHAPE).parse_next(input)?;
    let from = whole(input, &bounds::REPS, REPS)?;
    words("by").context(SHAPE).parse_next(input)?;
    let step = whole(input, &bounds::REPS, REPS)?;
    words("in").context(SHAPE).parse_next(input)?;
    Ok(Scheme::Ladder { from, step, limit_s: time(input)? })
}

fn time(input: &mut Input<'_>) -> Parsed<u32> {
    duration(input, &SECONDS, TIME)
}

fn count(input: &mut Input<'_>) -> Parsed<u32> {
    whole(input, &ROUNDS, COUNT)
}

fn whole(input: &mut Input<'_>, bounds: &RangeInclusive<u64>, expected: &str) -> Parsed<u32> {
    if !number_next(input) {
        return stop(input, expected);
    }
    Ok(number(input)?.within(input, 0, 1, bounds, expected))
}

/// `, cap 12:00`, if it stands next.
fn cap(input: &mut Input<'_>) -> Parsed<Option<u32>> {
    match opt(preceded(sign(','), words("cap"))).parse_next(input)? {
        Some(()) => Ok(Some(duration(input, &SECONDS, "a cap from 0:01 to 120:00, such as `12:00`")?)),
        None => Ok(None),
    }
}

/// `, rest 1:00`, if it stands next, with its place.
fn rest(input: &mut Input<'_>) -> Parsed<Option<(u32, usize)>> {
    match opt(preceded(sign(','), words("rest"))).parse_next(input)? {
        Some(()) => {
            blank(input)?;
            let start = at(input);
            Ok(Some((duration(input, &SECONDS, REST)?, start)))
        }
        None => Ok(None),
    }
}

/// `, rest 2:00-3:00`.
fn rest_range(input: &mut Input<'_>) -> Parsed<(u32, Option<u32>)> {
    let Some((least, start)) = rest(input)? else {
        return Ok((0, None));
    };
    if opt(dash).parse_next(input)?.is_none() {
        return Ok((least, None));
    }
    let most = duration(input, &SECONDS, REST)?;
    if most <= least {
        input.state.note(Fault::new(start..at(input), "a longer rest after the dash, as in `rest 2:00-3:00`"));
    }
    Ok((least, Some(most)))
}
