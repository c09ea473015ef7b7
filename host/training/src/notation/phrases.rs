//! The pieces of a line in their canonical form: replacements, amounts, loads, schemes, times.

use std::fmt::Write;

use super::names::{longest, written};
use crate::session::{Amount, Measure, Replacement, Scheme, WrittenLoad};
use crate::time::clock;
use crate::{MovementIx, MovementLibrary, Sides};

/// What is done instead.
pub(super) fn replacement(library: &MovementLibrary, instead: &Replacement) -> String {
    let mut text = match (instead.amount, instead.movement) {
        (amount, Some(movement)) => measured(library, amount, "", movement),
        (Some(amount), None) => alone(amount),
        (None, None) => String::new(),
    };
    if instead.add_reps != 0 {
        let comma = if text.is_empty() { "" } else { ", " };
        text += &format!("{comma}{:+} reps", instead.add_reps);
    }
    if let Some(written) = &instead.load {
        let blank = if text.is_empty() { "" } else { " " };
        text += &format!("{blank}@ {}", load(library, written));
    }
    text
}

/// A movement after its amount.
pub(super) fn measured(
    library: &MovementLibrary,
    amount: Option<Amount>,
    either: &str,
    movement: MovementIx,
) -> String {
    let name = written(library, movement);
    let Some(amount) = amount else {
        return format!("{either}{name}");
    };
    // `12 alternating swing` would be another movement if there is an `alternating swing`.
    let clash = amount.sides == Sides::Alternating && longest(library, &format!("alternating {name}")).is_some();
    match clash {
        true => format!("{}/alternating {either}{name}", alone(Amount { sides: Sides::Both, ..amount })),
        false => format!("{} {either}{name}", alone(amount)),
    }
}

/// An amount.
fn alone(amount: Amount) -> String {
    let sides = match amount.sides {
        Sides::Both => "",
        Sides::Each => "/side",
        Sides::Alternating => " alternating",
    };
    let range = |show: &dyn Fn(u32) -> String| match amount.low == amount.high {
        true => show(amount.low),
        false => format!("{}-{}", show(amount.low), show(amount.high)),
    };
    let unit = match amount.measure {
        Measure::Repetitions | Measure::Seconds => "",
        Measure::Metres => " m",
        Measure::Calories => " cal",
    };
    if amount.high == 0 {
        let unit = if amount.measure == Measure::Seconds { " s" } else { unit };
        return format!("max{unit}{sides}");
    }
    match amount.measure {
        Measure::Seconds => format!("{}{sides}", range(&clock)),
        _ => format!("{}{unit}{sides}", range(&|number| number.to_string())),
    }
}

/// A load, as it stands after the `@`.
pub(super) fn load(library: &MovementLibrary, load: &WrittenLoad) -> String {
    let columns = |columns: &[u32]| columns.iter().map(|&mass| decimal(mass, 100)).collect::<Vec<_>>().join("/");
    match load {
        WrittenLoad::Bodyweight => "bodyweight".into(),
        WrittenLoad::EmptyBar => "empty bar".into(),
        WrittenLoad::Masses { steps, unit } => {
            let steps: Vec<String> = steps.iter().map(|step| columns(step)).collect();
            format!("{} {}", steps.join(", "), unit.symbol())
        }
        WrittenLoad::Build { from, to, unit } => format!("build {}-{} {}", columns(from), columns(to), unit.symbol()),
        WrittenLoad::Percent { low_permille, high_permille, of, build } => {
            let word = if *build { "build " } else { "" };
            let (low, high) = (decimal(*low_permille, 10), decimal(*high_permille, 10));
            let range = if low == high && !build { low } else { format!("{low}-{high}") };
            format!("{word}{range}% of {}", written(library, *of))
        }
    }
}

/// How a part runs, as it stands after the colon.
pub(super) fn scheme(scheme: &Scheme) -> String {
    let mut text = String::new();
    let mut say = |words: std::fmt::Arguments<'_>| text.write_fmt(words).expect("a string takes everything");
    let (rest, cap) = match scheme {
        Scheme::Rounds { rounds, rest_s } => {
            say(format_args!("{rounds} {}", if *rounds == 1 { "round" } else { "rounds" }));
            (*rest_s, None)
        }
        Scheme::Sets { sets, rest_s, .. } => {
            say(format_args!("{sets} {}", if *sets == 1 { "set" } else { "sets" }));
            (*rest_s, None)
        }
        Scheme::ForTime { rounds, rest_s, cap_s } => {
            match rounds {
                1 => say(format_args!("for time")),
                _ => say(format_args!("{rounds} rounds for time")),
            }
            (*rest_s, *cap_s)
        }
        Scheme::RepsForTime { reps, cap_s } => {
            let reps: Vec<String> = reps.iter().map(u32::to_string).collect();
            say(format_args!("{} for time", reps.join("-")));
            (0, *cap_s)
        }
        Scheme::IntervalSets { every_s, sets } => {
            say(format_args!("every {} x {sets}", clock(*every_s)));
            (0, None)
        }
        Scheme::AsManyRounds { limit_s } => {
            say(format_args!("as many rounds as possible in {}", clock(*limit_s)));
            (0, None)
        }
        Scheme::EveryMinute { total_s } => {
            say(format_args!("every minute for {}", clock(*total_s)));
            (0, None)
        }
        Scheme::WorkRest { intervals, work_s, rest_s } => {
            say(format_args!("{intervals} x {} work", clock(*work_s)));
            if *rest_s > 0 {
                say(format_args!(", {} rest", clock(*rest_s)));
            }
            (0, None)
        }
        Scheme::Ladder { from, step, limit_s } => {
            say(format_args!("ladder from {from} by {step} in {}", clock(*limit_s)));
            (0, None)
        }
    };
    if rest > 0 {
        say(format_args!(", rest {}", clock(rest)));
    }
    if let Scheme::Sets { rest_most_s: Some(most), .. } = scheme {
        say(format_args!("-{}", clock(*most)));
    }
    if let Some(cap) = cap {
        say(format_args!(", cap {}", clock(cap)));
    }
    text
}

/// A number of so-manieths with no more decimals than needed.
pub(super) fn decimal(number: u32, parts: u32) -> String {
    let places = parts.ilog10() as usize;
    let text = format!("{}.{:0places$}", number / parts, number % parts);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
