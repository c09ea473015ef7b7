//! Where and when a session is done: the gym, and what the class's own sheet says of day, hour, zone and coach.
//!
//! A session that is planned by itself has a gym and no hour. Where class and session name different days the class's
//! holds, since people come to the class.

use classwright_store::ClassSheet;
use classwright_training::session::Date;

/// The gym and the class of a plan.
#[derive(Clone, Copy, Debug)]
pub struct Occasion<'a> {
    /// Name of the gym.
    pub gym: &'a str,
    /// The class's sheet, where a class is planned.
    pub sheet: Option<&'a ClassSheet>,
}

impl Occasion<'_> {
    pub(super) fn class(&self) -> Option<String> {
        self.sheet.map(|sheet| sheet.id.clone())
    }

    pub(super) fn date(&self) -> Option<Date> {
        self.sheet.map(|sheet| sheet.date)
    }

    pub(super) fn starts(&self) -> Option<String> {
        self.sheet.map(|sheet| format!("{:02}:{:02}", sheet.start_minute / 60, sheet.start_minute % 60))
    }

    pub(super) fn zone(&self) -> Option<String> {
        self.sheet.map(|sheet| sheet.zone.clone())
    }

    pub(super) fn coach(&self) -> Option<String> {
        self.sheet.map(|sheet| sheet.coach.clone())
    }
}

/// A day as ISO 8601 has it.
pub(crate) fn iso(date: Date) -> String {
    format!("{:04}-{:02}-{:02}", date.year, date.month, date.day)
}
