//! Tables that keep a JSON document for each id, in an order of their own: kit by place, movements.

use serde::Serialize;
use serde::de::DeserializeOwned;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Row};

use super::kept::{after, hold, json, place, text};
use super::{DbError, Kept, Write};

/// Such a table. Every change of it changes what classes are planned from.
pub(crate) struct Documents {
    /// The table.
    pub(crate) table: &'static str,
    /// Its column with the id.
    pub(crate) key: &'static str,
    /// What a document is, for errors.
    pub(crate) what: &'static str,
}

impl Documents {
    pub(crate) async fn find<T: DeserializeOwned>(
        &self,
        conn: &mut AnyConnection,
        gym: &str,
        id: &str,
    ) -> Result<Option<Kept<T>>, DbError> {
        let Documents { table, key, .. } = self;
        let query = format!("SELECT {key}, position, revision, body FROM {table} WHERE gym = $1 AND {key} = $2");
        let row = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(id).fetch_optional(conn).await?;
        Ok(row.map(|row| self.row(&row)).transpose()?.map(|kept| kept.map(|(_, value)| value)))
    }

    /// Those after a place, with their ids.
    pub(crate) async fn list<T: DeserializeOwned>(
        &self,
        conn: &mut AnyConnection,
        gym: &str,
        place: &str,
        limit: i64,
    ) -> Result<Vec<Kept<(String, T)>>, DbError> {
        let Documents { table, key, .. } = self;
        let (number, id) = after(place)?;
        let query = format!(
            "SELECT {key}, position, revision, body FROM {table} WHERE gym = $1 AND (position, {key}) > ($2, $3)
             ORDER BY position, {key} LIMIT $4"
        );
        let query = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(number).bind(id).bind(limit);
        query.fetch_all(conn).await?.iter().map(|row| self.row(row)).collect()
    }

    /// Puts a new one at the end, or at the very front.
    pub(crate) async fn insert<T: Serialize>(
        &self,
        change: &mut Write,
        id: &str,
        body: &T,
        front: bool,
    ) -> Result<i64, DbError> {
        let Documents { table, key, what } = self;
        let gym = change.gym().to_owned();
        let at = if front { "0 * COUNT(*)" } else { "COALESCE(MAX(position), 0) + 1" };
        let query = format!(
            "INSERT INTO {table} (gym, {key}, position, revision, body)
             SELECT $1, $2, {at}, 1, $3 FROM {table} WHERE gym = $1
             ON CONFLICT (gym, {key}) DO NOTHING"
        );
        let query = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(id).bind(text(body)?);
        if query.execute(change.conn()).await?.rows_affected() == 0 {
            return Err(DbError::Exists { what, id: id.to_owned() });
        }
        change.world_changed().await?;
        Ok(1)
    }

    pub(crate) async fn put<T: Serialize>(
        &self,
        change: &mut Write,
        id: &str,
        body: &T,
        expected: Option<i64>,
    ) -> Result<i64, DbError> {
        let Documents { table, key, .. } = self;
        let revision = self.held(change, id, expected).await? + 1;
        let gym = change.gym().to_owned();
        let query = format!("UPDATE {table} SET revision = $3, body = $4 WHERE gym = $1 AND {key} = $2");
        let query = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(id).bind(revision).bind(text(body)?);
        query.execute(change.conn()).await?;
        change.world_changed().await?;
        Ok(revision)
    }

    pub(crate) async fn remove(&self, change: &mut Write, id: &str, expected: Option<i64>) -> Result<(), DbError> {
        let Documents { table, key, .. } = self;
        self.held(change, id, expected).await?;
        let gym = change.gym().to_owned();
        let query = format!("DELETE FROM {table} WHERE gym = $1 AND {key} = $2");
        sqlx::query(AssertSqlSafe(query)).bind(gym).bind(id).execute(change.conn()).await?;
        change.world_changed().await
    }

    /// The revision that stands, where an editor may change it.
    async fn held(&self, change: &mut Write, id: &str, expected: Option<i64>) -> Result<i64, DbError> {
        let Documents { table, key, what } = self;
        let gym = change.gym().to_owned();
        let query = format!("SELECT revision FROM {table} WHERE gym = $1 AND {key} = $2");
        let query = sqlx::query_scalar::<sqlx::Any, i64>(AssertSqlSafe(query)).bind(gym).bind(id);
        let found = query.fetch_optional(change.conn()).await?;
        let revision = found.ok_or_else(|| DbError::Missing { what, id: id.to_owned() })?;
        hold(what, id, expected, revision)?;
        Ok(revision)
    }

    fn row<T: DeserializeOwned>(&self, row: &AnyRow) -> Result<Kept<(String, T)>, DbError> {
        let (id, number): (String, i64) = (row.try_get(0)?, row.try_get(1)?);
        let value = json(self.what, &id, &row.try_get::<String, _>(3)?)?;
        Ok(Kept { revision: row.try_get(2)?, place: place(number, &id), value: (id, value) })
    }
}
