//! Classes: when, with which session, who is on the list. Who was checked in or out stands in [`super::attendance`],
//! and is no change of the class: a coach may edit it while people come in.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::{found_in, hold, json, text};
use super::{DbError, Kept, Write};
use crate::record::{ClassRecord, OutRecord, RulesRecord};

const WHAT: &str = "class";

/// A class as it is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Class {
    /// What its sheet says.
    pub record: ClassRecord,
    /// The plan that stands.
    pub plan: Option<String>,
}

/// Days and a place in the list: classes are listed by day and id.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Span<'a> {
    /// First day, such as `2026-12-07`; empty for the first there is.
    pub from: &'a str,
    /// Last day; empty for the last there is.
    pub to: &'a str,
    /// The place of the class to go on after; empty from the start.
    pub after: &'a str,
}

/// What of a class stands in no column.
#[derive(Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Body {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    together: Vec<[String; 2]>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    apart: Vec<[String; 2]>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    floor: Option<RulesRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    out_of_service: Option<OutRecord>,
}

/// A class.
pub async fn get(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<Kept<Class>, DbError> {
    let row = sqlx::query(
        "SELECT class, revision, day, starts, zone, session, coach, listed, body, plan FROM classes
         WHERE gym = $1 AND class = $2",
    )
    .bind(gym)
    .bind(class)
    .fetch_optional(&mut *conn)
    .await?;
    let row = row.ok_or_else(|| DbError::Missing { what: WHAT, id: class.to_owned() })?;
    let found = read(conn, gym, &[row]).await?;
    found.into_iter().next().ok_or_else(|| DbError::Missing { what: WHAT, id: class.to_owned() })
}

/// Classes of some days, by day and id.
pub async fn list(
    conn: &mut AnyConnection,
    gym: &str,
    span: Span<'_>,
    limit: i64,
) -> Result<Vec<Kept<Class>>, DbError> {
    let Span { from, to, after } = span;
    let (day, id) = match after.split_once('.') {
        _ if after.is_empty() => ("", ""),
        Some(place) => place,
        None => return Err(DbError::Missing { what: "place in the list", id: after.to_owned() }),
    };
    let rows = sqlx::query(
        "SELECT class, revision, day, starts, zone, session, coach, listed, body, plan FROM classes
         WHERE gym = $1 AND day >= $2 AND day <= $3 AND (day, class) > ($4, $5) ORDER BY day, class LIMIT $6",
    )
    .bind(gym)
    .bind(from)
    .bind(if to.is_empty() { "~" } else { to })
    .bind(day)
    .bind(id)
    .bind(limit)
    .fetch_all(&mut *conn)
    .await?;
    read(conn, gym, &rows).await
}

/// Classes from a day on that have a session.
pub async fn of_session(
    conn: &mut AnyConnection,
    gym: &str,
    session: &str,
    from: &str,
) -> Result<Vec<Kept<Class>>, DbError> {
    let of_session = |kept: &Kept<Class>| kept.value.record.session == session;
    Ok(list(conn, gym, Span { from, ..Span::default() }, i64::MAX).await?.into_iter().filter(of_session).collect())
}

/// Adds a class, and gives back its revision.
pub async fn insert(change: &mut Write, new: &ClassRecord) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "INSERT INTO classes (gym, class, revision, day, starts, zone, session, coach, listed, body)
         VALUES ($1, $2, 1, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT (gym, class) DO NOTHING",
    )
    .bind(gym)
    .bind(&new.id)
    .bind(&new.date)
    .bind(&new.time)
    .bind(&new.zone)
    .bind(&new.session)
    .bind(&new.coach)
    .bind(listed(new).0)
    .bind(body(new)?)
    .execute(change.conn())
    .await?;
    if done.rows_affected() == 0 {
        return Err(DbError::Exists { what: WHAT, id: new.id.clone() });
    }
    put_list(change, new).await?;
    Ok(1)
}

/// Changes a class, and gives back its new revision. Who was checked in or out stays so.
pub async fn put(change: &mut Write, new: &ClassRecord, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let revision = held(change, &new.id, expected).await? + 1;
    sqlx::query(
        "UPDATE classes SET revision = $3, day = $4, starts = $5, zone = $6, session = $7, coach = $8, listed = $9,
         body = $10 WHERE gym = $1 AND class = $2",
    )
    .bind(gym)
    .bind(&new.id)
    .bind(revision)
    .bind(&new.date)
    .bind(&new.time)
    .bind(&new.zone)
    .bind(&new.session)
    .bind(&new.coach)
    .bind(listed(new).0)
    .bind(body(new)?)
    .execute(change.conn())
    .await?;
    put_list(change, new).await?;
    Ok(revision)
}

/// Removes a class that was never planned.
pub async fn remove(change: &mut Write, class: &str, expected: Option<i64>) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    held(change, class, expected).await?;
    let plans = "SELECT plan FROM plans WHERE gym = $1 AND class = $2 ORDER BY made_at, plan";
    if let Some(plans) = found_in(change.conn(), plans, &gym, class).await? {
        let why = format!("planned as {plans}, and plans are kept");
        return Err(DbError::Needed { what: WHAT, id: class.to_owned(), why });
    }
    let query = sqlx::query("DELETE FROM classes WHERE gym = $1 AND class = $2").bind(gym).bind(class);
    query.execute(change.conn()).await?;
    Ok(())
}

async fn held(change: &mut Write, class: &str, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let now = get(change.conn(), &gym, class).await?.revision;
    hold(WHAT, class, expected, now)?;
    Ok(now)
}

/// How the list of a class is meant, and who is on it.
fn listed(class: &ClassRecord) -> (&'static str, &[String]) {
    match (&class.present, &class.absent) {
        (Some(present), _) => ("present", present),
        (None, Some(absent)) => ("absent", absent),
        (None, None) => ("all", &[]),
    }
}

/// Puts the list in place of the one that stood.
async fn put_list(change: &mut Write, class: &ClassRecord) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    sqlx::query("UPDATE class_athletes SET position = NULL WHERE gym = $1 AND class = $2")
        .bind(&gym)
        .bind(&class.id)
        .execute(change.conn())
        .await?;
    for (position, athlete) in (1_i64..).zip(listed(class).1) {
        sqlx::query(
            "INSERT INTO class_athletes (gym, class, athlete, position) VALUES ($1, $2, $3, $4)
             ON CONFLICT (gym, class, athlete) DO UPDATE SET position = excluded.position",
        )
        .bind(&gym)
        .bind(&class.id)
        .bind(athlete)
        .bind(position)
        .execute(change.conn())
        .await?;
    }
    sqlx::query("DELETE FROM class_athletes WHERE gym = $1 AND class = $2 AND position IS NULL AND checked IS NULL")
        .bind(&gym)
        .bind(&class.id)
        .execute(change.conn())
        .await?;
    Ok(())
}

fn body(class: &ClassRecord) -> Result<String, DbError> {
    let ClassRecord { together, apart, floor, out_of_service, .. } = class.clone();
    text(&Body { together, apart, floor, out_of_service })
}

/// Classes that follow one another by day and id, with their lists. Whoever was erased is on no list any more.
async fn read(conn: &mut AnyConnection, gym: &str, rows: &[AnyRow]) -> Result<Vec<Kept<Class>>, DbError> {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Ok(Vec::new()) };
    let names = sqlx::query(
        // CROSS JOIN: SQLite then begins with the classes of these days, and not with all lists there are.
        "SELECT l.class, l.athlete FROM classes c CROSS JOIN class_athletes l
         JOIN athletes a ON a.gym = l.gym AND a.athlete = l.athlete
         WHERE l.gym = c.gym AND l.class = c.class AND c.gym = $1 AND (c.day, c.class) >= ($2, $3) AND (c.day, c.class) <= ($4, $5)
         AND l.position IS NOT NULL AND a.erased_at IS NULL ORDER BY l.class, l.position",
    )
    .bind(gym)
    .bind(first.try_get::<String, _>(2)?)
    .bind(first.try_get::<String, _>(0)?)
    .bind(last.try_get::<String, _>(2)?)
    .bind(last.try_get::<String, _>(0)?)
    .fetch_all(conn)
    .await?;
    let mut lists: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for row in &names {
        lists.entry(row.try_get(0)?).or_default().push(row.try_get(1)?);
    }
    rows.iter().map(|row| class(row, &mut lists)).collect()
}

fn class(row: &AnyRow, lists: &mut BTreeMap<String, Vec<String>>) -> Result<Kept<Class>, DbError> {
    let (id, day): (String, String) = (row.try_get(0)?, row.try_get(2)?);
    let names = lists.remove(&id).unwrap_or_default();
    let (present, absent) = match row.try_get::<String, _>(7)?.as_str() {
        "present" => (Some(names), None),
        "absent" => (None, Some(names)),
        _ => (None, None),
    };
    let Body { together, apart, floor, out_of_service } = json(WHAT, &id, &row.try_get::<String, _>(8)?)?;
    let record = ClassRecord {
        date: day.clone(),
        time: row.try_get(3)?,
        zone: row.try_get(4)?,
        session: row.try_get(5)?,
        coach: row.try_get(6)?,
        present,
        absent,
        together,
        apart,
        floor,
        out_of_service,
        id,
    };
    let place = format!("{day}.{}", record.id);
    Ok(Kept { revision: row.try_get(1)?, place, value: Class { record, plan: row.try_get(9)? } })
}
