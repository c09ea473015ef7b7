//! Bounds of what a session may say. Common practice, no source: wide enough for any class, narrow enough that a
//! slip of the finger is caught.

use std::ops::RangeInclusive;

use crate::Measure;

/// Most bytes of a session file.
pub const MAX_BYTES: usize = 256 * 1024;
/// Most problems reported at once.
pub const MAX_ERRORS: usize = 100;
/// Most parts of a session.
pub const MAX_PARTS: usize = 40;
/// Most lines of work and rest in a part.
pub const MAX_ITEMS: usize = 100;
/// Most movements of a complex, or to choose from.
pub const MAX_PIECES: usize = 12;
/// Most of the coach's own lines for an item or a part, cues of an item, notes of a part.
pub const MAX_LINES: usize = 40;
/// Most written load columns.
pub const MAX_COLUMNS: usize = 6;
/// Most loads that rise set by set, and most rounds of a list of repetitions.
pub const MAX_STEPS: usize = 20;
/// Most characters of a title or a part's name.
pub const MAX_NAME: usize = 120;
/// Most characters of an intent, a note or a cue.
pub const MAX_TEXT: usize = 2000;
/// Repetitions and kilocalories.
pub const REPS: RangeInclusive<u64> = 1..=1000;
/// Seconds of anything timed.
pub const SECONDS: RangeInclusive<u64> = 1..=7200;
/// Metres.
pub const METRES: RangeInclusive<u64> = 1..=50_000;
/// Rounds, sets or intervals.
pub const ROUNDS: RangeInclusive<u64> = 1..=100;
/// Load in grams.
pub const LOAD_GRAMS: RangeInclusive<u64> = 250..=500_000;
/// Thousandths of a best.
pub const PERMILLE: RangeInclusive<u64> = 10..=1200;
/// Tenths on the effort scale.
pub const EFFORT_TENTHS: RangeInclusive<u64> = 10..=100;
/// Milliseconds of one repetition.
pub const REP_MS: RangeInclusive<u64> = 100..=120_000;
/// Length of a class in seconds.
pub const LENGTH_S: RangeInclusive<u64> = 300..=14_400;
/// People in a relay team.
pub const TEAM: RangeInclusive<u64> = 2..=20;
/// Years of a date.
pub const YEARS: RangeInclusive<u64> = 1900..=2999;

/// Bounds of an amount in a measure.
pub(super) const fn of(measure: Measure) -> RangeInclusive<u64> {
    match measure {
        Measure::Repetitions | Measure::Calories => REPS,
        Measure::Seconds => SECONDS,
        Measure::Metres => METRES,
    }
}

/// Bounds of an amount in a measure, in words.
pub(super) const fn said(measure: Measure) -> &'static str {
    match measure {
        Measure::Repetitions => "a whole number of repetitions from 1 to 1000",
        Measure::Calories => "a whole number of calories from 1 to 1000",
        Measure::Seconds => "a time from 0:01 to 120:00 in whole seconds",
        Measure::Metres => "a distance from 1 m to 50000 m in whole metres",
    }
}
