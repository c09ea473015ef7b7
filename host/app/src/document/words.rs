//! Numbers in a coach's words.

use classwright_training::notation;
use classwright_training::session::Scheme;
use classwright_training::time::clock;
use classwright_training::{Amount, Load, Mass, Measure, MovementLibrary, Piece, Sides};

/// The rounds, sets, intervals or minutes that a heading within a part names.
pub(super) fn only_in(scheme: &Scheme, (first, last): (u32, u32)) -> String {
    let word = notation::span_word(scheme).to_lowercase();
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

fn dashes(numbers: &[u32]) -> String {
    numbers.iter().map(u32::to_string).collect::<Vec<_>>().join("-")
}
