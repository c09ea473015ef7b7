//! Athletes with their bests and limitations.

use classwright_store::db::{Db, DbError, athletes, bests, gyms, limitations};
use classwright_store::record::{AthleteRecord, AthleteRecords, BestRecord, LimitationRecord};

use crate::hall::{Ground, HALL, on_both};

on_both!(
    a_roster_keeps_everything_and_is_read_page_by_page,
    a_change_against_another_revision_changes_nothing,
    what_is_written_down_keeps_its_number_and_counts_as_a_change,
    the_ledger_name_says_nothing_and_stays,
    whoever_is_needed_is_not_removed,
);

pub(crate) fn athlete(id: &str) -> AthleteRecord {
    AthleteRecord {
        id: id.into(),
        name: format!("{id} Tidewell"),
        column: 1,
        skill: 3,
        place: "floor".into(),
        ..AthleteRecord::default()
    }
}

pub(crate) async fn add(db: &Db, ids: &[&str]) {
    let mut w = db.write(HALL, "u1").await.unwrap();
    for id in ids {
        assert_eq!(athletes::insert(&mut w, &athlete(id)).await.unwrap(), 1);
    }
    w.commit().await.unwrap();
}

fn best(load: &str, since: Option<&str>) -> BestRecord {
    BestRecord {
        movement: "back squat".into(),
        load: load.into(),
        how: "tested".into(),
        since: since.map(str::to_owned),
    }
}

fn sore(side: Option<&str>, until: Option<&str>) -> LimitationRecord {
    LimitationRecord {
        region: "knee".into(),
        side: side.map(str::to_owned),
        severity: "mild".into(),
        since: Some("2026-11-01".into()),
        until: until.map(str::to_owned),
    }
}

async fn a_roster_keeps_everything_and_is_read_page_by_page(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["wen", "ama", "bram", "chidi", "äste"]).await;
    let full = AthleteRecord {
        column: 2,
        skill: 5,
        bar: Some("bar-15".into()),
        training_share: Some("92.5 %".into()),
        return_week: Some(3),
        age: Some(41),
        mass: Some("66 kg".into()),
        tags: vec!["strong".into(), "first \"heat\"".into()],
        place: "wens-flat".into(),
        name: "Wen, the \"quick\"".into(),
        id: "wen".into(),
    };
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert_eq!(athletes::put(&mut w, &full, Some(1)).await.unwrap(), 2);
    let exists = athletes::insert(&mut w, &athlete("ama")).await.unwrap_err();
    assert!(matches!(exists, DbError::Exists { what: "athlete", .. }), "{exists}");
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    let kept = athletes::get(&mut conn, HALL, "wen").await.unwrap();
    assert_eq!((kept.revision, kept.value), (2, full));
    let mut read = Vec::new();
    let mut after = String::new();
    loop {
        let page = athletes::list(&mut conn, HALL, &after, 2).await.unwrap();
        let Some(last) = page.last() else { break };
        after = last.place.clone();
        read.extend(page.into_iter().map(|kept| kept.value.id));
    }
    assert_eq!(read, ["wen", "ama", "bram", "chidi", "äste"]);
    assert!(athletes::list(&mut conn, "another", "", 9).await.unwrap().is_empty());
    let missing = athletes::get(&mut conn, HALL, "nobody").await.unwrap_err();
    assert!(matches!(missing, DbError::Missing { what: "athlete", .. }));
}

async fn a_change_against_another_revision_changes_nothing(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama"]).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    bests::add(&mut w, "ama", &best("100 kg", None)).await.unwrap();
    let now = |error: DbError| match error {
        DbError::Stale { what: "athlete", now, .. } => now,
        other => panic!("{other}"),
    };
    assert_eq!(now(athletes::put(&mut w, &athlete("ama"), Some(1)).await.unwrap_err()), 2);
    assert_eq!(now(bests::put(&mut w, "ama", 1, &best("9 kg", None), Some(1)).await.unwrap_err()), 2);
    assert_eq!(now(bests::remove(&mut w, "ama", 1, Some(7)).await.unwrap_err()), 2);
    assert_eq!(now(limitations::put(&mut w, "ama", 1, &sore(None, None), Some(1)).await.unwrap_err()), 2);
    assert_eq!(now(limitations::remove(&mut w, "ama", 1, Some(1)).await.unwrap_err()), 2);
    assert_eq!(now(athletes::remove(&mut w, "ama", Some(1)).await.unwrap_err()), 2);
    w.commit().await.unwrap();
    let kept = athletes::whole(&mut db.read().await.unwrap(), HALL, "ama").await.unwrap();
    assert_eq!(kept.revision, 2);
    assert_eq!(kept.value.bests, [best("100 kg", None)]);
}

async fn what_is_written_down_keeps_its_number_and_counts_as_a_change(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram"]).await;
    let world = gyms::world(&mut db.read().await.unwrap(), HALL).await.unwrap();
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert_eq!(bests::add(&mut w, "ama", &best("100 kg", None)).await.unwrap(), (1, 2));
    assert_eq!(bests::add(&mut w, "ama", &best("105 kg", Some("2026-12-01"))).await.unwrap(), (2, 3));
    assert_eq!(bests::add(&mut w, "bram", &best("140 kg", None)).await.unwrap(), (1, 2));
    assert_eq!(limitations::add(&mut w, "ama", &sore(Some("left"), None)).await.unwrap(), (1, 4));
    assert_eq!(limitations::add(&mut w, "ama", &sore(None, None)).await.unwrap(), (2, 5));
    let over = sore(Some("left"), Some("2026-11-30"));
    assert_eq!(limitations::put(&mut w, "ama", 1, &over, Some(5)).await.unwrap(), 6);
    assert_eq!(bests::remove(&mut w, "ama", 1, Some(6)).await.unwrap(), 7);
    let gone = bests::remove(&mut w, "ama", 1, Some(7)).await.unwrap_err();
    assert!(matches!(gone, DbError::Missing { what: "best", .. }), "{gone}");
    let nobody = limitations::add(&mut w, "nobody", &sore(None, None)).await.unwrap_err();
    assert!(matches!(nobody, DbError::Missing { what: "athlete", .. }), "{nobody}");
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    assert!(gyms::world(&mut conn, HALL).await.unwrap() > world, "whoever plans reads the gym anew");
    let numbered = bests::list(&mut conn, HALL, "ama").await.unwrap();
    assert_eq!(numbered, [(2, best("105 kg", Some("2026-12-01")))]);
    let all = athletes::all(&mut conn, HALL).await.unwrap();
    let ama = AthleteRecords {
        record: athlete("ama"),
        bests: vec![best("105 kg", Some("2026-12-01"))],
        limitations: vec![over, sore(None, None)],
    };
    let bram = AthleteRecords { record: athlete("bram"), bests: vec![best("140 kg", None)], limitations: Vec::new() };
    assert_eq!(all, [ama, bram]);
}

async fn the_ledger_name_says_nothing_and_stays(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram"]).await;
    let mut conn = db.read().await.unwrap();
    let ama = athletes::ledger_name(&mut conn, HALL, "ama").await.unwrap();
    assert!(ama.len() == 24 && !ama.contains("ama"), "{ama}");
    assert_ne!(ama, athletes::ledger_name(&mut conn, HALL, "bram").await.unwrap());
    drop(conn);
    let mut w = db.write(HALL, "u1").await.unwrap();
    athletes::put(&mut w, &AthleteRecord { skill: 4, ..athlete("ama") }, None).await.unwrap();
    assert_eq!(athletes::ledger_name(w.conn(), HALL, "ama").await.unwrap(), ama);
}

async fn whoever_is_needed_is_not_removed(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram", "chidi", "dagny", "emre"]).await;
    crate::classes::monday(&db, |class| {
        class.absent = Some(vec!["ama".into()]);
        class.together = vec![["bram".into(), "chidi".into()]];
    })
    .await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let login = classwright_store::db::users::NewUser {
        user: "u9",
        name: "Somebody",
        login: "d@example.org",
        role: "athlete",
        athlete: Some("dagny"),
    };
    classwright_store::db::users::make(&mut w, &login).await.unwrap();
    for (id, word) in [("ama", "monday"), ("bram", "monday"), ("chidi", "monday"), ("dagny", "d@example.org")] {
        let needed = athletes::remove(&mut w, id, None).await.unwrap_err();
        assert!(matches!(needed, DbError::Needed { what: "athlete", .. }), "{needed}");
        assert!(needed.to_string().contains(word), "{needed}");
    }
    athletes::remove(&mut w, "emre", Some(1)).await.unwrap();
    w.commit().await.unwrap();
    let left = athletes::list(&mut db.read().await.unwrap(), HALL, "", 9).await.unwrap();
    assert_eq!(left.len(), 4);
}
