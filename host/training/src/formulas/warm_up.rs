//! The way to a tested best: sets to warm up with, and steps between tries.
//!
//! Baechle and Earle (eds), Essentials of Strength Training and Conditioning, protocol for a one-repetition maximum.
//! A test is the coach's decision and needs spotters; a best can also be estimated, see [`super::bests`].

use super::Span;

/// Where the protocol was published.
pub const SOURCE: &str = "Baechle and Earle (eds), Essentials of Strength Training and Conditioning";

/// Tries within which the best should be found.
pub const MOST_TRIES: u32 = 5;

/// A set on the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WarmUpSet {
    /// Repetitions that go easily, then less so.
    pub reps: Span,
    /// Seconds of rest after it.
    pub rest_s: Span,
}

/// The sets before the first try.
pub const WARM_UP: [WarmUpSet; 3] = [
    WarmUpSet { reps: Span::of(5, 10), rest_s: Span::of(60, 60) },
    WarmUpSet { reps: Span::of(3, 5), rest_s: Span::of(120, 120) },
    WarmUpSet { reps: Span::of(2, 3), rest_s: Span::of(120, 240) },
];

/// Which half of the body lifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// Presses and pulls.
    Upper,
    /// Squats and hinges.
    Lower,
}

/// A step of load, in pounds or in tenths of a percent of the load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Pounds.
    pub pounds: Span,
    /// Tenths of a percent.
    pub permille: Span,
}

impl Half {
    /// Up, after a set or a try that went.
    pub const fn up(self) -> Step {
        match self {
            Half::Upper => Step { pounds: Span::of(10, 20), permille: Span::of(50, 100) },
            Half::Lower => Step { pounds: Span::of(30, 40), permille: Span::of(100, 200) },
        }
    }

    /// Down, after a try that did not.
    pub const fn down(self) -> Step {
        match self {
            Half::Upper => Step { pounds: Span::of(5, 10), permille: Span::of(25, 50) },
            Half::Lower => Step { pounds: Span::of(15, 20), permille: Span::of(50, 100) },
        }
    }
}
