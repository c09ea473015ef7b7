//! How long to rest for how long one worked, by the system that mostly pays for the work.
//!
//! Essentials of Strength Training and Conditioning, chapter on bioenergetics, table of work to rest. The table has
//! gaps (10 to 15 s, 30 to 60 s); in them there is no answer.

use super::Span;

/// Where the table was published.
pub const SOURCE: &str = "Essentials of Strength Training and Conditioning, chapter on bioenergetics";

/// One row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WorkRest {
    /// Stable name of the system.
    pub system: &'static str,
    /// Seconds of work.
    pub work_s: Span,
    /// Least rest for one second of work.
    pub least: u32,
    /// Most rest for one second of work.
    pub most: u32,
}

/// The rows, shortest work first.
pub const WORK_RESTS: [WorkRest; 4] = [
    WorkRest { system: "phosphagen", work_s: Span::of(5, 10), least: 12, most: 20 },
    WorkRest { system: "fast-glycolysis", work_s: Span::of(15, 30), least: 3, most: 5 },
    WorkRest { system: "fast-glycolysis-oxidative", work_s: Span::of(60, 180), least: 3, most: 4 },
    WorkRest { system: "oxidative", work_s: Span::at_least(180), least: 1, most: 3 },
];

/// The row for so many seconds of hard work; at 180 s the shorter one.
pub fn for_work(work_s: u32) -> Option<WorkRest> {
    WORK_RESTS.into_iter().find(|row| row.work_s.holds(work_s))
}

impl WorkRest {
    /// Seconds of rest after so many seconds of work.
    pub fn rest_s(self, work_s: u32) -> Span {
        Span::of(work_s.saturating_mul(self.least), work_s.saturating_mul(self.most))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gaps_of_the_table_have_no_answer() {
        assert_eq!(for_work(12), None);
        assert_eq!(for_work(45), None);
        assert_eq!(for_work(180).map(|row| row.system), Some("fast-glycolysis-oxidative"));
        assert_eq!(for_work(181).map(|row| row.system), Some("oxidative"));
    }
}
