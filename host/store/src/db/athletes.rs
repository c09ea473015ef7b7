//! Who trains: a row of the roster each. Bests and limitations are in files beside this one, and count as changes of
//! their athlete.
//!
//! The ledger never says an athlete's id or name, since it cannot forget: it calls them by [`ledger_name`], which is
//! random. Whoever was erased is no longer found here.

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::{after, found_in, hold, json, place, small, some_of, text};
use super::{DbError, Kept, Write, bests, classes, limitations};
use crate::record::{AthleteRecord, AthleteRecords};

const WHAT: &str = "athlete";

/// An athlete, if the gym has them.
pub async fn find(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Option<Kept<AthleteRecord>>, DbError> {
    let row = sqlx::query(
        "SELECT athlete, position, revision, name, load_column, skill, place, bar, training_share, return_week, age,
         mass, tags FROM athletes WHERE gym = $1 AND athlete = $2 AND erased_at IS NULL",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_optional(conn)
    .await?;
    row.as_ref().map(record).transpose()
}

/// An athlete.
pub async fn get(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Kept<AthleteRecord>, DbError> {
    find(conn, gym, athlete).await?.ok_or_else(|| DbError::Missing { what: WHAT, id: athlete.to_owned() })
}

/// Athletes after a place in the roster, in its order.
pub async fn list(
    conn: &mut AnyConnection,
    gym: &str,
    place: &str,
    limit: i64,
) -> Result<Vec<Kept<AthleteRecord>>, DbError> {
    let (number, id) = after(place)?;
    let rows = sqlx::query(
        "SELECT athlete, position, revision, name, load_column, skill, place, bar, training_share, return_week, age,
         mass, tags FROM athletes WHERE gym = $1 AND erased_at IS NULL AND (position, athlete) > ($2, $3)
         ORDER BY position, athlete LIMIT $4",
    )
    .bind(gym)
    .bind(number)
    .bind(id)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter().map(record).collect()
}

/// Everyone on the roster with everything that is kept about them, in its order.
pub async fn all(conn: &mut AnyConnection, gym: &str) -> Result<Vec<AthleteRecords>, DbError> {
    let roster = list(conn, gym, "", i64::MAX).await?;
    let mut bests = bests::all(conn, gym).await?;
    let mut limitations = limitations::all(conn, gym).await?;
    let mut whole = |record: AthleteRecord| AthleteRecords {
        bests: bests.remove(&record.id).unwrap_or_default(),
        limitations: limitations.remove(&record.id).unwrap_or_default(),
        record,
    };
    Ok(roster.into_iter().map(|kept| kept.value).map(&mut whole).collect())
}

/// Everything that is kept about one athlete, with their revision.
pub async fn whole(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Kept<AthleteRecords>, DbError> {
    let kept = get(conn, gym, athlete).await?;
    let bests = bests::list(conn, gym, athlete).await?.into_iter().map(|(_, best)| best).collect();
    let limitations = limitations::list(conn, gym, athlete).await?.into_iter().map(|(_, one)| one).collect();
    Ok(kept.map(|record| AthleteRecords { record, bests, limitations }))
}

/// What the ledger calls an athlete.
pub async fn ledger_name(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<String, DbError> {
    let query = sqlx::query("SELECT ledger_name FROM athletes WHERE gym = $1 AND athlete = $2").bind(gym).bind(athlete);
    let row = query.fetch_optional(conn).await?;
    let row = row.ok_or_else(|| DbError::Missing { what: WHAT, id: athlete.to_owned() })?;
    Ok(row.try_get(0)?)
}

/// Adds an athlete at the end of the roster, and gives back their revision.
pub async fn insert(change: &mut Write, new: &AthleteRecord) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let done = sqlx::query(
        "INSERT INTO athletes (gym, athlete, position, revision, name, load_column, skill, place, bar, training_share,
         return_week, age, mass, tags, ledger_name)
         SELECT $1, $2, COALESCE(MAX(position), 0) + 1, 1, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13
         FROM athletes WHERE gym = $1 ON CONFLICT (gym, athlete) DO NOTHING",
    )
    .bind(gym)
    .bind(&new.id)
    .bind(&new.name)
    .bind(i64::from(new.column))
    .bind(i64::from(new.skill))
    .bind(&new.place)
    .bind(&new.bar)
    .bind(&new.training_share)
    .bind(new.return_week.map(i64::from))
    .bind(new.age.map(i64::from))
    .bind(&new.mass)
    .bind(text(&new.tags)?)
    .bind(random_name()?)
    .execute(change.conn())
    .await?;
    if done.rows_affected() == 0 {
        return Err(DbError::Exists { what: WHAT, id: new.id.clone() });
    }
    change.world_changed().await?;
    Ok(1)
}

/// Changes an athlete's row of the roster, and gives back their new revision.
pub async fn put(change: &mut Write, new: &AthleteRecord, expected: Option<i64>) -> Result<i64, DbError> {
    let revision = touch(change, &new.id, expected).await?;
    let gym = change.gym().to_owned();
    sqlx::query(
        "UPDATE athletes SET name = $3, load_column = $4, skill = $5, place = $6, bar = $7, training_share = $8,
         return_week = $9, age = $10, mass = $11, tags = $12 WHERE gym = $1 AND athlete = $2",
    )
    .bind(gym)
    .bind(&new.id)
    .bind(&new.name)
    .bind(i64::from(new.column))
    .bind(i64::from(new.skill))
    .bind(&new.place)
    .bind(&new.bar)
    .bind(&new.training_share)
    .bind(new.return_week.map(i64::from))
    .bind(new.age.map(i64::from))
    .bind(&new.mass)
    .bind(text(&new.tags)?)
    .execute(change.conn())
    .await?;
    Ok(revision)
}

/// Counts a change of an athlete, and gives back their new revision.
pub(crate) async fn touch(change: &mut Write, athlete: &str, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    let kept = get(change.conn(), &gym, athlete).await?;
    hold(WHAT, athlete, expected, kept.revision)?;
    sqlx::query("UPDATE athletes SET revision = revision + 1 WHERE gym = $1 AND athlete = $2")
        .bind(gym)
        .bind(athlete)
        .execute(change.conn())
        .await?;
    change.world_changed().await?;
    Ok(kept.revision + 1)
}

/// Removes an athlete of whom nothing else is known: no class, no card, no user.
pub async fn remove(change: &mut Write, athlete: &str, expected: Option<i64>) -> Result<(), DbError> {
    touch(change, athlete, expected).await?;
    let gym = change.gym().to_owned();
    let needed = |why: String| DbError::Needed { what: WHAT, id: athlete.to_owned(), why };
    let classes = found_in(
        change.conn(),
        "SELECT class FROM class_athletes WHERE gym = $1 AND athlete = $2 ORDER BY class",
        &gym,
        athlete,
    );
    if let Some(classes) = classes.await? {
        return Err(needed(format!("named in {classes}; take them off there first, or erase them")));
    }
    let mut paired = Vec::new();
    for kept in classes::list(change.conn(), &gym, classes::Span::default(), i64::MAX).await? {
        let record = kept.value.record;
        if record.together.iter().chain(&record.apart).flatten().any(|id| id == athlete) {
            paired.push(record.id);
        }
    }
    if let Some(classes) = some_of(&paired) {
        return Err(needed(format!("one of a pair in {classes}; take the pair out there first, or erase them")));
    }
    let plans = "SELECT plan FROM cards WHERE gym = $1 AND athlete = $2 ORDER BY plan";
    if let Some(plans) = found_in(change.conn(), plans, &gym, athlete).await? {
        return Err(needed(format!("there are cards of theirs in {plans}; erase them instead")));
    }
    let overrides = "SELECT class FROM overrides WHERE gym = $1 AND athlete = $2 ORDER BY class";
    if let Some(classes) = found_in(change.conn(), overrides, &gym, athlete).await? {
        return Err(needed(format!("a coach has set their card in {classes}; erase them instead")));
    }
    let logins = "SELECT login FROM users WHERE gym = $1 AND athlete = $2 ORDER BY login";
    if let Some(logins) = found_in(change.conn(), logins, &gym, athlete).await? {
        return Err(needed(format!("they are the user {logins}; remove the user first, or erase them")));
    }
    let query = sqlx::query("DELETE FROM athletes WHERE gym = $1 AND athlete = $2").bind(gym).bind(athlete);
    query.execute(change.conn()).await?;
    Ok(())
}

/// A name that says nothing of whoever bears it.
pub(crate) fn random_name() -> Result<String, DbError> {
    let mut bytes = [0; 12];
    getrandom::fill(&mut bytes).map_err(|error| DbError::Damaged(format!("there are no random numbers: {error}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn record(row: &AnyRow) -> Result<Kept<AthleteRecord>, DbError> {
    let (id, number): (String, i64) = (row.try_get(0)?, row.try_get(1)?);
    let maybe =
        |at: usize| -> Result<Option<u32>, DbError> { row.try_get::<Option<i64>, _>(at)?.map(small).transpose() };
    let value = AthleteRecord {
        name: row.try_get(3)?,
        column: small(row.try_get(4)?)?,
        skill: small(row.try_get(5)?)?,
        place: row.try_get(6)?,
        bar: row.try_get(7)?,
        training_share: row.try_get(8)?,
        return_week: maybe(9)?,
        age: maybe(10)?,
        mass: row.try_get(11)?,
        tags: json(WHAT, &id, &row.try_get::<String, _>(12)?)?,
        id,
    };
    Ok(Kept { revision: row.try_get(2)?, place: place(number, &value.id), value })
}
