//! When to add load, and how much.
//!
//! ACSM position stand, Ratamess et al., Med Sci Sports Exerc 41(3):687-708, 2009: 2 to 10 % more once the athlete
//! does one or two repetitions over the goal. The rule of two for two is from Baechle and Earle (eds), Essentials of
//! Strength Training and Conditioning. These are proposals to a coach; nothing here raises a load by itself.

use super::{OutOfRange, Span, above_zero};

/// Where it was published.
pub const SOURCE: &str = "ACSM position stand, Ratamess et al., Med Sci Sports Exerc 41(3):687-708, 2009";

/// Seconds of rest between heavy sets (one to six repetitions) of core lifts.
pub const HEAVY_REST_S: Span = Span::of(180, 300);

/// Seconds up, and as many down, at a moderate speed.
pub const MODERATE_PHASE_S: Span = Span::of(1, 2);

/// Thousandths that a load rises at once.
pub const RISE_PERMILLE: Span = Span::of(20, 100);

/// How used an athlete is to training.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// New to it, or back after years.
    Novice,
    /// About half a year in.
    Intermediate,
    /// Years in.
    Advanced,
}

impl Status {
    /// Sessions a week. Only the first row was seen in print with its label.
    pub const fn sessions_a_week(self) -> Span {
        match self {
            Status::Novice => Span::of(2, 3),
            Status::Intermediate => Span::of(3, 4),
            Status::Advanced => Span::of(4, 5),
        }
    }
}

/// The least and the most of the next load, in the unit of the load.
pub fn next_load(load: f64) -> Result<(f64, f64), OutOfRange> {
    let load = above_zero("load", load)?;
    Ok((load * 1020.0 / 1000.0, load * 1100.0 / 1000.0))
}

/// True where the last set was two or more over the goal in the last two sessions, the latest last.
pub fn two_for_two(goal: u32, last_sets: &[u32]) -> bool {
    match last_sets {
        [.., before, latest] => [before, latest].iter().all(|reps| **reps >= goal.saturating_add(2)),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_session_is_not_enough() {
        assert!(!two_for_two(10, &[]));
        assert!(!two_for_two(10, &[14]));
        assert!(!two_for_two(10, &[12, 11]));
        assert!(!two_for_two(10, &[12, 12, 11]));
        assert!(two_for_two(10, &[8, 12, 13]));
    }
}
