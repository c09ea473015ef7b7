//! Numbers in a coach's words.

use classwright_training::session::{Scheme, Team};
use classwright_training::{Amount, Load, Mass, Measure, MovementLibrary, Part, Piece, Sides};

/// Minutes and seconds: `12:05`.
pub fn clock(seconds: u32) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// A part's heading: its kind or name, and how it runs.
pub(super) fn heading(part: &Part) -> String {
    let kind = part.kind.id();
    let mut title = kind[..1].to_uppercase() + &kind[1..];
    if let Some(name) = &part.name {
        title = format!("{title}, {name}");
    }
    match part.team {
        Team::Alone => format!("{title}: {}", scheme(&part.scheme)),
        Team::Pairs => format!("{title}: {}, in pairs", scheme(&part.scheme)),
        Team::Relay(size) => format!("{title}: {}, relay in teams of {size}", scheme(&part.scheme)),
    }
}

fn scheme(scheme: &Scheme) -> String {
    let rounds = |n: &u32| if *n == 1 { "1 round".to_owned() } else { format!("{n} rounds") };
    let rest = |s: &u32| if *s == 0 { String::new() } else { format!(", rest {}", clock(*s)) };
    let cap = |s: &Option<u32>| s.map_or(String::new(), |s| format!(", cap {}", clock(s)));
    match scheme {
        Scheme::Rounds { rounds: n, rest_s } => format!("{}{}", rounds(n), rest(rest_s)),
        Scheme::Sets { sets, rest_s, rest_most_s: None } => format!("{sets} sets{}", rest(rest_s)),
        Scheme::Sets { sets, rest_s, rest_most_s: Some(most) } => {
            format!("{sets} sets, rest {}-{}", clock(*rest_s), clock(*most))
        }
        Scheme::IntervalSets { every_s, sets } => format!("every {} x {sets}", clock(*every_s)),
        Scheme::ForTime { rounds: 1, rest_s, cap_s } => format!("for time{}{}", rest(rest_s), cap(cap_s)),
        Scheme::ForTime { rounds: n, rest_s, cap_s } => {
            format!("{} for time{}{}", rounds(n), rest(rest_s), cap(cap_s))
        }
        Scheme::RepsForTime { reps, cap_s } => format!("{} for time{}", dashes(reps), cap(cap_s)),
        Scheme::AsManyRounds { limit_s } => format!("as many rounds as possible in {}", clock(*limit_s)),
        Scheme::EveryMinute { total_s } => format!("every minute for {}", clock(*total_s)),
        Scheme::WorkRest { intervals, work_s, rest_s } => {
            format!("{intervals} x {} work, {} rest", clock(*work_s), clock(*rest_s))
        }
        Scheme::Ladder { from, step, limit_s } => format!("ladder from {from} by {step} in {}", clock(*limit_s)),
    }
}

/// The rounds, sets, intervals or minutes that a heading within a part names.
pub(super) fn only_in(scheme: &Scheme, (first, last): (u32, u32)) -> String {
    let word = match scheme {
        Scheme::Sets { .. } => "set",
        Scheme::IntervalSets { .. } | Scheme::WorkRest { .. } => "interval",
        Scheme::EveryMinute { .. } => "minute",
        _ => "round",
    };
    if first == last { format!("{word} {first}") } else { format!("{word}s {first}-{last}") }
}

/// A piece without its load: `8-10 back squat`, `12-9-6 pull-up`.
pub(super) fn piece(library: &MovementLibrary, piece: &Piece, by_round: &[u32]) -> String {
    let name = &library.movement(piece.movement).name;
    if piece.amount.high == 0 {
        return format!("as many as you can: {name}{}", aim(piece));
    }
    let amount = if by_round.is_empty() { amount(piece.amount) } else { dashes(by_round) };
    // The name may say already how the sides are shared.
    let amount = amount.strip_suffix(" alternating").filter(|_| name.contains("alternating")).unwrap_or(&amount);
    format!("{amount} {name}{}", aim(piece))
}

/// Range of movement and effort, where they say something.
fn aim(piece: &Piece) -> String {
    let range = match piece.range_percent {
        100 => String::new(),
        percent => format!(", {percent} % of the range"),
    };
    let effort = match piece.effort_tenths {
        0 => String::new(),
        tenths => format!(", effort {} of 10", f64::from(tenths) / 10.0),
    };
    format!("{range}{effort}")
}

/// A piece with its load and how often it is done.
pub(super) fn piece_with_load(library: &MovementLibrary, of: &Piece) -> String {
    let load = match &of.load {
        Load::None => String::new(),
        Load::Ask(_) => ", load to be asked".into(),
        Load::Known { each_time, .. } => match (each_time.first(), each_time.iter().max()) {
            (Some(first), Some(top)) if first != top => format!(" at {} to {} kg", tenths(*first), tenths(*top)),
            (Some(first), _) => format!(" at {} kg", tenths(*first)),
            (None, _) => String::new(),
        },
    };
    let times = if of.times > 1 { format!("{} x ", of.times) } else { String::new() };
    format!("{times}{}{load}", piece(library, of, &[]))
}

/// Kilograms to the tenth: loads on their way to what can be made.
fn tenths(mass: Mass) -> f64 {
    (mass.kg() * 10.0).round() / 10.0
}

fn amount(amount: Amount) -> String {
    let Amount { low, high, measure, sides } = amount;
    let number = |n: u32| if measure == Measure::Seconds { clock(n) } else { n.to_string() };
    let many = match (low, high) {
        (low, high) if low == high => number(high),
        (low, high) => format!("{}-{}", number(low), number(high)),
    };
    let unit = match measure {
        Measure::Repetitions | Measure::Seconds => "",
        Measure::Metres => " m",
        Measure::Calories => " cal",
    };
    let sides = match sides {
        Sides::Both => "",
        Sides::Each => " a side",
        Sides::Alternating => " alternating",
    };
    format!("{many}{unit}{sides}")
}

/// Id of a measure.
pub(super) const fn measure(measure: Measure) -> &'static str {
    match measure {
        Measure::Repetitions => "repetitions",
        Measure::Seconds => "seconds",
        Measure::Metres => "metres",
        Measure::Calories => "calories",
    }
}

/// Id of a way to share an amount between the sides.
pub(super) const fn sides(sides: Sides) -> &'static str {
    match sides {
        Sides::Both => "both",
        Sides::Each => "each",
        Sides::Alternating => "alternating",
    }
}

fn dashes(numbers: &[u32]) -> String {
    numbers.iter().map(u32::to_string).collect::<Vec<_>>().join("-")
}
