//! The effort of a set, told by the repetitions that would still have gone.
//!
//! Zourdos et al., J Strength Cond Res 30(1):267-275, 2016, figure 1. Effort is in tenths, as on a card. The scale has
//! no 6.5; we read it as its neighbours' nearest ends. Under 5 an effort is light and says nothing of repetitions.
//!
//! No reviewed table of percent by repetitions and effort was found, and those in circulation differ by five points.
//! [`percent`] is therefore derived: the load that goes as many times as are done and left together.

use super::{OutOfRange, Span, percent::Edition};

/// Where the scale was published.
pub const SOURCE: &str = "Zourdos et al., J Strength Cond Res 30(1):267-275, 2016";

/// Repetitions left at an effort of 5 to 10, in tenths and in half steps; `None` for a light effort from 1 up.
pub fn reps_left(effort_tenths: u32) -> Result<Option<Span>, OutOfRange> {
    let refusal = OutOfRange { what: "effort", range: "1 to 10 in half steps", given: f64::from(effort_tenths) / 10.0 };
    Ok(Some(match effort_tenths {
        // 9.5 differs from 10 only in that the load could have been more.
        100 | 95 => Span::of(0, 0),
        90 => Span::of(1, 1),
        85 => Span::of(1, 2),
        80 => Span::of(2, 2),
        75 => Span::of(2, 3),
        70 => Span::of(3, 3),
        65 => Span::of(3, 4),
        50 | 55 | 60 => Span::of(4, 6),
        10..50 if effort_tenths.is_multiple_of(5) => return Ok(None),
        _ => return Err(refusal),
    }))
}

/// Percent of the best, lowest and highest, at which so many repetitions are an effort of so much.
pub fn percent(edition: Edition, reps: u32, effort_tenths: u32) -> Result<(f64, f64), OutOfRange> {
    let light = OutOfRange { what: "effort", range: "5 to 10", given: f64::from(effort_tenths) / 10.0 };
    let Some(Span { from: Some(fewest), to: Some(most) }) = reps_left(effort_tenths)? else {
        return Err(light);
    };
    Ok((edition.percent(reps.saturating_add(most))?, edition.percent(reps.saturating_add(fewest))?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_effort_of_ten_is_the_table_itself() {
        assert_eq!(percent(Edition::Chart, 5, 100), Ok((87.0, 87.0)));
        assert_eq!(percent(Edition::Chart, 5, 80), Ok((83.0, 83.0)));
        assert_eq!(percent(Edition::Chart, 5, 85), Ok((83.0, 85.0)));
    }

    #[test]
    fn off_the_scale_there_is_no_answer() {
        for tenths in [0, 5, 77, 101, 105] {
            assert!(reps_left(tenths).is_err(), "{tenths}");
        }
        assert_eq!(reps_left(30), Ok(None));
        assert!(percent(Edition::Chart, 5, 30).is_err());
        assert!(percent(Edition::Chart, 15, 80).is_err(), "the table stops at 15");
    }
}
