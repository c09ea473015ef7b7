//! Rows of any table: carried from one database to another, and summed up in a digest that is the same on both.

use futures::TryStreamExt;
use sha2::{Digest, Sha256};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use super::DbError;
use super::digest::hex;
use super::tables::{Kind, Table};

/// Rows that are written at once, and the bytes of texts after which it is done earlier.
const AT_ONCE: usize = 100;
const BYTES_AT_ONCE: usize = 4 << 20;

/// What stands in a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Sum {
    pub(crate) rows: i64,
    pub(crate) digest: String,
}

enum Value {
    Integer(Option<i64>),
    Text(Option<String>),
    Bytes(Option<Vec<u8>>),
}

/// Sums up a table.
pub(crate) async fn sum(conn: &mut AnyConnection, table: &Table) -> Result<Sum, DbError> {
    let mut adder = Adder::default();
    let mut rows = sqlx::query(table.select()).fetch(conn);
    while let Some(row) = rows.try_next().await? {
        adder.add(&values(table, &row)?);
    }
    Ok(adder.done())
}

/// Carries all rows of a table over, and sums up what was read.
pub(crate) async fn carry(from: &mut AnyConnection, to: &mut AnyConnection, table: &Table) -> Result<Sum, DbError> {
    let mut adder = Adder::default();
    let (mut batch, mut bytes) = (Vec::with_capacity(AT_ONCE), 0);
    let mut rows = sqlx::query(table.select()).fetch(from);
    while let Some(row) = rows.try_next().await? {
        let values = values(table, &row)?;
        adder.add(&values);
        bytes += values.iter().map(Value::len).sum::<usize>();
        batch.push(values);
        if batch.len() == AT_ONCE || bytes >= BYTES_AT_ONCE {
            write(to, table, std::mem::take(&mut batch)).await?;
            bytes = 0;
        }
    }
    write(to, table, batch).await?;
    Ok(adder.done())
}

async fn write(to: &mut AnyConnection, table: &Table, batch: Vec<Vec<Value>>) -> Result<(), DbError> {
    if batch.is_empty() {
        return Ok(());
    }
    // A full batch comes again, others do not.
    let mut query = sqlx::query(table.insert(batch.len())).persistent(batch.len() == AT_ONCE);
    for value in batch.into_iter().flatten() {
        query = match value {
            Value::Integer(value) => query.bind(value),
            Value::Text(value) => query.bind(value),
            Value::Bytes(value) => query.bind(value),
        };
    }
    query.execute(to).await?;
    Ok(())
}

fn values(table: &Table, row: &AnyRow) -> Result<Vec<Value>, DbError> {
    let values = table.columns.iter().enumerate().map(|(at, column)| {
        Ok(match column.kind {
            Kind::Integer => Value::Integer(row.try_get(at)?),
            Kind::Text => Value::Text(row.try_get(at)?),
            Kind::Bytes => Value::Bytes(row.try_get(at)?),
        })
    });
    values.collect()
}

impl Value {
    fn len(&self) -> usize {
        match self {
            Value::Integer(_) => 8,
            Value::Text(text) => text.as_ref().map_or(0, String::len),
            Value::Bytes(bytes) => bytes.as_ref().map_or(0, Vec::len),
        }
    }
}

#[derive(Default)]
struct Adder {
    rows: i64,
    digest: Sha256,
}

impl Adder {
    /// Every value with its kind and length, so that no two tables look the same.
    fn add(&mut self, values: &[Value]) {
        self.rows += 1;
        for value in values {
            match value {
                Value::Integer(Some(number)) => self.put(b'i', &number.to_be_bytes()),
                Value::Text(Some(text)) => self.put(b't', text.as_bytes()),
                Value::Bytes(Some(bytes)) => self.put(b'b', bytes),
                Value::Integer(None) | Value::Text(None) | Value::Bytes(None) => self.put(b'n', &[]),
            }
        }
    }

    fn put(&mut self, kind: u8, bytes: &[u8]) {
        self.digest.update([kind]);
        self.digest.update((bytes.len() as u64).to_be_bytes());
        self.digest.update(bytes);
    }

    fn done(self) -> Sum {
        Sum { rows: self.rows, digest: hex(&self.digest.finalize()) }
    }
}
