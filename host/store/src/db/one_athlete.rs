//! Everything that is kept about one athlete outside their own rows: classes, cards, what coaches set by hand, users,
//! entries of the ledger. It is read to be handed to them.

use sqlx::{AnyConnection, Row};

use super::{DbError, athletes};

/// A class that speaks of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClassOf {
    /// The class.
    pub class: String,
    /// Its day.
    pub day: String,
    /// When it starts, by the clock on the wall.
    pub starts: String,
    /// How its list is meant: `all`, `present` or `absent`.
    pub listed: String,
    /// Whether the list names them.
    pub named: bool,
    /// `in` or `out`, where they were checked.
    pub checked: Option<String>,
    /// When, in milliseconds since 1970.
    pub checked_at: Option<i64>,
}

/// A card of theirs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardOf {
    /// The class.
    pub class: String,
    /// The plan that it is of.
    pub plan: String,
    /// Whether that plan stands.
    pub stands: bool,
    /// When it was made, in milliseconds since 1970.
    pub made_at: i64,
    /// The card: JSON.
    pub body: String,
}

/// What a coach set by hand on their card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OverrideOf {
    /// The class.
    pub class: String,
    /// Its id.
    pub id: String,
    /// What was set: JSON.
    pub body: String,
    /// By whom: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

/// A user who is them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UserOf {
    /// The user's id.
    pub user: String,
    /// What they are called.
    pub name: String,
    /// What they log in with.
    pub login: String,
    /// `owner`, `coach` or `athlete`.
    pub role: String,
    /// When they were made, in milliseconds since 1970.
    pub made_at: i64,
}

/// An entry of the ledger about them, or about a user who is them, or of what such a user did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryOf {
    /// Its number.
    pub n: i64,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// Who did it.
    pub who: String,
    /// What was done.
    pub what: String,
    /// To what.
    pub about: String,
    /// JSON.
    pub detail: String,
}

/// Classes whose list names them, or to which they were checked in or out, by day.
pub async fn classes(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<ClassOf>, DbError> {
    let rows = sqlx::query(
        "SELECT c.class, c.day, c.starts, c.listed, l.position, l.checked, l.checked_at FROM class_athletes l
         JOIN classes c ON c.gym = l.gym AND c.class = l.class
         WHERE l.gym = $1 AND l.athlete = $2 ORDER BY c.day, c.starts, c.class",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    let one = |row: &sqlx::any::AnyRow| {
        Ok(ClassOf {
            class: row.try_get(0)?,
            day: row.try_get(1)?,
            starts: row.try_get(2)?,
            listed: row.try_get(3)?,
            named: row.try_get::<Option<i64>, _>(4)?.is_some(),
            checked: row.try_get(5)?,
            checked_at: row.try_get(6)?,
        })
    };
    rows.iter().map(one).collect()
}

/// Their cards of all plans, the oldest first.
pub async fn cards(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<CardOf>, DbError> {
    let rows = sqlx::query(
        "SELECT p.class, p.plan, c.plan, p.made_at, k.body FROM cards k
         JOIN plans p ON p.gym = k.gym AND p.plan = k.plan JOIN classes c ON c.gym = p.gym AND c.class = p.class
         WHERE k.gym = $1 AND k.athlete = $2 ORDER BY p.made_at, p.plan",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    let one = |row: &sqlx::any::AnyRow| {
        let plan: String = row.try_get(1)?;
        let stands = row.try_get::<Option<String>, _>(2)?.as_ref() == Some(&plan);
        Ok(CardOf { class: row.try_get(0)?, plan, stands, made_at: row.try_get(3)?, body: row.try_get(4)? })
    };
    rows.iter().map(one).collect()
}

/// What coaches set by hand on their cards, the oldest first.
pub async fn overrides(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<OverrideOf>, DbError> {
    let rows = sqlx::query(
        "SELECT class, override, body, made_by, made_at FROM overrides WHERE gym = $1 AND athlete = $2
         ORDER BY made_at, class, override",
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    let one = |row: &sqlx::any::AnyRow| {
        Ok(OverrideOf {
            class: row.try_get(0)?,
            id: row.try_get(1)?,
            body: row.try_get(2)?,
            made_by: row.try_get(3)?,
            made_at: row.try_get(4)?,
        })
    };
    rows.iter().map(one).collect()
}

/// Users who are them.
pub async fn users(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<UserOf>, DbError> {
    let rows = sqlx::query(
        r#"SELECT "user", name, login, role, made_at FROM users WHERE gym = $1 AND athlete = $2 ORDER BY "user""#,
    )
    .bind(gym)
    .bind(athlete)
    .fetch_all(conn)
    .await?;
    let one = |row: &sqlx::any::AnyRow| {
        Ok(UserOf {
            user: row.try_get(0)?,
            name: row.try_get(1)?,
            login: row.try_get(2)?,
            role: row.try_get(3)?,
            made_at: row.try_get(4)?,
        })
    };
    rows.iter().map(one).collect()
}

/// Entries of the ledger about them, about users who are them, and of what these did.
pub async fn entries(conn: &mut AnyConnection, gym: &str, athlete: &str) -> Result<Vec<EntryOf>, DbError> {
    let about = format!("athlete:{}", athletes::ledger_name(conn, gym, athlete).await?);
    let rows = sqlx::query(
        r#"SELECT n, at, who, what, about, detail FROM ledger WHERE gym = $1 AND (about = $3
           OR EXISTS (SELECT 1 FROM users u WHERE u.gym = $1 AND u.athlete = $2
                      AND (ledger.who = u."user" OR ledger.about = 'user:' || u."user")))
           ORDER BY n"#,
    )
    .bind(gym)
    .bind(athlete)
    .bind(about)
    .fetch_all(conn)
    .await?;
    let one = |row: &sqlx::any::AnyRow| {
        Ok(EntryOf {
            n: row.try_get(0)?,
            at: row.try_get(1)?,
            who: row.try_get(2)?,
            what: row.try_get(3)?,
            about: row.try_get(4)?,
            detail: row.try_get(5)?,
        })
    };
    rows.iter().map(one).collect()
}
