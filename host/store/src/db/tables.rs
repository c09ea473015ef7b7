//! Every table as the schema has it, for what concerns all of them: backups and checks.
//!
//! The schema is asked, so that a new column needs nothing here. PostgreSQL has the same tables as SQLite, which is the
//! one that is asked.

use sqlx::any::AnyConnectOptions;
use sqlx::{AnyConnection, AssertSqlSafe, ConnectOptions, Connection, Row};

use super::{Backend, DbError, schema};

/// A table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Table {
    pub(crate) name: String,
    pub(crate) columns: Vec<Column>,
    /// What its rows are known by.
    pub(crate) key: Vec<String>,
    pub(crate) references: Vec<Reference>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Column {
    pub(crate) name: String,
    pub(crate) kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Integer,
    Text,
    Bytes,
}

/// What rows of a table must be there for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Reference {
    pub(crate) to: String,
    /// Own columns and those of the other table.
    pub(crate) columns: Vec<(String, String)>,
}

/// The tables of this host's schema, or of an earlier one, each behind those that it refers to.
pub(crate) async fn known(version: Option<i64>) -> Result<Vec<Table>, DbError> {
    sqlx::any::install_default_drivers();
    let options: AnyConnectOptions = "sqlite::memory:".parse()?;
    let mut memory = options.connect().await?;
    let brought = schema::bring_up(&mut memory, Backend::Sqlite, version).await;
    brought.map_err(|error| DbError::Damaged(format!("the schema of this host: {error}")))?;
    let tables = of_file(&mut memory).await?;
    memory.close().await?;
    Ok(tables)
}

/// The tables of a SQLite file, but for those of the tools, in the order in which they were made.
pub(crate) async fn of_file(conn: &mut AnyConnection) -> Result<Vec<Table>, DbError> {
    let names = sqlx::query(
        "SELECT name FROM sqlite_schema
         WHERE type = 'table' AND name NOT IN ('contents', '_sqlx_migrations') AND name NOT LIKE 'sqlite%'
         ORDER BY rowid",
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut tables = Vec::with_capacity(names.len());
    for name in names {
        tables.push(table(conn, name.try_get(0)?).await?);
    }
    let keys: Vec<_> = tables.iter().map(|table: &Table| (table.name.clone(), table.key.clone())).collect();
    for reference in tables.iter_mut().flat_map(|table| &mut table.references) {
        // A reference that names no columns is to the key.
        let key = keys.iter().find(|(name, _)| *name == reference.to).map_or(&[][..], |(_, key)| key);
        for ((_, to), part) in reference.columns.iter_mut().zip(key) {
            if to.is_empty() {
                part.clone_into(to);
            }
        }
    }
    Ok(tables)
}

async fn table(conn: &mut AnyConnection, name: String) -> Result<Table, DbError> {
    let rows = sqlx::query("SELECT name, type, pk FROM pragma_table_info($1) ORDER BY cid")
        .bind(&name)
        .fetch_all(&mut *conn)
        .await?;
    let mut key = Vec::new();
    let mut columns = Vec::with_capacity(rows.len());
    for row in &rows {
        let column: String = row.try_get(0)?;
        let at: i64 = row.try_get(2)?;
        if at > 0 {
            key.push((at, column.clone()));
        }
        columns.push(Column { kind: kind(&name, &row.try_get::<String, _>(1)?)?, name: column });
    }
    key.sort();
    let references = references(conn, &name).await?;
    Ok(Table { name, columns, key: key.into_iter().map(|(_, column)| column).collect(), references })
}

async fn references(conn: &mut AnyConnection, name: &str) -> Result<Vec<Reference>, DbError> {
    let rows = sqlx::query(
        r#"SELECT id, "table", "from", COALESCE("to", '') FROM pragma_foreign_key_list($1) ORDER BY id, seq"#,
    )
    .bind(name)
    .fetch_all(conn)
    .await?;
    let mut references: Vec<(i64, Reference)> = Vec::new();
    for row in &rows {
        let (id, own, other) = (row.try_get(0)?, row.try_get(2)?, row.try_get(3)?);
        match references.last_mut() {
            Some((last, reference)) if *last == id => reference.columns.push((own, other)),
            _ => references.push((id, Reference { to: row.try_get(1)?, columns: vec![(own, other)] })),
        }
    }
    Ok(references.into_iter().map(|(_, reference)| reference).collect())
}

fn kind(table: &str, declared: &str) -> Result<Kind, DbError> {
    match declared {
        "INTEGER" => Ok(Kind::Integer),
        "TEXT" => Ok(Kind::Text),
        "BLOB" => Ok(Kind::Bytes),
        other => Err(DbError::Damaged(format!("a column of `{table}` is `{other}`, which no classwright makes"))),
    }
}

impl Table {
    /// All rows, in the order of the key.
    pub(crate) fn select(&self) -> AssertSqlSafe<String> {
        let columns: Vec<_> = self.columns.iter().map(|column| quoted(&column.name)).collect();
        let key: Vec<_> = self.key.iter().map(|column| quoted(column)).collect();
        AssertSqlSafe(format!("SELECT {} FROM {} ORDER BY {}", columns.join(", "), quoted(&self.name), key.join(", ")))
    }

    /// So many new rows.
    pub(crate) fn insert(&self, rows: usize) -> AssertSqlSafe<String> {
        let columns: Vec<_> = self.columns.iter().map(|column| quoted(&column.name)).collect();
        let mut n = 0;
        let rows: Vec<_> = (0..rows)
            .map(|_| {
                let places: Vec<_> = self
                    .columns
                    .iter()
                    .map(|_| {
                        n += 1;
                        format!("${n}")
                    })
                    .collect();
                format!("({})", places.join(", "))
            })
            .collect();
        AssertSqlSafe(format!("INSERT INTO {} ({}) VALUES {}", quoted(&self.name), columns.join(", "), rows.join(", ")))
    }

    /// How many rows refer to what is not there.
    pub(crate) fn lost(&self, reference: &Reference) -> AssertSqlSafe<String> {
        let named: Vec<_> = reference.columns.iter().map(|(own, _)| format!("c.{} IS NOT NULL", quoted(own))).collect();
        let same: Vec<_> =
            reference.columns.iter().map(|(own, to)| format!("p.{} = c.{}", quoted(to), quoted(own))).collect();
        AssertSqlSafe(format!(
            "SELECT COUNT(*) FROM {} c WHERE {} AND NOT EXISTS (SELECT 1 FROM {} p WHERE {})",
            quoted(&self.name),
            named.join(" AND "),
            quoted(&reference.to),
            same.join(" AND ")
        ))
    }
}

fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}
