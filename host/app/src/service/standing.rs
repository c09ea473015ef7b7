//! The gym as it stands within a change, read by the one reader of gym folders: a change after which it could not be
//! read is refused with everything that is wrong, and nothing has happened.

use std::collections::BTreeMap;
use std::sync::Arc;

use classwright_store::db::{DbError, Kept, Write, classes, now_ms, records, sessions};
use classwright_store::record::ClassRecord;
use classwright_store::{FileError, Files, Gym, read_files, session_file_name};
use classwright_training::session::Date;
use classwright_training::{MovementLibrary, Session, notation};

use super::{Service, Who};
use crate::AppError;
use crate::document::iso;

/// Milliseconds of a day.
pub(crate) const DAY_MS: i64 = 24 * 60 * 60 * 1000;

impl Service {
    /// Begins a change by somebody.
    pub(crate) async fn change(&self, who: &Who) -> Result<Write, AppError> {
        Ok(self.db().write(&who.gym, &who.id).await?)
    }
}

/// What all classes are planned from, as it stands within a change.
pub(crate) async fn gym(change: &mut Write) -> Result<Arc<Gym>, AppError> {
    with(change, Files::new()).await
}

/// The same with files beside it; an id that cannot name one is a fault.
pub(crate) async fn with(change: &mut Write, more: Files) -> Result<Arc<Gym>, AppError> {
    let id = change.gym().to_owned();
    let records = records::gym(change.conn(), &id).await?;
    // Nobody else waits for this thread meanwhile.
    let reading = tokio::task::spawn_blocking(move || {
        let mut files = records.world_files();
        files.extend(more);
        read_files(&files)
    });
    let read = reading.await.map_err(|error| AppError::Fault(format!("reading a gym broke off: {error}")))?;
    read.map(Arc::new).map_err(AppError::Gym)
}

/// An error unless a class can be planned: its sheet is right, and so is its session.
pub(crate) async fn class(change: &mut Write, gym: &Gym, class: &ClassRecord) -> Result<(), AppError> {
    let id = change.gym().to_owned();
    let text = match sessions::get(change.conn(), &id, &class.session).await {
        Ok(text) => Some(text.text),
        // The reader says it better.
        Err(DbError::Missing { .. }) => None,
        Err(error) => return Err(error.into()),
    };
    sheet(gym, class, text.as_deref()).map_err(AppError::Gym)?;
    session(&class.session, text.as_deref().unwrap_or_default(), &gym.library)?;
    Ok(())
}

/// An error unless all classes from today on can be read in a gym that has changed around them.
pub(crate) async fn coming_classes(change: &mut Write, gym: &Gym) -> Result<(), AppError> {
    let id = change.gym().to_owned();
    let texts = sessions::texts(change.conn(), &id).await?;
    let mut faults = Vec::new();
    for Kept { value, .. } in classes::list(change.conn(), &id, coming(&first_day(now_ms())), i64::MAX).await? {
        let text = texts.get(&value.record.session).map(String::as_str);
        faults.extend(sheet(gym, &value.record, text).err().into_iter().flatten());
    }
    if faults.is_empty() { Ok(()) } else { Err(AppError::Gym(faults)) }
}

/// The first session, by id, that could be read in the gym as it was and no longer can.
pub(crate) fn broken_session(
    texts: &BTreeMap<String, String>,
    before: &MovementLibrary,
    after: &MovementLibrary,
) -> Option<AppError> {
    texts.iter().find_map(|(id, text)| {
        let error = session(id, text, after).err()?;
        notation::parse(text, before).is_ok().then_some(error)
    })
}

/// A session's meaning.
pub(crate) fn session(id: &str, text: &str, library: &MovementLibrary) -> Result<Session, AppError> {
    notation::parse(text, library).map_err(|errors| AppError::Session {
        path: session_file_name(id).into(),
        text: text.to_owned(),
        errors,
    })
}

/// Classes from a day on.
pub(crate) fn coming(day: &str) -> classes::Span<'_> {
    classes::Span { from: day, ..classes::Span::default() }
}

/// The day before this moment's in UTC: nowhere on earth is it an earlier day than that.
pub(crate) fn first_day(now_ms: i64) -> String {
    iso(date(now_ms.div_euclid(DAY_MS) - 1))
}

fn sheet(gym: &Gym, class: &ClassRecord, text: Option<&str>) -> Result<(), Vec<FileError>> {
    let mut files = Files::from([(class.file_name(), class.file())]);
    files.extend(text.map(|text| (session_file_name(&class.session), text.to_owned())));
    gym.read_class(&class.id, &files).map(|_| ())
}

/// The day of a number, counted from 1970-01-01 as 0.
fn date(mut days: i64) -> Date {
    let leap = |year: i64| (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    let mut year = 1970;
    while days >= 365 + i64::from(leap(year)) {
        days -= 365 + i64::from(leap(year));
        year += 1;
    }
    let february = 28 + i64::from(leap(year));
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30] {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    Date { year: year as u16, month, day: days.max(0) as u8 + 1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of days by `date -u -d DAY +%s`, divided by 86400.
    #[test]
    fn days_are_counted_as_the_calendar_counts_them() {
        for (days, written) in [
            (0, "1970-01-01"),
            (11_016, "2000-02-29"),
            (19_782, "2024-02-29"),
            (20_453, "2025-12-31"),
            (20_795, "2026-12-08"),
        ] {
            assert_eq!(iso(date(days)), written);
        }
        assert_eq!(first_day(20_795 * DAY_MS + 5), "2026-12-07");
    }
}
