//! Who was checked in to a class, and who was checked out of it. Whoever comes unannounced is checked in like the
//! others.

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::{DbError, Write};
use crate::record::ClassRecord;

/// What was seen of somebody.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// They came.
    In,
    /// They do not come, or have left.
    Out,
}

/// Somebody who is named on a class's list or was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attendance {
    /// Their id.
    pub athlete: String,
    /// Whether the list names them.
    pub named: bool,
    /// What was seen of them, and when (milliseconds since 1970).
    pub checked: Option<(Checked, i64)>,
}

impl Checked {
    fn id(self) -> &'static str {
        match self {
            Checked::In => "in",
            Checked::Out => "out",
        }
    }
}

/// Everybody who is named on a class's list or was checked, in the order of the list; the unannounced last. Whoever was
/// erased since is among them under what stands in place of their name.
pub async fn list(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<Vec<Attendance>, DbError> {
    let rows = sqlx::query(
        "SELECT athlete, position, checked, checked_at FROM class_athletes WHERE gym = $1 AND class = $2
         ORDER BY CASE WHEN position IS NULL THEN 1 ELSE 0 END, position, checked_at, athlete",
    )
    .bind(gym)
    .bind(class)
    .fetch_all(conn)
    .await?;
    rows.iter().map(attendance).collect()
}

/// Writes down what was seen of somebody, and says whether it is news. `None` takes back what was.
pub async fn check(change: &mut Write, class: &str, athlete: &str, checked: Option<Checked>) -> Result<bool, DbError> {
    let (gym, at) = (change.gym().to_owned(), change.at());
    let before = sqlx::query("SELECT checked FROM class_athletes WHERE gym = $1 AND class = $2 AND athlete = $3")
        .bind(&gym)
        .bind(class)
        .bind(athlete)
        .fetch_optional(change.conn())
        .await?;
    let before = before.map(|row| row.try_get::<Option<String>, _>(0)).transpose()?.flatten();
    let now = checked.map(Checked::id);
    if before.as_deref() == now {
        return Ok(false);
    }
    sqlx::query(
        "INSERT INTO class_athletes (gym, class, athlete, checked, checked_at) VALUES ($1, $2, $3, $4, $5)
         ON CONFLICT (gym, class, athlete) DO UPDATE SET checked = excluded.checked, checked_at = excluded.checked_at",
    )
    .bind(&gym)
    .bind(class)
    .bind(athlete)
    .bind(now)
    .bind(now.map(|_| at))
    .execute(change.conn())
    .await?;
    sqlx::query("DELETE FROM class_athletes WHERE gym = $1 AND class = $2 AND position IS NULL AND checked IS NULL")
        .bind(&gym)
        .bind(class)
        .execute(change.conn())
        .await?;
    Ok(true)
}

/// A class as it is to be planned: with those who were checked in, without those who were checked out, and without the
/// pairs of which one does not come.
pub fn as_checked(class: &ClassRecord, seen: &[Attendance]) -> ClassRecord {
    let were = |wanted: Checked| {
        let were = seen.iter().filter(move |one| one.checked.is_some_and(|(checked, _)| checked == wanted));
        were.map(|one| one.athlete.clone())
    };
    let mut class = class.clone();
    if let Some(present) = &mut class.present {
        present.retain(|athlete| !were(Checked::Out).any(|out| out == *athlete));
        for athlete in were(Checked::In) {
            if !present.contains(&athlete) {
                present.push(athlete);
            }
        }
    } else {
        let mut absent = class.absent.take().unwrap_or_default();
        absent.retain(|athlete| !were(Checked::In).any(|there| there == *athlete));
        for athlete in were(Checked::Out) {
            if !absent.contains(&athlete) {
                absent.push(athlete);
            }
        }
        class.absent = (!absent.is_empty()).then_some(absent);
    }
    let comes = |athlete: &String| match (&class.present, &class.absent) {
        (Some(present), _) => present.contains(athlete),
        (None, Some(absent)) => !absent.contains(athlete),
        (None, None) => true,
    };
    let (mut together, mut apart) = (class.together.clone(), class.apart.clone());
    together.retain(|pair| pair.iter().all(comes));
    apart.retain(|pair| pair.iter().all(comes));
    ClassRecord { together, apart, ..class }
}

fn attendance(row: &AnyRow) -> Result<Attendance, DbError> {
    let checked = match row.try_get::<Option<String>, _>(2)?.as_deref() {
        Some("in") => Some(Checked::In),
        Some("out") => Some(Checked::Out),
        _ => None,
    };
    let at: Option<i64> = row.try_get(3)?;
    let named = row.try_get::<Option<i64>, _>(1)?.is_some();
    Ok(Attendance { athlete: row.try_get(0)?, named, checked: checked.zip(at) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(athlete: &str, checked: Checked) -> Attendance {
        Attendance { athlete: athlete.into(), named: false, checked: Some((checked, 1)) }
    }

    fn ids(ids: &[&str]) -> Option<Vec<String>> {
        Some(ids.iter().map(|id| (*id).to_owned()).collect())
    }

    #[test]
    fn whoever_was_checked_comes_or_does_not_whatever_the_list_says() {
        let seen = [seen("ama", Checked::Out), seen("wen", Checked::In)];
        let listed = ClassRecord { present: ids(&["ama", "bram"]), ..ClassRecord::default() };
        assert_eq!(as_checked(&listed, &seen).present, ids(&["bram", "wen"]));
        let but = ClassRecord { absent: ids(&["wen", "vera"]), ..ClassRecord::default() };
        assert_eq!(as_checked(&but, &seen).absent, ids(&["vera", "ama"]));
        let all = ClassRecord::default();
        assert_eq!(as_checked(&all, &seen).absent, ids(&["ama"]));
        assert_eq!(as_checked(&all, &[]), all);
    }

    #[test]
    fn a_pair_goes_with_whoever_does_not_come() {
        let pair = |a: &str, b: &str| [a.to_owned(), b.to_owned()];
        let class = ClassRecord {
            together: vec![pair("ama", "bram"), pair("chidi", "wen")],
            apart: vec![pair("bram", "ama")],
            ..ClassRecord::default()
        };
        let left = as_checked(&class, &[seen("ama", Checked::Out)]);
        assert_eq!((left.together, left.apart), (vec![pair("chidi", "wen")], vec![]));
    }
}
