//! The schema is brought up from every released one, in place, whole or not at all.
//!
//! `data/schema-N.*.sql` are databases of schema N as `.dump` of SQLite and `pg_dump --inserts` write them, with the rows
//! of `data/rows-N.sql` in them. A release that changes the schema adds such files and a line to [`RELEASED`].

use classwright_store::db::{Backend, Db, backup, gyms, ledger, users, verify};

use crate::backups::contents;
use crate::hall::{Ground, HALL, on_both};

/// For each released schema: the dumps.
const RELEASED: [(&str, &str); 1] =
    [(include_str!("data/schema-1.sqlite.sql"), include_str!("data/schema-1.postgres.sql"))];

on_both!(
    every_released_schema_is_brought_up,
    a_newer_schema_is_refused,
    a_step_that_fails_leaves_the_schema_as_it_was,
    hosts_that_start_at_once_follow_one_another,
);

fn dump(ground: &Ground, (sqlite, postgres): (&'static str, &'static str)) -> &'static str {
    match ground.place.backend() {
        Backend::Sqlite => sqlite,
        Backend::Postgres => postgres,
    }
}

async fn every_released_schema_is_brought_up(ground: &Ground) {
    // A place has one schema; each further one is opened beside.
    for dumps in RELEASED {
        ground.meddle(dump(ground, dumps)).await.unwrap();
        let db = ground.open().await;
        assert_eq!(verify::data(&db).await.unwrap(), []);
        let mut conn = db.read().await.unwrap();
        assert_eq!(gyms::ids(&mut conn).await.unwrap(), ["hall", "shed"]);
        assert_eq!(users::get(&mut conn, HALL, "u2").await.unwrap().athlete.as_deref(), Some("ama"));
        assert_eq!(ledger::list(&mut conn, HALL, 0, 10).await.unwrap().len(), 3);
        // What is kept from now on does not differ from what a new place keeps.
        let fresh = Ground::sqlite();
        let (old, new) = (ground.folder.path().join("old.backup"), fresh.folder.path().join("new.backup"));
        backup::backup(&db, &old).await.unwrap();
        backup::backup(&fresh.with_a_little().await, &new).await.unwrap();
        assert_eq!(contents(&old).await, contents(&new).await);
        assert!(ground.meddle("DELETE FROM ledger").await.is_err(), "the ledger's guard came with schema 2");
    }
}

async fn a_newer_schema_is_refused(ground: &Ground) {
    ground.with_gym().await.close().await;
    let later = match ground.place.backend() {
        Backend::Sqlite => "INSERT INTO _sqlx_migrations VALUES (999, 'later', '2030-01-01', 1, X'00', 1)",
        Backend::Postgres => r"INSERT INTO _sqlx_migrations VALUES (999, 'later', '2030-01-01', true, '\x00', 1)",
    };
    ground.meddle(later).await.unwrap();
    let refused = Db::open(&ground.place).await.map(|_| ()).unwrap_err().to_string();
    assert!(refused.contains("was written by a newer classwright (schema 999)"), "{refused}");
    assert!(!refused.contains("sqlx"), "{refused}");
}

/// Schema 2 makes several things; the last of them is there already, so that it fails when the others are made.
async fn a_step_that_fails_leaves_the_schema_as_it_was(ground: &Ground) {
    ground.meddle(dump(ground, RELEASED[0])).await.unwrap();
    let (in_the_way, away) = match ground.place.backend() {
        Backend::Sqlite => (
            "CREATE TRIGGER ledger_no_delete BEFORE DELETE ON ledger BEGIN SELECT 1; END",
            "DROP TRIGGER ledger_no_delete",
        ),
        Backend::Postgres => (
            "CREATE FUNCTION other() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NULL; END';
             CREATE TRIGGER ledger_no_truncate BEFORE TRUNCATE ON ledger FOR EACH STATEMENT EXECUTE FUNCTION other()",
            "DROP TRIGGER ledger_no_truncate ON ledger",
        ),
    };
    ground.meddle(in_the_way).await.unwrap();
    let failed = Db::open(&ground.place).await.map(|_| ()).unwrap_err().to_string();
    assert!(failed.contains("its schema cannot be brought up to date"), "{failed}");
    assert_eq!(ground.meddle("UPDATE ledger SET who = who").await.unwrap(), 4, "nothing of schema 2 is there");
    assert_eq!(ground.meddle("UPDATE _sqlx_migrations SET description = description").await.unwrap(), 1);
    ground.meddle(away).await.unwrap();
    let db = ground.open().await;
    assert_eq!(verify::data(&db).await.unwrap(), []);
    assert!(ground.meddle("UPDATE ledger SET who = who").await.is_err());
}

async fn hosts_that_start_at_once_follow_one_another(ground: &Ground) {
    let mut hosts = tokio::task::JoinSet::new();
    for _ in 0..4 {
        let place = ground.place.clone();
        hosts.spawn(async move { Db::open(&place).await });
    }
    while let Some(host) = hosts.join_next().await {
        let db = host.unwrap().unwrap();
        assert_eq!(gyms::ids(&mut db.read().await.unwrap()).await.unwrap(), [""; 0]);
    }
}

/// One schema for both: what differs are the names of types, and that PostgreSQL is told to order by bytes.
#[test]
fn the_first_schema_says_the_same_on_both() {
    let sqlite = include_str!("../../migrations/sqlite/0001_first.sql");
    let postgres = include_str!("../../migrations/postgres/0001_first.sql");
    let twin = sqlite
        .replace(") STRICT;", ");")
        .replace(" INTEGER", " BIGINT")
        .replace(" BLOB", " BYTEA")
        .replace(" TEXT", " TEXT COLLATE \"C\"");
    for (line, (twin, postgres)) in twin.lines().zip(postgres.lines()).enumerate() {
        assert_eq!(twin, postgres, "line {}", line + 1);
    }
    assert_eq!(twin.lines().count(), postgres.lines().count());
}

#[test]
fn every_step_is_there_for_both() {
    let names = |folder: &str| {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations").join(folder);
        let mut names: Vec<_> = folder.read_dir().unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        names
    };
    assert_eq!(names("sqlite"), names("postgres"));
}
