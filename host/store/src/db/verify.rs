//! Whether what is kept is still what was written: every row that must be there for another, every ledger, every
//! component, plan and input against its digest; of a file also its pages, of a backup also its tables against what
//! it says of them.
//!
//! Nothing is changed, and others may go on writing.

use std::path::Path;

use futures::TryStreamExt;
use sqlx::any::AnyConnectOptions;
use sqlx::{AnyConnection, ConnectOptions, Connection, Row};

use super::tables::{self, Table};
use super::{Backend, Db, DbError, digest, gyms, ledger, place, rows, schema};

/// Something that is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What, in a sentence.
    pub what: String,
    /// Whether something may be lost: the file itself is not as it was written. Otherwise everything can be read, but
    /// it does not fit together.
    pub damage: bool,
}

#[derive(Default)]
struct Problems(Vec<Problem>);

/// Everything that is wrong with the data; empty where all is well.
pub async fn data(db: &Db) -> Result<Vec<Problem>, DbError> {
    let tables = tables::known(None).await?;
    let mut snapshot = db.snapshot().await?;
    let mut problems = Problems::default();
    if db.backend() == Backend::Sqlite {
        pages(&mut snapshot, &mut problems).await?;
    }
    meaning(&mut snapshot, &tables, &mut problems).await?;
    Ok(problems.0)
}

/// Everything that is wrong with a backup, or with a file of data that is not opened.
///
/// # Errors
///
/// [`DbError::Open`] where the file cannot be read at all. One that is no data of ours has a problem.
pub async fn file(path: &Path) -> Result<Vec<Problem>, DbError> {
    std::fs::File::open(path).map_err(|error| DbError::reading(path, error))?;
    let mut problems = Problems::default();
    if let Err(error) = look_into(path, &mut problems).await {
        problems.damage(format!("it cannot be read to the end: {error}"));
    }
    Ok(problems.0)
}

async fn look_into(path: &Path, problems: &mut Problems) -> Result<(), DbError> {
    let mut conn = read_only(path).await?;
    pages(&mut conn, problems).await?;
    match version(&mut conn).await {
        Ok(version) if version > schema::newest(Backend::Sqlite) => {
            problems.damage(format!("it was written by a newer classwright (schema {version}): use that one"));
        }
        Ok(version) => {
            let tables = tables::of_file(&mut conn).await?;
            same_tables(&tables, version, problems).await?;
            contents(&mut conn, &tables, problems).await?;
            meaning(&mut conn, &tables, problems).await?;
        }
        Err(_) => problems.damage("it is no data of classwright".into()),
    }
    Ok(conn.close().await?)
}

/// The tables of a file against those that its schema has.
async fn same_tables(tables: &[Table], version: i64, problems: &mut Problems) -> Result<(), DbError> {
    for known in tables::known(Some(version)).await? {
        if !tables.contains(&known) {
            problems.damage(format!("`{}` is not the table of schema {version}", known.name));
        }
    }
    Ok(())
}

/// A file, to look into.
pub(super) async fn read_only(path: &Path) -> Result<AnyConnection, DbError> {
    sqlx::any::install_default_drivers();
    let options: AnyConnectOptions = place::file_url(path, "ro").parse()?;
    Ok(options.connect().await?)
}

/// The schema of a file.
pub(super) async fn version(conn: &mut AnyConnection) -> Result<i64, DbError> {
    Ok(sqlx::query("SELECT MAX(version) FROM _sqlx_migrations").fetch_one(conn).await?.try_get(0)?)
}

/// What SQLite finds in its own pages.
async fn pages(conn: &mut AnyConnection, problems: &mut Problems) -> Result<(), DbError> {
    for row in sqlx::query("PRAGMA integrity_check(20)").fetch_all(conn).await? {
        let said: String = row.try_get(0)?;
        if said != "ok" {
            problems.damage(format!("the file is damaged: {said}"));
        }
    }
    Ok(())
}

/// The tables of a backup against what it says of them.
async fn contents(conn: &mut AnyConnection, tables: &[Table], problems: &mut Problems) -> Result<(), DbError> {
    let is_backup = sqlx::query("SELECT COUNT(*) FROM sqlite_schema WHERE type = 'table' AND name = 'contents'");
    if is_backup.fetch_one(&mut *conn).await?.try_get::<i64, _>(0)? == 0 {
        return Ok(());
    }
    for table in tables {
        let row = sqlx::query("SELECT entries, digest FROM contents WHERE name = $1")
            .bind(&table.name)
            .fetch_optional(&mut *conn)
            .await?;
        let Some(row) = row else {
            problems.damage(format!("the backup does not say what `{}` holds", table.name));
            continue;
        };
        let (entries, digest): (i64, String) = (row.try_get(0)?, row.try_get(1)?);
        let is = rows::sum(conn, table).await?;
        if is.rows != entries {
            problems.damage(format!("`{}` has {} rows, and had {entries} when it was backed up", table.name, is.rows));
        } else if is.digest != digest {
            problems.damage(format!("`{}` is not as it was when it was backed up", table.name));
        }
    }
    Ok(())
}

/// What must hold between rows, whatever keeps them.
async fn meaning(conn: &mut AnyConnection, tables: &[Table], problems: &mut Problems) -> Result<(), DbError> {
    for table in tables {
        for reference in &table.references {
            let lost: i64 = sqlx::query(table.lost(reference)).fetch_one(&mut *conn).await?.try_get(0)?;
            if lost > 0 {
                let (name, to) = (&table.name, &reference.to);
                problems.damage(format!("{lost} of `{name}` refer to what is not in `{to}`"));
            }
        }
    }
    for gym in gyms::ids(&mut *conn).await? {
        if let Some(broken) = ledger::verify(&mut *conn, &gym).await? {
            problems.misfit(format!("the ledger of `{gym}`: {}", broken.what));
        }
    }
    digests(conn, "SELECT gym, digest, digest, bytes FROM components ORDER BY gym, digest", "component", problems)
        .await?;
    digests(conn, "SELECT gym, digest, digest, body FROM inputs ORDER BY gym, digest", "input", problems).await?;
    digests(conn, "SELECT gym, plan, digest, body FROM plans ORDER BY gym, plan", "plan", problems).await
}

/// Holds what stands in the last column against its digest.
async fn digests(
    conn: &mut AnyConnection,
    select: &'static str,
    what: &str,
    problems: &mut Problems,
) -> Result<(), DbError> {
    let mut rows = sqlx::query(select).fetch(conn);
    while let Some(row) = rows.try_next().await? {
        let is = match row.try_get::<Vec<u8>, _>(3) {
            Ok(bytes) => digest(bytes),
            Err(_) => digest(row.try_get::<String, _>(3)?),
        };
        if is != row.try_get::<String, _>(2)? {
            let (gym, id): (String, String) = (row.try_get(0)?, row.try_get(1)?);
            problems.misfit(format!("{what} `{id}` of `{gym}` was changed: it no longer has its digest"));
        }
    }
    Ok(())
}

impl Problems {
    fn damage(&mut self, what: String) {
        self.0.push(Problem { what, damage: true });
    }

    fn misfit(&mut self, what: String) {
        self.0.push(Problem { what, damage: false });
    }
}
