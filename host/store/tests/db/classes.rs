//! Classes, their lists, and who was checked in.

use classwright_store::db::attendance::{self, Attendance, Checked};
use classwright_store::db::classes::{self, Span};
use classwright_store::db::{Db, DbError};
use classwright_store::record::{ClassRecord, KitOutRecord, OutRecord, RulesRecord};

use crate::hall::{Ground, HALL, on_both};
use crate::people::add;
use crate::written::session;

on_both!(
    a_class_keeps_everything_and_days_are_read_page_by_page,
    an_edit_leaves_alone_who_was_checked_in,
    whoever_comes_unannounced_is_checked_in,
    a_stale_edit_of_a_class_changes_nothing,
    a_class_that_was_planned_stays,
);

pub(crate) fn class(id: &str, date: &str) -> ClassRecord {
    ClassRecord {
        id: id.into(),
        date: date.into(),
        time: "18:00".into(),
        zone: "Europe/London".into(),
        session: "lift".into(),
        coach: "Rowan Marlfield".into(),
        ..ClassRecord::default()
    }
}

/// A class `monday` with a session `lift`.
pub(crate) async fn monday(db: &Db, with: impl FnOnce(&mut ClassRecord)) {
    session(db, "lift", "# Lift\n").await;
    let mut record = class("monday", "2026-12-07");
    with(&mut record);
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert_eq!(classes::insert(&mut w, &record).await.unwrap(), 1);
    w.commit().await.unwrap();
}

fn ids(ids: &[&str]) -> Option<Vec<String>> {
    Some(ids.iter().map(|id| (*id).to_owned()).collect())
}

async fn a_class_keeps_everything_and_days_are_read_page_by_page(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram", "chidi"]).await;
    let full = |record: &mut ClassRecord| {
        record.present = ids(&["chidi", "ama"]);
        record.together = vec![["ama".into(), "chidi".into()]];
        record.apart = vec![["chidi".into(), "ama".into()]];
        record.floor = Some(RulesRecord { max_heats: Some(2), ..RulesRecord::default() });
        let kit = vec![KitOutRecord { kind: "bench".into(), mass: None, count: 2 }];
        record.out_of_service = Some(OutRecord { bars: vec!["B3".into()], kit, ..OutRecord::default() });
    };
    monday(&db, full).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    for (id, date) in
        [("late", "2026-12-09"), ("b-day", "2026-12-08"), ("a-day", "2026-12-08"), ("early", "2026-12-01")]
    {
        let record = ClassRecord { absent: ids(&["bram"]), ..class(id, date) };
        classes::insert(&mut w, &record).await.unwrap();
    }
    assert!(matches!(classes::insert(&mut w, &class("late", "2026-12-31")).await, Err(DbError::Exists { .. })));
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    let mut written = class("monday", "2026-12-07");
    full(&mut written);
    assert_eq!(classes::get(&mut conn, HALL, "monday").await.unwrap().value.record, written);
    let mut read = Vec::new();
    let mut after = String::new();
    loop {
        let span = Span { from: "2026-12-02", to: "2026-12-08", after: &after };
        let page = classes::list(&mut conn, HALL, span, 2).await.unwrap();
        let Some(last) = page.last() else { break };
        after = last.place.clone();
        read.extend(page.into_iter().map(|kept| kept.value.record.id));
    }
    assert_eq!(read, ["monday", "a-day", "b-day"]);
    let whole = classes::list(&mut conn, HALL, Span::default(), 9).await.unwrap();
    assert_eq!(whole.len(), 5);
    assert_eq!(whole[0].value.record.absent, ids(&["bram"]));
    assert_eq!(whole[1].value.record, written);
    let coming = classes::of_session(&mut conn, HALL, "lift", "2026-12-08").await.unwrap();
    assert_eq!(coming.len(), 3);
    let rubbish = classes::list(&mut conn, HALL, Span { after: "rubbish", ..Span::default() }, 2).await.unwrap_err();
    assert!(matches!(rubbish, DbError::Missing { .. }), "{rubbish}");
}

async fn an_edit_leaves_alone_who_was_checked_in(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram", "chidi"]).await;
    monday(&db, |class| class.present = ids(&["ama", "bram"])).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert!(attendance::check(&mut w, "monday", "ama", Some(Checked::In)).await.unwrap());
    let edited = ClassRecord { present: ids(&["chidi", "bram"]), ..class("monday", "2026-12-07") };
    assert_eq!(classes::put(&mut w, &edited, Some(1)).await.unwrap(), 2);
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    let kept = classes::get(&mut conn, HALL, "monday").await.unwrap();
    assert_eq!(kept.value.record, edited);
    let seen = attendance::list(&mut conn, HALL, "monday").await.unwrap();
    let short: Vec<_> =
        seen.iter().map(|one| (one.athlete.as_str(), one.named, one.checked.map(|(checked, _)| checked))).collect();
    assert_eq!(short, [("chidi", true, None), ("bram", true, None), ("ama", false, Some(Checked::In))]);
    assert_eq!(attendance::as_checked(&edited, &seen).present, ids(&["chidi", "bram", "ama"]));
}

async fn whoever_comes_unannounced_is_checked_in(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "wen"]).await;
    monday(&db, |class| class.present = ids(&["ama"])).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let at = w.at();
    assert!(attendance::check(&mut w, "monday", "wen", Some(Checked::In)).await.unwrap());
    assert!(!attendance::check(&mut w, "monday", "wen", Some(Checked::In)).await.unwrap(), "no news");
    assert!(attendance::check(&mut w, "monday", "ama", Some(Checked::Out)).await.unwrap());
    let seen = attendance::list(w.conn(), HALL, "monday").await.unwrap();
    let wen = Attendance { athlete: "wen".into(), named: false, checked: Some((Checked::In, at)) };
    let ama = Attendance { athlete: "ama".into(), named: true, checked: Some((Checked::Out, at)) };
    assert_eq!(seen, [ama, wen]);
    assert_eq!(classes::get(w.conn(), HALL, "monday").await.unwrap().revision, 1, "checking in is no edit");
    assert!(attendance::check(&mut w, "monday", "wen", None).await.unwrap());
    assert!(attendance::check(&mut w, "monday", "ama", None).await.unwrap());
    let seen = attendance::list(w.conn(), HALL, "monday").await.unwrap();
    assert_eq!(seen, [Attendance { athlete: "ama".into(), named: true, checked: None }]);
}

async fn a_stale_edit_of_a_class_changes_nothing(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama"]).await;
    monday(&db, |_| {}).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let edited = ClassRecord { coach: "Thea".into(), absent: ids(&["ama"]), ..class("monday", "2026-12-07") };
    for error in [
        classes::put(&mut w, &edited, Some(3)).await.unwrap_err(),
        classes::remove(&mut w, "monday", Some(3)).await.unwrap_err(),
    ] {
        assert!(matches!(error, DbError::Stale { what: "class", now: 1, .. }), "{error}");
    }
    let missing = classes::put(&mut w, &class("nowhere", "2026-12-07"), None).await.unwrap_err();
    assert!(matches!(missing, DbError::Missing { what: "class", .. }), "{missing}");
    w.commit().await.unwrap();
    let kept = classes::get(&mut db.read().await.unwrap(), HALL, "monday").await.unwrap();
    assert_eq!((kept.revision, kept.value.record), (1, class("monday", "2026-12-07")));
}

async fn a_class_that_was_planned_stays(ground: &Ground) {
    use classwright_store::db::plans;
    let db = ground.with_gym().await;
    monday(&db, |_| {}).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    classes::insert(&mut w, &class("tuesday", "2026-12-08")).await.unwrap();
    let texts = std::collections::BTreeMap::new();
    let plan = plans::New {
        class: "monday",
        parent: None,
        body: "{}",
        inputs: "{}",
        texts: &texts,
        components: &[],
        cards: &[],
    };
    let plan = plans::insert(&mut w, &plan).await.unwrap();
    let needed = classes::remove(&mut w, "monday", None).await.unwrap_err();
    assert!(matches!(needed, DbError::Needed { .. }) && needed.to_string().contains(&plan), "{needed}");
    classes::remove(&mut w, "tuesday", Some(1)).await.unwrap();
    w.commit().await.unwrap();
    let kept = classes::get(&mut db.read().await.unwrap(), HALL, "monday").await.unwrap();
    assert_eq!(kept.value.plan, Some(plan));
}
