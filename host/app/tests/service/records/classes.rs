//! Classes, and who is there.

use classwright_app::service::classes::{Days, Seen};
use classwright_app::{AppError, DbError};
use classwright_store::record::{ClassRecord, OutRecord};

use super::{Hall, class, faults};

fn ids(ids: &[&str]) -> Vec<String> {
    ids.iter().map(|id| (*id).to_owned()).collect()
}

#[tokio::test]
async fn a_class_is_added_changed_and_removed_and_watchers_are_told() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let world = hall.world().await;
    let new = ClassRecord { present: Some(ids(&["bram", "ama"])), ..class("monday", "2026-12-07") };
    assert_eq!(service.add_class(who, new.clone()).await.unwrap().revision, 1);
    assert_eq!(service.class(who, "monday").await.unwrap().value, new);
    let later = ClassRecord { time: "19:00".into(), ..new };
    assert_eq!(service.put_class(who, "monday", later.clone(), Some(1)).await.unwrap().revision, 2);
    let stale = service.put_class(who, "monday", later.clone(), Some(1)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 2, .. })), "{stale}");
    assert!(matches!(service.add_class(who, later).await, Err(AppError::Db(DbError::Exists { .. }))));
    service.remove_class(who, "monday", Some(2)).await.unwrap();
    assert!(matches!(service.class(who, "monday").await, Err(AppError::Db(DbError::Missing { .. }))));
    let told = ["class-changed {\"revision\":1}", "class-changed {\"revision\":2}", "class-changed {\"removed\":true}"];
    assert_eq!(hall.told("monday").await, told);
    assert_eq!(hall.world().await, world, "no class is what others are planned from");
}

#[tokio::test]
async fn a_class_that_could_not_be_planned_is_refused_with_every_fault() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let bad = ClassRecord {
        date: "2026-02-30".into(),
        time: "25:00".into(),
        zone: "London".into(),
        session: "nothing".into(),
        present: Some(ids(&["ama", "nobody"])),
        together: vec![["ama".into(), "bram".into()]],
        out_of_service: Some(OutRecord { bars: ids(&["Z9"]), ..OutRecord::default() }),
        ..class("monday", "")
    };
    let found = faults(service.add_class(who, bad).await.unwrap_err());
    let fields: Vec<_> = found.iter().filter_map(|fault| fault.field.as_deref()).collect();
    for field in ["date", "time", "zone", "session", "present", "out-of-service.bars"] {
        assert!(fields.contains(&field), "{field} is not among {found:?}");
    }
    let found = faults(service.add_class(who, class("a/b", "2026-12-07")).await.unwrap_err());
    assert!(found[0].problem.contains("choose an id"), "{found:?}");
    let both = ClassRecord { present: Some(ids(&["ama"])), absent: Some(ids(&["bram"])), ..class("m", "2026-12-07") };
    let found = faults(service.add_class(who, both).await.unwrap_err());
    assert!(found[0].problem.contains("keep one"), "{found:?}");
    assert!(service.classes(who, &Days::default(), None, 9).await.unwrap().items.is_empty());
    assert!(hall.told("monday").await.is_empty());
}

#[tokio::test]
async fn classes_of_some_days_are_read_page_by_page() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    for (id, date) in [("c", "2026-12-09"), ("a", "2026-12-08"), ("b", "2026-12-08"), ("x", "2026-12-01")] {
        service.add_class(who, class(id, date)).await.unwrap();
    }
    let days = Days { from: Some("2026-12-08".into()), to: None };
    let first = service.classes(who, &days, None, 2).await.unwrap();
    let rest = service.classes(who, &days, first.next.as_deref(), 2).await.unwrap();
    let read: Vec<_> = first.items.iter().chain(&rest.items).map(|stored| stored.value.id.as_str()).collect();
    assert_eq!((read, rest.next), (vec!["a", "b", "c"], None));
    let day = Days { from: Some("2026-12-01".into()), to: Some("2026-12-01".into()) };
    assert_eq!(service.classes(who, &day, None, 9).await.unwrap().items.len(), 1);
}

#[tokio::test]
async fn people_are_checked_in_and_out_and_whoever_comes_unannounced_too() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let new = ClassRecord { present: Some(ids(&["ama"])), ..class("monday", "2026-12-07") };
    service.add_class(who, new).await.unwrap();
    let there = service.check(who, "monday", &ids(&["bram"]), Some(Seen::In)).await.unwrap();
    let short: Vec<_> = there.iter().map(|one| (one.athlete.as_str(), one.listed, one.checked)).collect();
    assert_eq!(short, [("ama", true, None), ("bram", false, Some(Seen::In))]);
    service.check(who, "monday", &ids(&["bram"]), Some(Seen::In)).await.unwrap();
    service.check(who, "monday", &ids(&["ama", "bram"]), Some(Seen::Out)).await.unwrap();
    service.check(who, "monday", &ids(&["bram"]), None).await.unwrap();
    let there = service.attendance(who, "monday").await.unwrap();
    let short: Vec<_> = there.iter().map(|one| (one.athlete.as_str(), one.listed, one.checked)).collect();
    assert_eq!(short, [("ama", true, Some(Seen::Out))]);
    assert_eq!(service.class(who, "monday").await.unwrap().revision, 1, "checking in is no edit");
    let told = hall.told("monday").await;
    let expected = [
        r#"class-changed {"revision":1}"#,
        r#"checked-in {"athlete":"bram"}"#,
        r#"checked-out {"athlete":"ama"}"#,
        r#"checked-out {"athlete":"bram"}"#,
        r#"check-taken-back {"athlete":"bram"}"#,
    ];
    assert_eq!(told, expected, "what is no news is not told again");
    let noted = hall.noted().await;
    assert!(noted.iter().all(|entry| !entry.contains("bram") && !entry.contains("ama\"")), "{noted:?}");
}

#[tokio::test]
async fn all_are_checked_in_or_nobody() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    service.add_class(who, class("monday", "2026-12-07")).await.unwrap();
    let refused = service.check(who, "monday", &ids(&["ama", "nobody"]), Some(Seen::In)).await.unwrap_err();
    assert!(matches!(refused, AppError::Db(DbError::Missing { what: "athlete", .. })), "{refused}");
    assert!(service.attendance(who, "monday").await.unwrap().is_empty());
    let refused = service.check(who, "nowhere", &ids(&["ama"]), Some(Seen::In)).await.unwrap_err();
    assert!(matches!(refused, AppError::Db(DbError::Missing { what: "class", .. })), "{refused}");
    assert!(matches!(service.attendance(who, "nowhere").await, Err(AppError::Db(DbError::Missing { .. }))));
}
