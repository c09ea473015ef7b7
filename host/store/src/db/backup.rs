//! Backups: one SQLite file with everything of one moment, whatever keeps the data, while others go on writing.
//!
//! A backup says of every table how many rows it has and their digest. It is restored on either database, whole or not
//! at all, and only where there is no gym yet.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use sqlx::any::AnyConnectOptions;
use sqlx::{AnyConnection, ConnectOptions, Connection, Executor};

use super::tables;
use super::{Backend, Db, DbError, Place, gyms, now_ms, rows, schema, verify};

/// What a backup says of its tables.
const CONTENTS: &str =
    "CREATE TABLE contents (name TEXT NOT NULL PRIMARY KEY, entries INTEGER NOT NULL, digest TEXT NOT NULL) STRICT";

/// Writes a backup. A file that is there already is not replaced.
///
/// # Errors
///
/// [`DbError::Open`] where the file cannot be written; nothing is left behind then.
pub async fn backup(db: &Db, to: &Path) -> Result<(), DbError> {
    if to.exists() {
        return Err(DbError::writing(to, "is there already; choose another name"));
    }
    let part = beside(to);
    let written = write(db, &part).await;
    let written = written.and_then(|()| put(&part, to).map_err(|error| DbError::writing(to, error)));
    if written.is_err() {
        remove(&part);
    }
    written
}

/// Restores a backup into a place without gyms, and answers with what is kept there from then on.
///
/// Where the backup is whole, but what was backed up did not fit together (a ledger that somebody changed, say), it is
/// restored only if told to do so `anyway`.
///
/// # Errors
///
/// [`DbError::Damaged`] where the backup is not good, [`DbError::Needed`] where there are gyms already. Nothing was
/// changed then.
pub async fn restore(from: &Path, place: &Place, anyway: bool) -> Result<Db, DbError> {
    let found = verify::file(from).await?;
    let problems: Vec<_> =
        found.iter().filter(|problem| !anyway || problem.damage).map(|problem| problem.what.as_str()).collect();
    if !problems.is_empty() {
        return Err(DbError::Damaged(format!("{} is no good backup: {}", from.display(), problems.join("; "))));
    }
    let was_there = matches!(place, Place::File(path) if path.exists());
    let db = Db::open(place).await?;
    let restored = fill(from, &db).await;
    if restored.is_err() {
        db.close().await;
        if let Place::File(path) = place
            && !was_there
        {
            remove(path);
        }
    }
    restored.map(|()| db)
}

async fn write(db: &Db, part: &Path) -> Result<(), DbError> {
    let place = Place::File(part.to_owned());
    place.make_file().map_err(|error| DbError::writing(part, error))?;
    let options: AnyConnectOptions = place.url().parse()?;
    let mut out = options.connect().await?;
    // Until it has its name it is nothing yet, and then it is on the disk.
    out.execute("PRAGMA synchronous = OFF").await?;
    schema::bring_up(&mut out, Backend::Sqlite, None).await.map_err(|error| DbError::migrating(&place, &error))?;
    let tables = tables::of_file(&mut out).await?;
    let mut snapshot = db.snapshot().await?;
    let mut change = out.begin().await?;
    change.execute(CONTENTS).await?;
    for table in &tables {
        let sum = rows::carry(&mut snapshot, &mut change, table).await?;
        sqlx::query("INSERT INTO contents (name, entries, digest) VALUES ($1, $2, $3)")
            .bind(&table.name)
            .bind(sum.rows)
            .bind(sum.digest)
            .execute(&mut *change)
            .await?;
    }
    change.commit().await?;
    Ok(out.close().await?)
}

async fn fill(from: &Path, db: &Db) -> Result<(), DbError> {
    let (mut source, copy) = up_to_date(from).await?;
    let filled = fill_from(&mut source, db).await;
    source.close().await?;
    if let Some(copy) = copy {
        remove(&copy);
    }
    filled
}

async fn fill_from(source: &mut AnyConnection, db: &Db) -> Result<(), DbError> {
    let tables = tables::known(None).await?;
    let mut change = db.write("", "console").await?;
    if let Some(gym) = gyms::ids(change.conn()).await?.first() {
        let why = "a backup is restored where there is no gym yet: make a new file or database for it".into();
        return Err(DbError::Needed { what: "gym", id: gym.clone(), why });
    }
    // The link that would have made the first gym.
    change.conn().execute("DELETE FROM links").await?;
    for table in &tables {
        let read = rows::carry(source, change.conn(), table).await?;
        let written = rows::sum(change.conn(), table).await?;
        if read != written {
            return Err(DbError::Damaged(format!("`{}` was not restored as it stands in the backup", table.name)));
        }
    }
    change.commit().await
}

/// A backup with the schema of this host: itself, or a copy that was brought up to date.
async fn up_to_date(from: &Path) -> Result<(AnyConnection, Option<PathBuf>), DbError> {
    let mut source = verify::read_only(from).await?;
    if verify::version(&mut source).await? == schema::newest(Backend::Sqlite) {
        return Ok((source, None));
    }
    source.close().await?;
    let copy = std::env::temp_dir().join(format!("classwright-restore-{}-{}.db", std::process::id(), now_ms()));
    let place = Place::File(copy.clone());
    place.make_file().and_then(|()| fs::copy(from, &copy)).map_err(|error| DbError::writing(&copy, error))?;
    let brought = async {
        let options: AnyConnectOptions = place.url().parse()?;
        let mut conn = options.connect().await?;
        schema::bring_up(&mut conn, Backend::Sqlite, None).await.map_err(|error| DbError::migrating(&place, &error))?;
        Ok(conn)
    };
    match brought.await {
        Ok(conn) => Ok((conn, Some(copy))),
        Err(error) => {
            remove(&copy);
            Err(error)
        }
    }
}

/// A name beside a file, for as long as it is not whole.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.part-{}-{}", std::process::id(), now_ms()))
}

/// Gives a whole file its name, for good.
fn put(part: &Path, to: &Path) -> std::io::Result<()> {
    File::open(part)?.sync_all()?;
    fs::rename(part, to)?;
    match to.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        Some(folder) => File::open(folder)?.sync_all(),
        None => File::open(".")?.sync_all(),
    }
}

/// Removes a file and what SQLite puts beside it.
fn remove(path: &Path) {
    for end in ["", "-wal", "-shm", "-journal"] {
        let mut name = path.as_os_str().to_owned();
        name.push(end);
        let _ = fs::remove_file(name);
    }
}
