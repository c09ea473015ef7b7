//! Percent of a best against repetitions, by the table most coaches know.
//!
//! Two editions of it differ at 12 repetitions: 70 % in the chart (NSCA Training Load Chart), 67 % in the textbook
//! (Baechle and Earle; Haff and Triplett, Essentials of Strength Training and Conditioning; its values at 11 and 12
//! were not seen in print by us). The chart is the default. Between printed rows the value lies on the straight line,
//! which is our reading. Newer measurements (Nuzzo et al., Sports Med 54:303-321, 2024) find more repetitions at
//! moderate loads, and more for the legs; the table is a start, not a promise.

use super::{OutOfRange, above_zero};

/// Which edition of the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Edition {
    /// The Training Load Chart: 12 repetitions at 70 %.
    #[default]
    Chart,
    /// The textbook: 11 repetitions at 70 %, 12 at 67 %.
    Textbook,
}

/// The most repetitions in the table.
pub const MOST_REPS: u32 = 15;

const COMMON: [(u32, f64); 10] =
    [(1, 100.0), (2, 95.0), (3, 93.0), (4, 90.0), (5, 87.0), (6, 85.0), (7, 83.0), (8, 80.0), (9, 77.0), (10, 75.0)];
const CHART: [(u32, f64); 2] = [(12, 70.0), (MOST_REPS, 65.0)];
const TEXTBOOK: [(u32, f64); 3] = [(11, 70.0), (12, 67.0), (MOST_REPS, 65.0)];

impl Edition {
    /// Both.
    pub const ALL: [Edition; 2] = [Edition::Chart, Edition::Textbook];

    /// Percent of the best at which so many repetitions can be done.
    pub fn percent(self, reps: u32) -> Result<f64, OutOfRange> {
        let refusal = OutOfRange { what: "repetitions", range: "1 to 15", given: f64::from(reps) };
        let mut before = (1, 100.0);
        for row in self.rows() {
            if row.0 == reps {
                return Ok(row.1);
            }
            if row.0 > reps && reps > before.0 {
                let way = f64::from(reps - before.0) / f64::from(row.0 - before.0);
                return Ok(before.1 + way * (row.1 - before.1));
            }
            before = row;
        }
        Err(refusal)
    }

    /// The most repetitions that can be done at a percent of the best. Under the last row there is no answer.
    pub fn reps(self, percent: f64) -> Result<u32, OutOfRange> {
        let refusal = OutOfRange { what: "percent", range: "65 to 100", given: percent };
        if !(65.0..=100.0).contains(&percent) {
            return Err(refusal);
        }
        // A percent that was worked out from a load may be a hair off its row.
        (1..=MOST_REPS).rev().find(|&reps| self.percent(reps).is_ok_and(|row| row >= percent - 1e-9)).ok_or(refusal)
    }

    /// The best that a load done so many times speaks for.
    pub fn best(self, load: f64, reps: u32) -> Result<f64, OutOfRange> {
        Ok(above_zero("load", load)? * 100.0 / self.percent(reps)?)
    }

    /// The name as written on the command line.
    pub const fn id(self) -> &'static str {
        match self {
            Edition::Chart => "chart",
            Edition::Textbook => "textbook",
        }
    }

    /// Where it was published.
    pub const fn source(self) -> &'static str {
        match self {
            Edition::Chart => "NSCA Training Load Chart",
            Edition::Textbook => "Essentials of Strength Training and Conditioning, textbook row",
        }
    }

    fn rows(self) -> impl Iterator<Item = (u32, f64)> {
        let rest: &[(u32, f64)] = match self {
            Edition::Chart => &CHART,
            Edition::Textbook => &TEXTBOOK,
        };
        COMMON.iter().chain(rest).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_repetitions_are_always_heavier() {
        for edition in Edition::ALL {
            for reps in 1..MOST_REPS {
                assert!(edition.percent(reps).expect("in range") > edition.percent(reps + 1).expect("in range"));
                assert_eq!(edition.reps(edition.percent(reps).expect("in range")), Ok(reps));
            }
        }
    }

    #[test]
    fn between_rows_it_is_the_safe_number_of_repetitions() {
        assert_eq!(Edition::Chart.reps(83.4), Ok(6));
        assert_eq!(Edition::Chart.reps(100.0), Ok(1));
        assert_eq!(Edition::Chart.reps(65.0), Ok(15));
        assert_eq!(Edition::Chart.percent(11), Ok(72.5));
    }

    #[test]
    fn outside_the_table_there_is_no_answer() {
        for percent in [64.9, 100.1, 0.0, -5.0, f64::NAN] {
            assert!(Edition::Chart.reps(percent).is_err());
        }
        assert!(Edition::Chart.percent(0).is_err());
        assert!(Edition::Chart.percent(16).is_err());
    }
}
