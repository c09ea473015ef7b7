//! Kit, movements and sessions.

use classwright_store::db::{Db, DbError, athletes, kits, movements, sessions};
use classwright_store::record::{AthleteRecord, KitRecord, MovementRecord, PlatesRecord};

use crate::hall::{Ground, HALL, on_both};
use crate::people::athlete;

on_both!(
    the_floor_comes_first_and_homes_in_the_gyms_order,
    a_place_that_is_needed_stays,
    own_movements_keep_their_order_and_revisions,
    no_text_of_a_session_is_ever_lost,
    a_session_that_a_class_has_stays,
);

fn plates(pairs: u32) -> KitRecord {
    KitRecord { plate: vec![PlatesRecord { mass: "20 kg".into(), pairs, out_of_service: 1 }], ..KitRecord::default() }
}

async fn the_floor_comes_first_and_homes_in_the_gyms_order(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    for (place, pairs) in [("wens-flat", 1), ("abels-flat", 2), ("floor", 9), ("zoes-yard", 3)] {
        assert_eq!(kits::insert(&mut w, place, &plates(pairs)).await.unwrap(), 1);
    }
    assert!(matches!(kits::insert(&mut w, "floor", &plates(1)).await, Err(DbError::Exists { .. })));
    assert_eq!(kits::put(&mut w, "abels-flat", &plates(5), Some(1)).await.unwrap(), 2);
    let stale = kits::put(&mut w, "abels-flat", &plates(6), Some(1)).await.unwrap_err();
    assert!(matches!(stale, DbError::Stale { now: 2, .. }), "{stale}");
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    let mut read = Vec::new();
    let mut after = String::new();
    while let Some(page) = kits::list(&mut conn, HALL, &after, 1).await.unwrap().pop() {
        after = page.place;
        read.push(page.value.id);
    }
    assert_eq!(read, ["floor", "wens-flat", "abels-flat", "zoes-yard"]);
    let (floor, homes) = kits::all(&mut conn, HALL).await.unwrap();
    assert_eq!((floor, homes.len(), &homes[1].kit), (plates(9), 3, &plates(5)));
}

async fn a_place_that_is_needed_stays(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    for place in ["floor", "wens-flat", "empty-flat"] {
        kits::insert(&mut w, place, &plates(1)).await.unwrap();
    }
    athletes::insert(&mut w, &AthleteRecord { place: "wens-flat".into(), ..athlete("wen") }).await.unwrap();
    for (place, word) in [("floor", "every gym"), ("wens-flat", "wen")] {
        let needed = kits::remove(&mut w, place, None).await.unwrap_err();
        assert!(matches!(needed, DbError::Needed { .. }) && needed.to_string().contains(word), "{needed}");
    }
    assert!(matches!(kits::remove(&mut w, "empty-flat", Some(2)).await, Err(DbError::Stale { .. })));
    kits::remove(&mut w, "empty-flat", Some(1)).await.unwrap();
    assert!(matches!(kits::remove(&mut w, "empty-flat", None).await, Err(DbError::Missing { .. })));
}

async fn own_movements_keep_their_order_and_revisions(ground: &Ground) {
    let db = ground.with_gym().await;
    let movement = |id: &str, skill| MovementRecord { id: id.into(), skill, ..MovementRecord::default() };
    let mut w = db.write(HALL, "u1").await.unwrap();
    for id in ["tyre-flip", "anvil-lift"] {
        movements::insert(&mut w, &movement(id, 3)).await.unwrap();
    }
    assert_eq!(movements::put(&mut w, &movement("tyre-flip", 4), Some(1)).await.unwrap(), 2);
    assert!(matches!(
        movements::put(&mut w, &movement("tyre-flip", 5), Some(1)).await,
        Err(DbError::Stale { now: 2, .. })
    ));
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    assert_eq!(movements::all(&mut conn, HALL).await.unwrap(), [movement("tyre-flip", 4), movement("anvil-lift", 3)]);
    drop(conn);
    let mut w = db.write(HALL, "u1").await.unwrap();
    movements::remove(&mut w, "tyre-flip", Some(2)).await.unwrap();
    w.commit().await.unwrap();
    assert_eq!(movements::all(&mut db.read().await.unwrap(), HALL).await.unwrap().len(), 1);
}

pub(crate) async fn session(db: &Db, id: &str, text: &str) {
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert_eq!(sessions::insert(&mut w, id, "A day", text).await.unwrap(), 1);
    w.commit().await.unwrap();
}

async fn no_text_of_a_session_is_ever_lost(ground: &Ground) {
    let db = ground.with_gym().await;
    session(&db, "monday", "# One\n").await;
    session(&db, "friday", "# F\n").await;
    let mut w = db.write(HALL, "u2").await.unwrap();
    assert_eq!(sessions::write(&mut w, "monday", "Two", "# Two\n", Some(1)).await.unwrap(), 2);
    assert_eq!(sessions::write(&mut w, "monday", "Two", "# Two\n", Some(2)).await.unwrap(), 2, "the same text");
    let stale = sessions::write(&mut w, "monday", "Three", "# Three\n", Some(1)).await.unwrap_err();
    assert!(matches!(stale, DbError::Stale { now: 2, .. }), "{stale}");
    assert_eq!(sessions::write(&mut w, "monday", "One", "# One\n", None).await.unwrap(), 3, "an old text is a new one");
    assert!(matches!(sessions::insert(&mut w, "monday", "x", "x").await, Err(DbError::Exists { .. })));
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    let newest = sessions::get(&mut conn, HALL, "monday").await.unwrap();
    assert_eq!((newest.revision, newest.text.as_str(), newest.written_by.as_str()), (3, "# One\n", "u2"));
    let second = sessions::at(&mut conn, HALL, "monday", 2).await.unwrap();
    assert_eq!(second.text, "# Two\n");
    assert!(matches!(sessions::at(&mut conn, HALL, "monday", 4).await, Err(DbError::Missing { .. })));
    let before = sessions::revisions(&mut conn, HALL, "monday", 3, 9).await.unwrap();
    let numbers: Vec<_> = before.iter().map(|one| (one.revision, one.written_by.as_str())).collect();
    assert_eq!(numbers, [(2, "u2"), (1, "u1")]);
    let list = sessions::list(&mut conn, HALL, "", 1).await.unwrap();
    assert_eq!(list[0].value.session, "friday");
    let rest = sessions::list(&mut conn, HALL, &list[0].place, 9).await.unwrap();
    assert_eq!((rest[0].value.title.as_str(), rest.len()), ("One", 1));
    assert_eq!(sessions::texts(&mut conn, HALL).await.unwrap()["monday"], "# One\n");
}

async fn a_session_that_a_class_has_stays(ground: &Ground) {
    let db = ground.with_gym().await;
    session(&db, "friday", "# F\n").await;
    crate::classes::monday(&db, |_| {}).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let needed = sessions::remove(&mut w, "lift", None).await.unwrap_err();
    assert!(matches!(needed, DbError::Needed { .. }) && needed.to_string().contains("monday"), "{needed}");
    sessions::remove(&mut w, "friday", Some(1)).await.unwrap();
    w.commit().await.unwrap();
    let gone = sessions::at(&mut db.read().await.unwrap(), HALL, "friday", 1).await.unwrap_err();
    assert!(matches!(gone, DbError::Missing { .. }), "{gone}");
}
