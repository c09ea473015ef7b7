//! How much of the usual an athlete does in the first weeks back after a break.
//!
//! Caterisano et al., CSCCa and NSCA joint consensus guidelines, Strength Cond J 41(3):1-23, 2019: conditioning volume
//! is cut by 50, 30, 20 and 10 % in weeks 1 to 4; lifting on at most three days in week 1 and four in week 2; sets
//! times repetitions times fraction of the best within 11 to 30 for two weeks. It was written for healthy students
//! after a planned break. It clears nobody: after illness or injury a clinician does.

use super::{OutOfRange, Span, above_zero};

/// Where it was published.
pub const SOURCE: &str = "Caterisano et al., CSCCa and NSCA guidelines, Strength Cond J 41(3):1-23, 2019";

/// What holds in one week back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeekBack {
    /// Percent of the usual conditioning volume.
    pub volume_percent: u32,
    /// The most days of lifting, where there is a limit.
    pub lifting_days: Option<u32>,
    /// What [`relative_volume`] of one movement may be, where there is a limit.
    pub relative_volume: Option<Span>,
}

/// The week counted from 1; from the fifth on nothing is cut.
pub fn week_back(week: u32) -> Result<WeekBack, OutOfRange> {
    let band = Some(Span::of(11, 30));
    Ok(match week {
        0 => {
            return Err(OutOfRange { what: "week", range: "1 or more", given: 0.0 });
        }
        1 => WeekBack { volume_percent: 50, lifting_days: Some(3), relative_volume: band },
        2 => WeekBack { volume_percent: 70, lifting_days: Some(4), relative_volume: band },
        3 => WeekBack { volume_percent: 80, lifting_days: None, relative_volume: None },
        4 => WeekBack { volume_percent: 90, lifting_days: None, relative_volume: None },
        _ => WeekBack { volume_percent: 100, lifting_days: None, relative_volume: None },
    })
}

/// Intensity relative volume: sets times repetitions times fraction of the best (1.0 is the best itself).
pub fn relative_volume(sets: u32, reps: u32, fraction: f64) -> Result<f64, OutOfRange> {
    Ok(f64::from(sets) * f64::from(reps) * above_zero("fraction", fraction)?)
}

impl WeekBack {
    /// Where an intensity relative volume stands; `None` where the week has no limit.
    pub fn judge(self, relative_volume: f64) -> Option<Standing> {
        let Span { from: Some(least), to: Some(most) } = self.relative_volume? else {
            return None;
        };
        Some(match relative_volume {
            volume if volume < f64::from(least) => Standing::Under,
            volume if volume <= f64::from(most) => Standing::Within,
            _ => Standing::Over,
        })
    }
}

/// Where a volume stands to its limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Less than the least that serves.
    Under,
    /// Within.
    Within,
    /// More than is allowed.
    Over,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volume_comes_back_week_by_week() {
        let weeks: Vec<_> = (1..=6).map(|week| week_back(week).expect("in range").volume_percent).collect();
        assert_eq!(weeks, [50, 70, 80, 90, 100, 100]);
        assert!(week_back(0).is_err());
    }

    #[test]
    fn the_limits_of_relative_volume_are_within() {
        let first = week_back(1).expect("in range");
        let cases =
            [(10.9, Standing::Under), (11.0, Standing::Within), (30.0, Standing::Within), (30.1, Standing::Over)];
        for (volume, standing) in cases {
            assert_eq!(first.judge(volume), Some(standing));
        }
        assert_eq!(week_back(3).expect("in range").judge(99.0), None);
    }
}
