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
        Some(Hour { date, minute: read_minute(starts)?, zone: zone.to_owned() })
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

/// A time of day such as 18:00, in minutes from midnight.
pub(crate) fn read_minute(text: &str) -> Option<u16> {
    let (hours, minutes) = text.split_once(':')?;
    let (hours, minutes) = (number(hours, 2)?, number(minutes, 2)?);
    (hours < 24 && minutes < 60).then_some((60 * hours + minutes) as u16)
}

/// A day such as 2026-12-07.
pub(crate) fn read_date(text: &str) -> Option<Date> {
    let mut parts = text.splitn(3, '-');
    let (year, month, day) = (number(parts.next()?, 4)?, number(parts.next()?, 2)?, number(parts.next()?, 2)?);
    let date = Date { year: year as u16, month: month as u8, day: day as u8 };
    date.exists().then_some(date)
}

/// The day before.
pub(crate) fn day_before(date: Date) -> Date {
    match (date.month, date.day) {
        (1, 1) => Date { year: date.year.saturating_sub(1), month: 12, day: 31 },
        (month, 1) => Date { month: month - 1, day: Date::days_of_month(date.year, month - 1), ..date },
        (_, day) => Date { day: day - 1, ..date },
    }
}

/// The day after.
pub(crate) fn day_after(date: Date) -> Date {
    let last = Date::days_of_month(date.year, date.month);
    match (date.month, date.day) {
        (12, 31) => Date { year: date.year.saturating_add(1), month: 1, day: 1 },
        (month, day) if day >= last => Date { month: month + 1, day: 1, ..date },
        (_, day) => Date { day: day + 1, ..date },
    }
}

/// Days from one to another; less than 0 where the other is earlier.
pub(crate) fn days_between(from: Date, to: Date) -> i64 {
    days(to) - days(from)
}

fn number(text: &str, digits: usize) -> Option<u32> {
    (text.len() == digits && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
}

/// Days since a day long ago.
fn days(date: Date) -> i64 {
    let year = u32::from(date.year);
    let before = |year: u32| {
        365 * i64::from(year) + i64::from(year.div_ceil(4)) - i64::from(year.div_ceil(100))
            + i64::from(year.div_ceil(400))
    };
    let months: i64 = (1..date.month).map(|month| i64::from(Date::days_of_month(date.year, month))).sum();
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
            assert_eq!(day_before(day_after(date)), date);
            assert_eq!(days_between(day_before(date), date), 1);
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
