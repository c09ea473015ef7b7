//! The gyms themselves.

use serde_json::{Value, json};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::kept::hold;
use super::{DbError, Write};

/// A gym, as it is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Gym {
    /// Its id.
    pub gym: String,
    /// What it is called.
    pub name: String,
    /// How its floor is run.
    pub rules: Value,
    /// Kinds of kit that only this gym has.
    pub kit_kinds: Value,
    /// Counts changes of its name, rules and kinds of kit.
    pub revision: i64,
    /// Counts changes of everything that classes are planned from.
    pub world: i64,
    /// When it was made, in milliseconds since 1970.
    pub made_at: i64,
}

/// What changes about a gym; what is `None` stays.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GymChange<'a> {
    /// What it is called.
    pub name: Option<&'a str>,
    /// How its floor is run.
    pub rules: Option<&'a Value>,
    /// Kinds of kit that only this gym has.
    pub kit_kinds: Option<&'a Value>,
}

/// A gym.
pub async fn get(conn: &mut AnyConnection, gym: &str) -> Result<Gym, DbError> {
    let row = sqlx::query("SELECT gym, name, rules, kit_kinds, revision, world, made_at FROM gyms WHERE gym = $1")
        .bind(gym)
        .fetch_optional(conn)
        .await?;
    read(&row.ok_or_else(|| DbError::missing("gym", gym))?)
}

/// Gyms in the order of their ids, from behind one; from the start with an empty id.
pub async fn list(conn: &mut AnyConnection, after: &str, limit: i64) -> Result<Vec<Gym>, DbError> {
    let rows = sqlx::query(
        "SELECT gym, name, rules, kit_kinds, revision, world, made_at FROM gyms WHERE gym > $1 ORDER BY gym LIMIT $2",
    )
    .bind(after)
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter().map(read).collect()
}

/// Ids of all gyms, in order.
pub async fn ids(conn: &mut AnyConnection) -> Result<Vec<String>, DbError> {
    let rows = sqlx::query("SELECT gym FROM gyms ORDER BY gym").fetch_all(conn).await?;
    rows.iter().map(|row| Ok(row.try_get(0)?)).collect()
}

/// How often what a gym's classes are planned from has changed.
pub async fn world(conn: &mut AnyConnection, gym: &str) -> Result<i64, DbError> {
    let row = sqlx::query("SELECT world FROM gyms WHERE gym = $1").bind(gym).fetch_optional(conn).await?;
    Ok(row.ok_or_else(|| DbError::missing("gym", gym))?.try_get(0)?)
}

/// Makes the gym of the change. Noted in the ledger.
pub async fn make(w: &mut Write, name: &str, rules: &Value, kit_kinds: &Value) -> Result<(), DbError> {
    let (gym, at) = (w.gym().to_owned(), w.at());
    let made = sqlx::query(
        "INSERT INTO gyms (gym, name, rules, kit_kinds, revision, world, made_at)
         VALUES ($1, $2, $3, $4, 1, 1, $5) ON CONFLICT DO NOTHING",
    )
    .bind(&gym)
    .bind(name)
    .bind(rules.to_string())
    .bind(kit_kinds.to_string())
    .bind(at)
    .execute(w.conn())
    .await?;
    if made.rows_affected() == 0 {
        return Err(DbError::exists("gym", &gym));
    }
    w.note("gym.made", &format!("gym:{gym}"), json!({ "name": name })).await
}

/// Changes the gym of the change, and answers with its new revision. Noted in the ledger.
pub async fn change(w: &mut Write, change: &GymChange<'_>, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = w.gym().to_owned();
    let now = get(w.conn(), &gym).await?;
    hold("gym", &gym, expected, now.revision)?;
    let GymChange { name, rules, kit_kinds } = *change;
    sqlx::query("UPDATE gyms SET name = $2, rules = $3, kit_kinds = $4, revision = revision + 1 WHERE gym = $1")
        .bind(&gym)
        .bind(name.unwrap_or(&now.name))
        .bind(rules.unwrap_or(&now.rules).to_string())
        .bind(kit_kinds.unwrap_or(&now.kit_kinds).to_string())
        .execute(w.conn())
        .await?;
    w.world_changed().await?;
    let detail = json!({ "name": name, "rules": rules, "kit-kinds": kit_kinds });
    w.note("gym.changed", &format!("gym:{gym}"), detail).await?;
    Ok(now.revision + 1)
}

fn read(row: &AnyRow) -> Result<Gym, DbError> {
    let gym: String = row.try_get(0)?;
    let json = |at: usize| -> Result<Value, DbError> {
        let text: String = row.try_get(at)?;
        serde_json::from_str(&text).map_err(|error| DbError::Damaged(format!("gym `{gym}`: {error}")))
    };
    Ok(Gym {
        name: row.try_get(1)?,
        rules: json(2)?,
        kit_kinds: json(3)?,
        revision: row.try_get(4)?,
        world: row.try_get(5)?,
        made_at: row.try_get(6)?,
        gym,
    })
}
