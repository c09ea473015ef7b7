//! Load, repetitions, sets and rest by what the training is for.
//!
//! Haff and Triplett (eds), Essentials of Strength Training and Conditioning, 4th ed., 2016: its tables of load and
//! repetitions, of sets and of rest. Seen in a study guide; another page of the same guide gives longer rests for
//! endurance (30 to 60 s) and for muscle size (2 to 3 min).

use super::Span;

/// Where the table was published.
pub const SOURCE: &str = "Essentials of Strength Training and Conditioning, 4th ed., 2016";

/// What one goal asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Goal {
    /// Stable name.
    pub id: &'static str,
    /// Percent of the best.
    pub percent: Span,
    /// Repetitions in a set.
    pub reps: Span,
    /// Sets, after warming up.
    pub sets: Span,
    /// Seconds between sets.
    pub rest_s: Span,
}

/// The goals, heaviest loads first.
pub const GOALS: [Goal; 5] = [
    Goal {
        id: "strength",
        percent: Span::at_least(85),
        reps: Span::at_most(6),
        sets: Span::of(2, 6),
        rest_s: Span::of(120, 300),
    },
    Goal {
        id: "power-single-effort",
        percent: Span::of(80, 90),
        reps: Span::of(1, 2),
        sets: Span::of(3, 5),
        rest_s: Span::of(120, 300),
    },
    Goal {
        id: "power-multi-effort",
        percent: Span::of(75, 85),
        reps: Span::of(3, 5),
        sets: Span::of(3, 5),
        rest_s: Span::of(120, 300),
    },
    Goal {
        id: "hypertrophy",
        percent: Span::of(67, 85),
        reps: Span::of(6, 12),
        sets: Span::of(3, 6),
        rest_s: Span::of(30, 90),
    },
    Goal {
        id: "muscular-endurance",
        percent: Span::at_most(67),
        reps: Span::at_least(12),
        sets: Span::of(2, 3),
        rest_s: Span::at_most(30),
    },
];

/// The goal of a name.
pub fn goal(id: &str) -> Option<Goal> {
    GOALS.into_iter().find(|goal| goal.id == id)
}
