//! Kit by place, and the gym's own movements.

use classwright_app::{AppError, DbError};
use classwright_store::record::{AthleteRecord, BestRecord, HomeRecord, KitRecord, MovementRecord, OutRecord};
use serde_json::json;

use super::{Hall, athlete, class, faults, floor};

fn home(id: &str) -> HomeRecord {
    HomeRecord {
        id: id.into(),
        kit: serde_json::from_value(json!({ "kit": [{ "kind": "mat", "count": 1 }] })).unwrap(),
    }
}

fn hop(id: &str, name: &str) -> MovementRecord {
    serde_json::from_value(json!({
        "id": id, "name": name, "patterns": ["jump"], "demand": { "knee": 2 }, "kit": {}, "load": "none",
        "sides": "both", "seconds": { "rep": [2.0, 1.0, 3.0] }, "skill": 2,
    }))
    .unwrap()
}

fn needed(error: AppError) -> String {
    match error {
        AppError::Db(error @ DbError::Needed { .. }) => error.to_string(),
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn kit_is_changed_and_homes_come_and_go() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    assert_eq!(service.put_kit(who, "floor", floor(3), Some(1)).await.unwrap().revision, 2);
    assert_eq!(service.kit(who, "floor").await.unwrap().value, floor(3));
    assert_eq!(service.add_home(who, home("amas-flat")).await.unwrap().revision, 1);
    service.add_home(who, home("brams-yard")).await.unwrap();
    let first = service.kits(who, None, 2).await.unwrap();
    let ids: Vec<_> = first.items.iter().map(|stored| stored.value.id.as_str()).collect();
    assert_eq!(ids, ["floor", "amas-flat"]);
    let rest = service.kits(who, first.next.as_deref(), 2).await.unwrap();
    assert_eq!((rest.items.len(), rest.next), (1, None));
    service.put_athlete(who, "ama", AthleteRecord { place: "amas-flat".into(), ..athlete("ama") }, None).await.unwrap();
    assert!(needed(service.remove_home(who, "amas-flat", None).await.unwrap_err()).contains("ama"));
    assert!(needed(service.remove_home(who, "floor", None).await.unwrap_err()).contains("every gym"));
    let stale = service.remove_home(who, "brams-yard", Some(4)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 1, .. })), "{stale}");
    service.remove_home(who, "brams-yard", Some(1)).await.unwrap();
}

#[tokio::test]
async fn kit_that_does_not_add_up_is_refused() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let mut bad = floor(2);
    bad.plate[0].out_of_service = 5;
    bad.kit[0].kind = "trampoline".into();
    let found = faults(service.put_kit(who, "floor", bad, None).await.unwrap_err());
    assert_eq!(found.len(), 2, "{found:?}");
    let found = faults(service.add_home(who, home("No Such Id")).await.unwrap_err());
    assert!(found[0].field.as_deref().is_some_and(|field| field.ends_with("id")), "{found:?}");
    assert_eq!(service.kit(who, "floor").await.unwrap().revision, 1);
    // Somebody is used to a bar that would be gone.
    service
        .put_athlete(who, "ama", AthleteRecord { bar: Some("bar-20".into()), ..athlete("ama") }, None)
        .await
        .unwrap();
    let found = faults(service.put_kit(who, "floor", KitRecord::default(), None).await.unwrap_err());
    assert!(found[0].file.ends_with("roster.csv"), "{found:?}");
}

#[tokio::test]
async fn kit_that_a_coming_class_reckons_with_stays_and_that_of_the_past_may_go() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let out = |id: &str, date: &str, bar: &str| {
        let out = OutRecord { bars: vec![bar.into()], ..OutRecord::default() };
        classwright_store::record::ClassRecord { out_of_service: Some(out), ..class(id, date) }
    };
    service.add_class(who, out("past", "2020-01-06", "A2")).await.unwrap();
    service.put_kit(who, "floor", floor(1), None).await.unwrap();
    service.add_class(who, out("coming", "2099-01-05", "A1")).await.unwrap();
    let found = faults(service.put_kit(who, "floor", floor(0), None).await.unwrap_err());
    assert!(found.iter().all(|fault| fault.file.ends_with("coming.toml")) && !found.is_empty(), "{found:?}");
}

#[tokio::test]
async fn own_movements_are_kept_as_long_as_something_names_them() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    assert_eq!(service.add_movement(who, hop("anvil-hop", "anvil hop")).await.unwrap().revision, 1);
    service.add_movement(who, hop("crate-hop", "crate hop")).await.unwrap();
    assert_eq!(service.movement(who, "anvil-hop").await.unwrap().value, hop("anvil-hop", "anvil hop"));
    let page = service.movements(who, None, 1).await.unwrap();
    assert_eq!(page.items[0].value.id, "anvil-hop");
    assert_eq!(service.movements(who, page.next.as_deref(), 1).await.unwrap().items[0].value.id, "crate-hop");
    let found = faults(service.add_movement(who, hop("hop-hop", "back squat")).await.unwrap_err());
    assert!(found[0].problem.contains("back squat"), "{found:?}");

    let text = "# Hops\n- length: 30 min\n\n## Conditioning: 3 rounds\n- 10 anvil hop\n";
    let new = classwright_app::service::sessions::NewSession { id: "hops".into(), text: text.into() };
    service.add_session(who, new).await.unwrap();
    let renamed = service.put_movement(who, "anvil-hop", hop("anvil-hop", "hop over the block"), None).await;
    renamed.expect("its id is a name too");
    let why = needed(service.remove_movement(who, "anvil-hop", None).await.unwrap_err());
    assert!(why.contains("sessions/hops.md") && why.contains("anvil"), "{why}");
    let best = BestRecord { movement: "crate hop".into(), load: "20 kg".into(), how: "tested".into(), since: None };
    service.add_best(who, "ama", best).await.unwrap();
    let why = needed(service.remove_movement(who, "crate-hop", None).await.unwrap_err());
    assert!(why.contains("bests.csv") && why.contains("crate hop"), "{why}");
    service.remove_best(who, "ama", 1, None).await.unwrap();
    service.remove_movement(who, "crate-hop", Some(1)).await.unwrap();
    let gone = service.movement(who, "crate-hop").await.unwrap_err();
    assert!(matches!(gone, AppError::Db(DbError::Missing { .. })), "{gone}");
}
