//! Plans: documents that never change, with what they were made from, and a card row for each athlete.
//!
//! Texts that a plan was made from stand in `inputs` by their digest, so that plans share what seldom changes. Nothing
//! here grows with the number of classes that a gym had: a plan is found by its class, a neighbour by its day.

use std::collections::BTreeMap;

use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::{DbError, Write, digest};

const WHAT: &str = "plan";

/// A plan without its document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Its id: the class's, a hyphen, and a number from 1.
    pub plan: String,
    /// The class.
    pub class: String,
    /// The plan that was planned anew.
    pub parent: Option<String>,
    /// Digest of the document as it was made.
    pub digest: String,
    /// Who had it made: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

/// A plan to be kept.
#[derive(Clone, Debug)]
pub struct New<'a> {
    /// The class.
    pub class: &'a str,
    /// The plan that was planned anew.
    pub parent: Option<&'a str>,
    /// The document, byte for byte.
    pub body: &'a str,
    /// The question that it answers: JSON.
    pub inputs: &'a str,
    /// Texts that the question names by digest.
    pub texts: &'a BTreeMap<String, String>,
    /// Digests of the components that were asked.
    pub components: &'a [String],
    /// Athletes with their cards as they stand in the document.
    pub cards: &'a [(String, String)],
}

/// Another class whose plan stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Neighbour {
    /// The class.
    pub class: String,
    /// Its plan.
    pub plan: String,
    /// Digest of that.
    pub digest: String,
    /// The day of the class.
    pub day: String,
    /// When it starts, by the clock on the wall.
    pub starts: String,
    /// The zone of that clock.
    pub zone: String,
}

/// The columns of [`Head`].
const HEAD: &str = "plan, class, parent, digest, made_by, made_at";

/// Keeps a plan, makes it the one that stands, and gives back its id.
pub async fn insert(change: &mut Write, new: &New<'_>) -> Result<String, DbError> {
    let (gym, who, at) = (change.gym().to_owned(), change.who().to_owned(), change.at());
    let plan = next_id(change.conn(), &gym, new.class).await?;
    for (digest, text) in new.texts {
        sqlx::query("INSERT INTO inputs (gym, digest, body) VALUES ($1, $2, $3) ON CONFLICT (gym, digest) DO NOTHING")
            .bind(&gym)
            .bind(digest)
            .bind(text)
            .execute(change.conn())
            .await?;
    }
    sqlx::query(
        "INSERT INTO plans (gym, plan, class, parent, digest, body, inputs, made_by, made_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
    )
    .bind(&gym)
    .bind(&plan)
    .bind(new.class)
    .bind(new.parent)
    .bind(digest(new.body))
    .bind(new.body)
    .bind(new.inputs)
    .bind(who)
    .bind(at)
    .execute(change.conn())
    .await?;
    for component in new.components {
        sqlx::query(
            "INSERT INTO plan_components (gym, plan, digest) VALUES ($1, $2, $3)
             ON CONFLICT (gym, plan, digest) DO NOTHING",
        )
        .bind(&gym)
        .bind(&plan)
        .bind(component)
        .execute(change.conn())
        .await?;
    }
    for (athlete, body) in new.cards {
        sqlx::query("INSERT INTO cards (gym, plan, athlete, body) VALUES ($1, $2, $3, $4)")
            .bind(&gym)
            .bind(&plan)
            .bind(athlete)
            .bind(body)
            .execute(change.conn())
            .await?;
    }
    let query = sqlx::query("UPDATE classes SET plan = $3 WHERE gym = $1 AND class = $2");
    query.bind(&gym).bind(new.class).bind(&plan).execute(change.conn()).await?;
    Ok(plan)
}

/// A plan without its document.
pub async fn head(conn: &mut AnyConnection, gym: &str, plan: &str) -> Result<Head, DbError> {
    let query = format!("SELECT {HEAD} FROM plans WHERE gym = $1 AND plan = $2");
    let row = sqlx::query(sqlx::AssertSqlSafe(query)).bind(gym).bind(plan).fetch_optional(conn).await?;
    row.as_ref().map(read).transpose()?.ok_or_else(|| missing(plan))
}

/// A plan's document.
pub async fn body(conn: &mut AnyConnection, gym: &str, plan: &str) -> Result<String, DbError> {
    let query = sqlx::query("SELECT body FROM plans WHERE gym = $1 AND plan = $2").bind(gym).bind(plan);
    let row = query.fetch_optional(conn).await?;
    Ok(row.ok_or_else(|| missing(plan))?.try_get(0)?)
}

/// The question that a plan answers.
pub async fn inputs(conn: &mut AnyConnection, gym: &str, plan: &str) -> Result<String, DbError> {
    let query = sqlx::query("SELECT inputs FROM plans WHERE gym = $1 AND plan = $2").bind(gym).bind(plan);
    let row = query.fetch_optional(conn).await?;
    Ok(row.ok_or_else(|| missing(plan))?.try_get(0)?)
}

/// A text by its digest, if it is still kept.
pub async fn text(conn: &mut AnyConnection, gym: &str, digest: &str) -> Result<Option<String>, DbError> {
    let query = sqlx::query("SELECT body FROM inputs WHERE gym = $1 AND digest = $2").bind(gym).bind(digest);
    Ok(query.fetch_optional(conn).await?.map(|row| row.try_get(0)).transpose()?)
}

/// Plans of a class, the newest first, from behind one; from the newest with an empty id.
pub async fn of_class(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    after: &str,
    limit: i64,
) -> Result<Vec<Head>, DbError> {
    let before = if after.is_empty() { i64::MAX } else { head(conn, gym, after).await?.made_at };
    let query = format!(
        "SELECT {HEAD} FROM plans WHERE gym = $1 AND class = $2 AND made_at <= $3
         AND (made_at < $3 OR $4 = '' OR LENGTH(plan) < LENGTH($4) OR (LENGTH(plan) = LENGTH($4) AND plan < $4))
         ORDER BY made_at DESC, LENGTH(plan) DESC, plan DESC LIMIT $5"
    );
    let query = sqlx::query(sqlx::AssertSqlSafe(query)).bind(gym).bind(class).bind(before).bind(after).bind(limit);
    query.fetch_all(conn).await?.iter().map(read).collect()
}

/// The plan of a class that stands.
pub async fn standing(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<Option<String>, DbError> {
    let query = sqlx::query("SELECT plan FROM classes WHERE gym = $1 AND class = $2").bind(gym).bind(class);
    let row = query.fetch_optional(conn).await?;
    Ok(row.ok_or_else(|| DbError::Missing { what: "class", id: class.to_owned() })?.try_get(0)?)
}

/// Other classes of some days whose plans stand, in order of start.
pub async fn neighbours(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    days: (&str, &str),
) -> Result<Vec<Neighbour>, DbError> {
    let rows = sqlx::query(
        "SELECT c.class, p.plan, p.digest, c.day, c.starts, c.zone FROM classes c JOIN plans p ON p.gym = c.gym AND p.plan = c.plan
         WHERE c.gym = $1 AND c.day >= $2 AND c.day <= $3 AND c.class <> $4 ORDER BY c.day, c.starts, c.class",
    )
    .bind(gym)
    .bind(days.0)
    .bind(days.1)
    .bind(class)
    .fetch_all(conn)
    .await?;
    let one = |row: &AnyRow| {
        Ok(Neighbour {
            class: row.try_get(0)?,
            plan: row.try_get(1)?,
            digest: row.try_get(2)?,
            day: row.try_get(3)?,
            starts: row.try_get(4)?,
            zone: row.try_get(5)?,
        })
    };
    rows.iter().map(one).collect()
}

/// Plans that stand, of the classes of some days, the latest day first.
pub async fn standing_of_days(
    conn: &mut AnyConnection,
    gym: &str,
    days: (&str, &str),
    limit: i64,
) -> Result<Vec<Head>, DbError> {
    let rows = sqlx::query(
        "SELECT p.plan, p.class, p.parent, p.digest, p.made_by, p.made_at
         FROM classes c JOIN plans p ON p.gym = c.gym AND p.plan = c.plan
         WHERE c.gym = $1 AND c.day >= $2 AND c.day <= $3 ORDER BY c.day DESC, c.starts DESC, c.class LIMIT $4",
    )
    .bind(gym)
    .bind(days.0)
    .bind(days.1)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// One athlete's card of the plan that stands, with that plan; `None` where no plan stands or they are not in it.
pub async fn standing_card(
    conn: &mut AnyConnection,
    gym: &str,
    class: &str,
    athlete: &str,
) -> Result<Option<(String, String)>, DbError> {
    let row = sqlx::query(
        "SELECT k.plan, k.body FROM classes c JOIN cards k ON k.gym = c.gym AND k.plan = c.plan
         WHERE c.gym = $1 AND c.class = $2 AND k.athlete = $3",
    )
    .bind(gym)
    .bind(class)
    .bind(athlete)
    .fetch_optional(conn)
    .await?;
    row.map(|row| Ok((row.try_get(0)?, row.try_get(1)?))).transpose()
}

async fn next_id(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<String, DbError> {
    let query = sqlx::query("SELECT COUNT(*) FROM plans WHERE gym = $1 AND class = $2").bind(gym).bind(class);
    let count: i64 = query.fetch_one(conn).await?.try_get(0)?;
    Ok(format!("{class}-{}", count + 1))
}

fn missing(plan: &str) -> DbError {
    DbError::Missing { what: WHAT, id: plan.to_owned() }
}

fn read(row: &AnyRow) -> Result<Head, DbError> {
    Ok(Head {
        plan: row.try_get(0)?,
        class: row.try_get(1)?,
        parent: row.try_get(2)?,
        digest: row.try_get(3)?,
        made_by: row.try_get(4)?,
        made_at: row.try_get(5)?,
    })
}
