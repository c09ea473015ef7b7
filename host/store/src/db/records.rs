//! What all classes of a gym are planned from, as records.

use sqlx::{AnyConnection, Row};

use super::classes::Class;
use super::kept::json;
use super::sessions::Text;
use super::{DbError, Kept, athletes, classes, kits, movements, sessions};
use crate::record::GymRecords;

/// The gym without its classes, its sessions and its shelf: what a change of `world` is a change of.
pub async fn gym(conn: &mut AnyConnection, gym: &str) -> Result<GymRecords, DbError> {
    let row = sqlx::query("SELECT name, rules, kit_kinds FROM gyms WHERE gym = $1").bind(gym);
    let row = row.fetch_optional(&mut *conn).await?;
    let row = row.ok_or_else(|| DbError::Missing { what: "gym", id: gym.to_owned() })?;
    let (floor_kit, homes) = kits::all(conn, gym).await?;
    Ok(GymRecords {
        name: row.try_get(0)?,
        rules: json("rules of gym", gym, &row.try_get::<String, _>(1)?)?,
        kit_kinds: json("kinds of kit of gym", gym, &row.try_get::<String, _>(2)?)?,
        movements: movements::all(conn, gym).await?,
        floor_kit,
        homes,
        athletes: athletes::all(conn, gym).await?,
        ..GymRecords::default()
    })
}

/// A class with the text of its session.
pub async fn class(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<(Kept<Class>, Text), DbError> {
    let class = classes::get(conn, gym, class).await?;
    let text = sessions::get(conn, gym, &class.value.record.session).await?;
    Ok((class, text))
}
