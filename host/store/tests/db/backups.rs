//! Backups: from either database to either, while others write; a damaged one is found and restores nothing.

use std::fs;
use std::path::Path;

use classwright_store::db::backup::{backup, restore};
use classwright_store::db::verify::{self, Problem};
use classwright_store::db::{DbError, Place, events, gyms, ledger, users};
use serde_json::json;
use sqlx::{AnyConnection, Connection, Executor, Row};

use crate::hall::{Ground, HALL, make_gym, on_both};

on_both!(
    everything_comes_back_on_either_database,
    a_backup_is_of_one_moment_while_others_write,
    a_backup_replaces_nothing,
    nothing_is_restored_where_a_gym_is,
    a_backup_of_an_older_schema_is_restored,
    meddling_is_found_and_named,
    what_did_not_fit_is_restored_only_if_told_so,
);

/// What a backup says of its tables.
pub(crate) async fn contents(path: &Path) -> Vec<(String, i64, String)> {
    let mut conn = AnyConnection::connect(&format!("sqlite://{}?mode=ro", path.display())).await.unwrap();
    let rows =
        sqlx::query("SELECT name, entries, digest FROM contents ORDER BY name").fetch_all(&mut conn).await.unwrap();
    conn.close().await.unwrap();
    rows.iter().map(|row| (row.get(0), row.get(1), row.get(2))).collect()
}

fn both() -> [Ground; 2] {
    [Ground::sqlite(), Ground::postgres()]
}

fn whats(problems: &[Problem]) -> String {
    problems.iter().map(|problem| problem.what.as_str()).collect::<Vec<_>>().join("\n")
}

async fn everything_comes_back_on_either_database(ground: &Ground) {
    let (first, second) = (ground.folder.path().join("first.backup"), ground.folder.path().join("second.backup"));
    backup(&ground.with_a_little().await, &first).await.unwrap();
    assert_eq!(verify::file(&first).await.unwrap(), []);
    let held = contents(&first).await;
    assert!(held.iter().all(|(_, entries, _)| *entries > 0), "a little in every table: {held:?}");
    for target in both() {
        let db = restore(&first, &target.place, false).await.unwrap();
        assert_eq!(verify::data(&db).await.unwrap(), []);
        let mut conn = db.read().await.unwrap();
        assert_eq!(gyms::get(&mut conn, "shed").await.unwrap().name, "Bram's shed, Köln");
        assert_eq!(users::get(&mut conn, HALL, "u2").await.unwrap().failed, 2);
        drop(conn);
        backup(&db, &second).await.unwrap();
        assert_eq!(contents(&second).await, held);
        fs::remove_file(&second).unwrap();
        // It goes on where it was.
        let mut w = db.write(HALL, "u1").await.unwrap();
        w.note("thing.made", "thing:1", json!({})).await.unwrap();
        w.commit().await.unwrap();
        assert_eq!(ledger::verify(&mut db.read().await.unwrap(), HALL).await.unwrap(), None);
        assert!(target.meddle("DELETE FROM ledger").await.is_err());
    }
    assert!(ground.folder.path().read_dir().unwrap().all(|entry| {
        let name = entry.unwrap().file_name();
        name.to_string_lossy().starts_with("hall.db") || name == "first.backup"
    }));
}

async fn a_backup_is_of_one_moment_while_others_write(ground: &Ground) {
    let db = ground.with_gym().await;
    let writing = tokio::spawn({
        let db = db.clone();
        async move {
            for n in 0..300 {
                let mut w = db.write(HALL, "u1").await.unwrap();
                // Written in the opposite order of the tables' names and places.
                w.tell("monday", "n", &json!({ "n": n, "long": "x".repeat(2_000) })).await.unwrap();
                w.note("n", "thing:1", json!({ "n": n })).await.unwrap();
                w.world_changed().await.unwrap();
                w.commit().await.unwrap();
            }
        }
    });
    let mut worlds = Vec::new();
    while !writing.is_finished() {
        let to = ground.folder.path().join(format!("{}.backup", worlds.len()));
        backup(&db, &to).await.unwrap();
        assert_eq!(verify::file(&to).await.unwrap(), []);
        let beside = Ground::sqlite();
        let restored = restore(&to, &beside.place, false).await.unwrap();
        let mut conn = restored.read().await.unwrap();
        let world = gyms::world(&mut conn, HALL).await.unwrap();
        assert_eq!(events::newest(&mut conn, HALL, "monday").await.unwrap(), world - 1);
        assert_eq!(ledger::newest(&mut conn, HALL).await.unwrap().unwrap().n, world);
        worlds.push(world);
    }
    writing.await.unwrap();
    assert_eq!(gyms::world(&mut db.read().await.unwrap(), HALL).await.unwrap(), 301);
    assert!(worlds.iter().any(|world| (2..301).contains(world)), "at least one was made in between: {worlds:?}");
}

async fn a_backup_replaces_nothing(ground: &Ground) {
    let db = ground.with_gym().await;
    let to = ground.folder.path().join("notes.txt");
    fs::write(&to, "mine").unwrap();
    let refused = backup(&db, &to).await.unwrap_err().to_string();
    assert!(refused.contains("notes.txt: cannot be written: is there already"), "{refused}");
    assert_eq!(fs::read_to_string(&to).unwrap(), "mine");
    let nowhere = ground.folder.path().join("nowhere/at.backup");
    let refused = backup(&db, &nowhere).await.unwrap_err().to_string();
    assert!(refused.contains("cannot be written"), "{refused}");
}

async fn nothing_is_restored_where_a_gym_is(ground: &Ground) {
    let from = Ground::sqlite();
    let saved = from.folder.path().join("a.backup");
    backup(&from.with_a_little().await, &saved).await.unwrap();
    let db = ground.open().await;
    make_gym(&db, "yard").await;
    let refused = restore(&saved, &ground.place, false).await.map(|_| ());
    assert!(matches!(refused, Err(DbError::Needed { what: "gym", .. })), "{refused:?}");
    assert_eq!(gyms::ids(&mut db.read().await.unwrap()).await.unwrap(), ["yard"]);
    assert_eq!(ledger::list(&mut db.read().await.unwrap(), "yard", 0, 10).await.unwrap().len(), 1);
}

async fn a_backup_of_an_older_schema_is_restored(ground: &Ground) {
    let old = Ground::sqlite();
    old.meddle(include_str!("data/schema-1.sqlite.sql")).await.unwrap();
    let Place::File(saved) = &old.place else { unreachable!("it is a file") };
    let before = fs::read(saved).unwrap();
    let db = restore(saved, &ground.place, false).await.unwrap();
    assert_eq!(verify::data(&db).await.unwrap(), []);
    assert_eq!(fs::read(saved).unwrap(), before, "what is restored from stays as it is");
    let (a, b) = (ground.folder.path().join("a.backup"), ground.folder.path().join("b.backup"));
    backup(&db, &a).await.unwrap();
    backup(&Ground::sqlite().with_a_little().await, &b).await.unwrap();
    assert_eq!(contents(&a).await, contents(&b).await);
}

async fn meddling_is_found_and_named(ground: &Ground) {
    let db = ground.with_a_little().await;
    let guards = match ground.place {
        Place::File(_) => "DROP TRIGGER ledger_no_update; PRAGMA foreign_keys = OFF",
        Place::Server(_) => "ALTER TABLE ledger DISABLE TRIGGER USER; ALTER TABLE bests DISABLE TRIGGER ALL",
    };
    ground.meddle(guards).await.unwrap();
    let lose = match ground.place {
        Place::File(_) => "PRAGMA foreign_keys = OFF; UPDATE bests SET athlete = 'nobody'",
        Place::Server(_) => "UPDATE bests SET athlete = 'nobody'",
    };
    for (meddle, says) in [
        ("UPDATE ledger SET at = 1 WHERE gym = 'hall' AND n = 2", "the ledger of `hall`: entry 2 was changed"),
        ("UPDATE plans SET body = '{}'", "plan `monday-18-1` of `hall` was changed"),
        ("UPDATE inputs SET body = '{}'", "of `hall` was changed: it no longer has its digest"),
        (&ground.in_its_words("UPDATE components SET bytes = X'00'"), "component `"),
        (lose, "2 of `bests` refer to what is not in `athletes`"),
    ] {
        let before = verify::data(&db).await.unwrap();
        ground.meddle(meddle).await.unwrap();
        let after = verify::data(&db).await.unwrap();
        assert_eq!(after.len(), before.len() + 1, "{meddle}: {after:?}");
        assert!(whats(&after).contains(says), "{meddle}: {after:?}");
    }
}

async fn what_did_not_fit_is_restored_only_if_told_so(ground: &Ground) {
    let db = ground.with_a_little().await;
    ground.meddle("UPDATE plans SET body = '{}'").await.unwrap();
    let saved = ground.folder.path().join("a.backup");
    backup(&db, &saved).await.unwrap();
    let target = Ground::sqlite();
    let refused = restore(&saved, &target.place, false).await.map(|_| ()).unwrap_err().to_string();
    assert!(refused.contains("plan `monday-18-1` of `hall` was changed"), "{refused}");
    assert_eq!(target.folder.path().read_dir().unwrap().count(), 0, "no file was made");
    let restored = restore(&saved, &target.place, true).await.unwrap();
    assert_eq!(verify::data(&restored).await.unwrap(), verify::data(&db).await.unwrap());
}

/// A backup, and what it says of its tables.
async fn saved(folder: &Path) -> (Vec<u8>, Vec<(String, i64, String)>) {
    let path = folder.join("whole.backup");
    let ground = Ground::sqlite();
    let db = ground.with_a_little().await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    for n in 0..60 {
        // So that a good part of the file is full.
        w.tell("monday-18", "n", &json!({ "n": n, "long": "x".repeat(2_000) })).await.unwrap();
    }
    w.commit().await.unwrap();
    backup(&db, &path).await.unwrap();
    (fs::read(&path).unwrap(), contents(&path).await)
}

#[tokio::test]
async fn a_flipped_bit_is_found_or_touches_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, held) = saved(folder.path()).await;
    let path = folder.path().join("flipped.backup");
    let (mut found, mut harmless) = (0, 0);
    // A prime step comes by every page at ever other places.
    for at in (0..whole.len()).step_by(2_003) {
        let mut bytes = whole.clone();
        bytes[at] ^= 0x10;
        fs::write(&path, &bytes).unwrap();
        if verify::file(&path).await.unwrap().is_empty() {
            // Room that nothing stands in.
            let ground = Ground::sqlite();
            let again = folder.path().join(format!("again-{at}.backup"));
            backup(&restore(&path, &ground.place, false).await.unwrap(), &again).await.unwrap();
            assert_eq!(contents(&again).await, held, "byte {at}");
            harmless += 1;
        } else {
            found += 1;
            let target = folder.path().join("target.db");
            assert!(restore(&path, &Place::File(target.clone()), true).await.is_err());
            assert!(!target.exists(), "byte {at}");
        }
    }
    assert!(found > 30 && harmless > 30, "{found} found, {harmless} harmless");
    // In what stands there, each is found and the table named.
    for (text, table) in [("Ama O'Neil", "athletes"), ("Even rounds – 5×5", "plans"), ("the board", "tokens")] {
        let at = whole.windows(text.len()).position(|window| window == text.as_bytes()).unwrap();
        let mut bytes = whole.clone();
        bytes[at] ^= 0x01;
        fs::write(&path, &bytes).unwrap();
        let problems = whats(&verify::file(&path).await.unwrap());
        assert!(problems.contains(&format!("`{table}` is not as it was when it was backed up")), "{problems}");
    }
}

#[tokio::test]
async fn a_cut_file_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, _) = saved(folder.path()).await;
    let path = folder.path().join("cut.backup");
    for length in [0, 1, 100, 4_096, 4_097, whole.len() / 2, whole.len() - 4_096, whole.len() - 1] {
        fs::write(&path, &whole[..length]).unwrap();
        assert!(!verify::file(&path).await.unwrap().is_empty(), "{length} of {}", whole.len());
        let target = folder.path().join("target.db");
        assert!(restore(&path, &Place::File(target.clone()), true).await.is_err());
        assert!(!target.exists());
    }
    let gone = verify::file(&folder.path().join("none.backup")).await.unwrap_err().to_string();
    assert!(gone.contains("none.backup: cannot be read"), "{gone}");
}

#[tokio::test]
async fn a_removed_row_and_a_newer_backup_are_found() {
    let folder = tempfile::tempdir().unwrap();
    let (whole, _) = saved(folder.path()).await;
    let path = folder.path().join("a.backup");
    for (sql, says) in [
        ("DELETE FROM cards", "`cards` has 0 rows, and had 1 when it was backed up"),
        ("DELETE FROM contents WHERE name = 'cards'", "the backup does not say what `cards` holds"),
        (
            "UPDATE _sqlx_migrations SET version = 999 WHERE version = 2",
            "was written by a newer classwright (schema 999)",
        ),
        ("DROP TABLE _sqlx_migrations", "it is no data of classwright"),
        ("ALTER TABLE cards RENAME COLUMN body TO bodz", "`cards` is not the table of schema 2"),
    ] {
        fs::write(&path, &whole).unwrap();
        let mut conn = AnyConnection::connect(&format!("sqlite://{}", path.display())).await.unwrap();
        conn.execute(sql).await.unwrap();
        conn.close().await.unwrap();
        let problems = verify::file(&path).await.unwrap();
        assert!(whats(&problems).contains(says) && problems.iter().any(|problem| problem.damage), "{problems:?}");
    }
}
