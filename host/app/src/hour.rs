//! When a class is on, by the clock on the wall: day, minute and zone.
//!
//! Two classes of one gym can be held against each other only where both go by one clock. No table of zones is kept
//! here, so a night on which the clocks change is counted as if they did not.

use classwright_store::ClassSheet;
use classwright_training::session::Date;

/// A start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Hour {
    /// Day.
    pub(crate) date: Date,
    /// Minutes from midnight.
    pub(crate) minute: u16,
    /// Zone, by its IANA name.
    pub(crate) zone: String,
}

impl Hour {
    /// When a class starts.
    pub(crate) fn of(sheet: &ClassSheet) -> Hour {
        Hour { date: sheet.date, minute: sheet.start_minute, zone: sheet.zone.clone() }
    }

    /// From the words of a document: `2026-12-07` and `18:00`.
    pub(crate) fn read(date: &str, starts: &str, zone: &str) -> Option<Hour> {
        let date = read_date(date)?;
        let (hours, minutes) = starts.split_once(':')?;
        let (hours, minutes) = (number(hours, 2)?, number(minutes, 2)?);
        let minute = (hours < 24 && minutes < 60).then_some(60 * hours + minutes)?;
        Some(Hour { date, minute: minute as u16, zone: zone.to_owned() })
    }

    /// Seconds by which it is later than another, as the clock tells.
    pub(crate) fn later_than(&self, other: &Hour) -> i64 {
        let at = |hour: &Hour| days(hour.date) * 86_400 + i64::from(hour.minute) * 60;
        at(self) - at(other)
    }

    /// Second of the day.
    pub(crate) fn clock_s(&self) -> u32 {
        u32::from(self.minute) * 60
    }
}

/// A day such as 2026-12-07.
pub(crate) fn read_date(text: &str) -> Option<Date> {
    let mut parts = text.splitn(3, '-');
    let (year, month, day) = (number(parts.next()?, 4)?, number(parts.next()?, 2)?, number(parts.next()?, 2)?);
    let date = Date { year: year as u16, month: month as u8, day: day as u8 };
    ((1..=12).contains(&month) && (1..=days_in(year, month)).contains(&day)).then_some(date)
}

/// The day before.
pub(crate) fn day_before(date: Date) -> Date {
    match (date.month, date.day) {
        (1, 1) => Date { year: date.year.saturating_sub(1), month: 12, day: 31 },
        (month, 1) => {
            let before = u32::from(month) - 1;
            Date { month: month - 1, day: days_in(u32::from(date.year), before) as u8, ..date }
        }
        (_, day) => Date { day: day - 1, ..date },
    }
}

fn number(text: &str, digits: usize) -> Option<u32> {
    (text.len() == digits && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
}

fn days_in(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400);
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Days since a day long ago.
fn days(date: Date) -> i64 {
    let year = u32::from(date.year);
    let before = |year: u32| {
        365 * i64::from(year) + i64::from(year.div_ceil(4)) - i64::from(year.div_ceil(100))
            + i64::from(year.div_ceil(400))
    };
    let months: i64 = (1..u32::from(date.month)).map(|month| i64::from(days_in(year, month))).sum();
    before(year) + months + i64::from(date.day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_follow_each_other_over_leap_years_and_centuries() {
        let mut date = read_date("2101-01-03").expect("a day");
        let mut number = days(date);
        while date.year > 1995 {
            date = day_before(date);
            assert_eq!(days(date), number - 1, "{date:?}");
            assert_eq!(read_date(&crate::document::iso(date)), Some(date));
            number -= 1;
        }
    }

    #[test]
    fn hours_are_told_apart_over_midnight_and_bad_ones_are_none() {
        let hour = |date: &str, starts: &str| Hour::read(date, starts, "UTC");
        let late = hour("2024-02-28", "23:30").expect("an hour");
        assert_eq!(hour("2024-02-29", "00:15").expect("an hour").later_than(&late), 45 * 60);
        for (date, starts) in [("2023-02-29", "10:00"), ("2024-2-09", "10:00"), ("2024-02-09", "24:00"), ("", "10")] {
            assert_eq!(hour(date, starts), None);
        }
    }
}
