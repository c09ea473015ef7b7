//! The load of a session and of a week, by the athlete's own rating of each session.
//!
//! Foster et al., J Strength Cond Res 15(1):109-115, 2001, and Foster, Med Sci Sports Exerc 30:1164-1168, 1998: load
//! is rating (0 to 10) times minutes; monotony is the mean day over the standard deviation of the days, rest days
//! counted as 0; strain is load times monotony. Which deviation was meant is not printed, and it moves monotony by
//! 8 % over a week, so it is a choice: of a sample unless said otherwise. Days that are all alike have no monotony.

use super::OutOfRange;

/// Where it was published.
pub const SOURCE: &str = "Foster et al., J Strength Cond Res 15(1):109-115, 2001";

/// Which standard deviation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Deviation {
    /// Over one day fewer than there are.
    #[default]
    Sample,
    /// Over all days.
    Population,
}

/// What a week comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Week {
    /// All days together.
    pub load: f64,
    /// Of a day.
    pub mean: f64,
    /// Of the days.
    pub deviation: f64,
    /// Mean over deviation; `None` where all days are alike.
    pub monotony: Option<f64>,
    /// Load times monotony; `None` where there is no monotony.
    pub strain: Option<f64>,
}

/// Load of one session: a rating of 0 to 10 times minutes.
pub fn session_load(rating: f64, minutes: f64) -> Result<f64, OutOfRange> {
    if !(0.0..=10.0).contains(&rating) {
        return Err(OutOfRange { what: "rating", range: "0 to 10", given: rating });
    }
    if !(minutes.is_finite() && minutes >= 0.0) {
        return Err(OutOfRange { what: "minutes", range: "0 or more", given: minutes });
    }
    Ok(rating * minutes)
}

/// Load, monotony and strain of seven daily loads, rest days as 0.
pub fn week(days: &[f64; 7], deviation: Deviation) -> Result<Week, OutOfRange> {
    if let Some(&given) = days.iter().find(|day| !(day.is_finite() && **day >= 0.0)) {
        return Err(OutOfRange { what: "daily load", range: "0 or more", given });
    }
    let count = 7.0;
    let load: f64 = days.iter().sum();
    let mean = load / count;
    let squares: f64 = days.iter().map(|day| (day - mean).powi(2)).sum();
    let over = match deviation {
        Deviation::Sample => count - 1.0,
        Deviation::Population => count,
    };
    let deviation = (squares / over).sqrt();
    // Asked of the days themselves: the deviation of equal days may come out a hair above zero.
    let alike = days.iter().all(|day| *day == days[0]);
    let monotony = (!alike).then_some(mean / deviation).filter(|monotony| monotony.is_finite());
    Ok(Week { load, mean, deviation, monotony, strain: monotony.map(|monotony| load * monotony) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_are_alike_have_no_monotony() {
        for day in [0.0, 0.1, 300.0] {
            let week = week(&[day; 7], Deviation::Sample).expect("in range");
            assert_eq!((week.monotony, week.strain), (None, None), "{day}");
        }
    }

    #[test]
    fn loads_that_are_none_are_refused() {
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(week(&[300.0, bad, 0.0, 0.0, 0.0, 0.0, 0.0], Deviation::Sample).is_err());
            assert!(session_load(7.0, bad).is_err());
        }
        assert!(session_load(10.5, 60.0).is_err());
    }
}
