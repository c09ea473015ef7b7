//! The roster, bests and limitations: who sees what, and that nothing is kept that could not be planned with.

use classwright_app::service::{Page, Stored};
use classwright_app::{AppError, DbError};
use classwright_store::record::{AthleteRecord, BestRecord, LimitationRecord};

use super::{Hall, athlete, faults};

fn best(movement: &str) -> BestRecord {
    BestRecord { movement: movement.into(), load: "100 kg".into(), how: "tested".into(), since: None }
}

fn sore(region: &str) -> LimitationRecord {
    LimitationRecord { region: region.into(), severity: "severe".into(), ..LimitationRecord::default() }
}

#[tokio::test]
async fn an_athlete_is_added_changed_and_removed() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let world = hall.world().await;
    let added = service.add_athlete(who, athlete("chidi")).await.unwrap();
    assert_eq!((added.revision, &added.value), (1, &athlete("chidi")));
    let stronger = AthleteRecord { skill: 5, mass: Some("80 kg".into()), ..athlete("chidi") };
    let changed = service.put_athlete(who, "chidi", stronger.clone(), Some(1)).await.unwrap();
    assert_eq!(service.athlete(who, "chidi").await.unwrap(), changed);
    assert_eq!((changed.revision, changed.value), (2, stronger.clone()));
    assert!(hall.world().await > world);

    let stale = service.put_athlete(who, "chidi", athlete("chidi"), Some(1)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 2, .. })), "{stale}");
    let exists = service.add_athlete(who, athlete("ama")).await.unwrap_err();
    assert!(matches!(exists, AppError::Db(DbError::Exists { .. })), "{exists}");
    let other = service.put_athlete(who, "chidi", athlete("dagny"), None).await.unwrap_err();
    assert!(matches!(other, AppError::Input { field: Some(field), .. } if field == "id"));
    service.remove_athlete(who, "chidi", Some(2)).await.unwrap();
    let gone = service.athlete(who, "chidi").await.unwrap_err();
    assert!(matches!(gone, AppError::Db(DbError::Missing { .. })), "{gone}");
    let noted = hall.noted().await;
    assert!(noted.iter().all(|entry| !entry.contains("chidi")), "the ledger holds no id: {noted:?}");
    assert!(noted.iter().any(|entry| entry.ends_with(r#"{"fields":["skill","mass"]}"#)), "{noted:?}");
}

#[tokio::test]
async fn what_could_not_be_planned_with_is_refused_with_every_fault_and_changes_nothing() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let (noted, world) = (hall.noted().await, hall.world().await);
    let bad = AthleteRecord { skill: 9, place: "the moon".into(), bar: Some("bar-9".into()), ..athlete("chidi") };
    let found = faults(service.add_athlete(who, bad).await.unwrap_err());
    let fields: Vec<_> = found.iter().map(|fault| fault.field.as_deref().unwrap_or_default()).collect();
    assert_eq!(fields, ["bar", "place", "skill"]);
    assert!(found.iter().all(|fault| fault.file.ends_with("roster.csv") && fault.line == Some(4)), "{found:?}");
    let found = faults(
        service.put_athlete(who, "ama", AthleteRecord { age: Some(3), ..athlete("ama") }, None).await.unwrap_err(),
    );
    assert_eq!(found.len(), 1, "{found:?}");
    let found = faults(service.add_best(who, "ama", best("moon walk")).await.unwrap_err());
    assert!(found[0].problem.contains("moon walk"), "{found:?}");
    let found = faults(service.add_limitation(who, "ama", sore("nose")).await.unwrap_err());
    assert!(found[0].problem.contains("nose"), "{found:?}");
    assert_eq!((hall.noted().await, hall.world().await), (noted, world));
    assert_eq!(service.athlete(who, "ama").await.unwrap().revision, 1);
    assert!(service.bests(who, "ama").await.unwrap().value.is_empty());
}

#[tokio::test]
async fn bests_and_limitations_keep_their_history_and_the_ledger_never_says_what() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let first = service.add_best(who, "ama", best("back squat")).await.unwrap();
    let newer = BestRecord { load: "105 kg".into(), since: Some("2026-12-01".into()), ..best("back squat") };
    let second = service.add_best(who, "ama", newer.clone()).await.unwrap();
    assert_eq!((first.value.n, second.value.n, second.revision), (1, 2, 3));
    let kept = service.bests(who, "ama").await.unwrap();
    assert_eq!((kept.revision, kept.value.len(), &kept.value[1].value), (3, 2, &newer));
    let mended = BestRecord { load: "101 kg".into(), ..best("back squat") };
    assert_eq!(service.put_best(who, "ama", 1, mended, Some(3)).await.unwrap().revision, 4);
    let stale = service.remove_best(who, "ama", 1, Some(3)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 4, .. })), "{stale}");
    service.remove_best(who, "ama", 1, Some(4)).await.unwrap();

    let reported = service.add_limitation(who, "ama", sore("shoulder")).await.unwrap();
    let over = LimitationRecord { until: Some("2026-12-24".into()), ..sore("shoulder") };
    let ended = service.put_limitation(who, "ama", reported.value.n, over.clone(), Some(reported.revision)).await;
    assert_eq!(ended.unwrap().value.value, over);
    assert_eq!(service.limitations(who, "ama").await.unwrap().value[0].value, over);
    service.remove_limitation(who, "ama", 1, None).await.unwrap();
    assert!(service.limitations(who, "ama").await.unwrap().value.is_empty());
    for entry in hall.noted().await {
        for word in ["shoulder", "severe", "ama", "100 kg", "back squat"] {
            assert!(!entry.contains(word), "{entry}");
        }
    }
}

#[tokio::test]
async fn an_athlete_sees_their_own_record_and_reports_their_own_limitations() {
    let hall = Hall::new().await;
    let service = &hall.service;
    let ama = hall.trainee(Some("ama"));
    let own = service.athletes(&ama, None, 10).await.unwrap();
    let row = Stored { revision: 1, value: athlete("ama") };
    assert_eq!(own, Page { items: vec![row], next: None });
    assert!(service.athletes(&hall.trainee(None), None, 10).await.unwrap().items.is_empty());
    service.add_limitation(&ama, "ama", sore("knee")).await.unwrap();
    assert_eq!(service.limitations(&ama, "ama").await.unwrap().value.len(), 1);
    service.put_limitation(&ama, "ama", 1, sore("hip"), None).await.unwrap();
    service.remove_limitation(&ama, "ama", 1, None).await.unwrap();
    for refused in [
        service.athlete(&ama, "bram").await.map(drop),
        service.athlete(&ama, "nobody").await.map(drop),
        service.bests(&ama, "bram").await.map(drop),
        service.limitations(&ama, "bram").await.map(drop),
        service.add_limitation(&ama, "bram", sore("knee")).await.map(drop),
        service.put_limitation(&ama, "bram", 1, sore("knee"), None).await.map(drop),
        service.remove_limitation(&ama, "bram", 1, None).await,
    ] {
        assert!(matches!(refused, Err(AppError::NotAllowed(_))), "{refused:?}");
    }
}

#[tokio::test]
async fn the_roster_is_read_to_its_end_page_by_page() {
    let hall = Hall::new().await;
    for id in ["zed", "chidi", "dagny"] {
        hall.service.add_athlete(&hall.owner, athlete(id)).await.unwrap();
    }
    let (mut read, mut after) = (Vec::new(), None);
    loop {
        let page = hall.service.athletes(&hall.owner, after.as_deref(), 2).await.unwrap();
        assert!(page.items.len() <= 2);
        read.extend(page.items.into_iter().map(|stored| stored.value.id));
        after = page.next;
        if after.is_none() {
            break;
        }
    }
    assert_eq!(read, ["ama", "bram", "zed", "chidi", "dagny"]);
    let rubbish = hall.service.athletes(&hall.owner, Some("rubbish"), 2).await.unwrap_err();
    assert!(matches!(rubbish, AppError::Db(DbError::Missing { .. })), "{rubbish}");
}
