//! The ledger only grows, and a meddled one is found.

use classwright_store::db::ledger::{Broken, START};
use classwright_store::db::{Db, ledger};
use serde_json::json;

use crate::hall::{Ground, HALL, make_gym, on_both};

on_both!(
    entries_are_chained_and_paged,
    the_database_refuses_to_change_an_entry,
    a_changed_entry_is_found,
    a_missing_entry_is_found,
    a_replaced_entry_is_found,
);

async fn filled(ground: &Ground) -> Db {
    let db = ground.with_gym().await;
    make_gym(&db, "shed").await;
    for n in 2..=6 {
        let mut w = db.write(HALL, "u1").await.unwrap();
        w.note("thing.changed", &format!("thing:{n}"), json!({ "n": n, "text": "ä \"quoted\"" })).await.unwrap();
        w.commit().await.unwrap();
    }
    db
}

async fn verify(db: &Db) -> Option<Broken> {
    assert_eq!(ledger::verify(&mut db.read().await.unwrap(), "shed").await.unwrap(), None);
    ledger::verify(&mut db.read().await.unwrap(), HALL).await.unwrap()
}

/// Whoever owns the database can take its own guard away.
async fn past_the_guard(ground: &Ground, sql: &str) {
    let guards: &[&str] = match ground.place {
        classwright_store::db::Place::File(_) => &["DROP TRIGGER ledger_no_update", "DROP TRIGGER ledger_no_delete"],
        classwright_store::db::Place::Server(_) => &["ALTER TABLE ledger DISABLE TRIGGER USER"],
    };
    for guard in guards {
        ground.meddle(guard).await.unwrap();
    }
    assert_ne!(ground.meddle(sql).await.unwrap(), 0);
}

async fn entries_are_chained_and_paged(ground: &Ground) {
    let db = filled(ground).await;
    assert_eq!(verify(&db).await, None);
    let mut conn = db.read().await.unwrap();
    let entries = ledger::list(&mut conn, HALL, 0, 100).await.unwrap();
    assert_eq!(entries.iter().map(|entry| entry.n).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6]);
    assert_eq!(entries[0].before, START);
    assert!(entries.windows(2).all(|pair| pair[1].before == pair[0].digest));
    assert_eq!(ledger::list(&mut conn, HALL, 4, 1).await.unwrap(), entries[4..5]);
    assert_eq!(ledger::newest(&mut conn, HALL).await.unwrap().as_ref(), entries.last());
    assert_eq!((entries[1].who.as_str(), entries[1].about.as_str()), ("u1", "thing:2"));
}

async fn the_database_refuses_to_change_an_entry(ground: &Ground) {
    let db = filled(ground).await;
    let mut tries =
        vec!["UPDATE ledger SET who = 'u2' WHERE n = 2", "DELETE FROM ledger WHERE n = 6", "DELETE FROM gyms"];
    if matches!(ground.place, classwright_store::db::Place::Server(_)) {
        tries.push("TRUNCATE ledger");
    }
    for sql in tries {
        let refused = ground.meddle(sql).await.unwrap_err().to_string();
        assert!(refused.contains("the ledger only grows") || sql == "DELETE FROM gyms", "{sql}: {refused}");
    }
    assert_eq!(verify(&db).await, None);
    assert_eq!(ledger::list(&mut db.read().await.unwrap(), HALL, 0, 100).await.unwrap().len(), 6);
}

async fn a_changed_entry_is_found(ground: &Ground) {
    let db = filled(ground).await;
    for (n, set) in [(6, "at = at + 1"), (5, "who = 'u2'"), (4, "detail = '{}'"), (3, "about = 'thing:9'")] {
        past_the_guard_once(ground, &format!("UPDATE ledger SET {set} WHERE gym = 'hall' AND n = {n}")).await;
        let broken = verify(&db).await.unwrap();
        assert_eq!(broken.n, n);
        assert!(broken.what.contains("was changed"), "{broken:?}");
    }
}

async fn past_the_guard_once(ground: &Ground, sql: &str) {
    if ground.meddle(sql).await.is_err() {
        past_the_guard(ground, sql).await;
    }
}

async fn a_missing_entry_is_found(ground: &Ground) {
    let db = filled(ground).await;
    past_the_guard(ground, "DELETE FROM ledger WHERE gym = 'hall' AND n = 3").await;
    let broken = verify(&db).await.unwrap();
    assert_eq!(broken, Broken { n: 3, what: "entry 3 is missing: after 2 comes 4".into() });
}

/// An entry whose own digest fits, but which the next one does not follow.
async fn a_replaced_entry_is_found(ground: &Ground) {
    let db = filled(ground).await;
    let detail = json!({ "n": 3, "text": "another" }).to_string();
    let entries = ledger::list(&mut db.read().await.unwrap(), HALL, 0, 100).await.unwrap();
    let old = &entries[2];
    let whole = json!([HALL, 3, old.at, old.who, old.what, old.about, detail, old.before]).to_string();
    let digest = classwright_store::db::digest(whole);
    let set = format!("detail = '{detail}', digest = '{digest}'");
    past_the_guard(ground, &format!("UPDATE ledger SET {set} WHERE gym = 'hall' AND n = 3")).await;
    let broken = verify(&db).await.unwrap();
    assert_eq!(broken.n, 4);
    assert!(broken.what.contains("does not follow"), "{broken:?}");
}
