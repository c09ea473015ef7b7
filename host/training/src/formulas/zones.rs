//! Volume zones of competitive weightlifting: repetitions a set and in all, by percent of the best.
//!
//! Prilepin's table (weightlifting, 1970s), as reprinted by Hristov, 2005. It was drawn from trained lifters in the
//! snatch and the clean and jerk, and says nothing of conditioning work. The printed zones leave gaps (79 to 80 %);
//! here each begins where the one before ends, so that every percent is in one zone and in one only.

use super::{OutOfRange, Span, above_zero};

/// Where the table was seen.
pub const SOURCE: &str = "Prilepin's table of the 1970s, as reprinted by Hristov, 2005";

/// One row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone {
    /// Stable name.
    pub id: &'static str,
    /// The lowest percent in it.
    pub from_percent: u32,
    /// The percent at which the next begins.
    pub below_percent: Option<u32>,
    /// Repetitions in a set.
    pub reps_per_set: Span,
    /// Repetitions in all that serve best.
    pub optimal_total: u32,
    /// Repetitions in all that still serve.
    pub total: Span,
}

/// The zones, lightest first.
pub const ZONES: [Zone; 4] = [
    Zone {
        id: "below-70",
        from_percent: 0,
        below_percent: Some(70),
        reps_per_set: Span::of(3, 6),
        optimal_total: 24,
        total: Span::of(18, 30),
    },
    Zone {
        id: "70-79",
        from_percent: 70,
        below_percent: Some(80),
        reps_per_set: Span::of(3, 6),
        optimal_total: 18,
        total: Span::of(12, 24),
    },
    Zone {
        id: "80-89",
        from_percent: 80,
        below_percent: Some(90),
        reps_per_set: Span::of(2, 4),
        optimal_total: 15,
        total: Span::of(10, 20),
    },
    Zone {
        id: "90-plus",
        from_percent: 90,
        below_percent: None,
        reps_per_set: Span::of(1, 2),
        optimal_total: 7,
        total: Span::of(4, 10),
    },
];

/// The zone of a percent above 0.
pub fn zone(percent: f64) -> Result<Zone, OutOfRange> {
    let percent = above_zero("percent", percent)?;
    let above = ZONES.iter().rev().find(|zone| percent >= f64::from(zone.from_percent));
    Ok(*above.expect("the first zone begins at 0"))
}

/// How a total stands to its zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Fewer than the range.
    BelowRange,
    /// In the range.
    InRange,
    /// The optimum itself.
    Optimal,
    /// More than the range.
    AboveRange,
}

/// What the zone says of some sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judgement {
    /// Repetitions in all.
    pub total: u32,
    /// Of the total.
    pub verdict: Verdict,
    /// Whether the repetitions of a set fit.
    pub reps_per_set_fit: bool,
}

/// What the zone of `percent` says of so many sets of so many repetitions.
pub fn judge(percent: f64, sets: u32, reps: u32) -> Result<Judgement, OutOfRange> {
    let zone = zone(percent)?;
    let total = sets.saturating_mul(reps);
    let verdict = match total {
        _ if total == zone.optimal_total => Verdict::Optimal,
        _ if zone.total.holds(total) => Verdict::InRange,
        _ if total < zone.optimal_total => Verdict::BelowRange,
        _ => Verdict::AboveRange,
    };
    Ok(Judgement { total, verdict, reps_per_set_fit: zone.reps_per_set.holds(reps) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_percent_is_in_one_zone_only() {
        for tenth in 1..1500 {
            let percent = f64::from(tenth) / 10.0;
            let holding: Vec<_> = ZONES
                .iter()
                .filter(|zone| percent >= f64::from(zone.from_percent))
                .filter(|zone| zone.below_percent.is_none_or(|below| percent < f64::from(below)))
                .collect();
            assert_eq!(holding, [&zone(percent).expect("in range")], "{percent} %");
        }
    }

    #[test]
    fn the_optimum_lies_in_its_range() {
        for zone in ZONES {
            assert!(zone.total.holds(zone.optimal_total));
        }
        assert_eq!(zone(79.999).expect("in range").id, "70-79");
        assert!(zone(0.0).is_err() && zone(f64::NAN).is_err());
    }
}
