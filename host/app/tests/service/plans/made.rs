//! Plans as they are made: the same as the folder's, kept only where the class is still what it was, made again.

use classwright_app::service::classes::Seen;
use classwright_app::{Again, AppError, DbError};
use classwright_store::db::{events, ledger};

use super::{GYM, Ground, by_folder, coach};

#[tokio::test(flavor = "multi_thread")]
async fn a_plan_is_the_folders_byte_for_byte() {
    let ground = Ground::new().await;
    for class in ["monday", "friday", "wednesday"] {
        let plan = ground.plan(class).await;
        assert_eq!(plan, format!("{class}-1"));
        let text = ground.service.plan_text(&ground.owner, &plan).await.unwrap();
        assert!(text == by_folder(class, &[]), "{class} differs");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn classes_that_share_the_floor_are_planned_around_each_other() {
    let ground = Ground::new().await;
    let folder = tempfile::tempdir().unwrap();
    let mut beside = Vec::new();
    for class in ["sunday-lift", "sunday-pull", "sunday-row"] {
        let plan = ground.plan(class).await;
        let text = ground.service.plan_text(&ground.owner, &plan).await.unwrap();
        assert!(text == by_folder(class, &beside), "{class} differs");
        let file = folder.path().join(format!("{class}.json"));
        std::fs::write(&file, text).unwrap();
        beside.push(file);
    }
    // They do hold kit of each other, so that the test can fail.
    let row = ground.document("sunday-row-1").await;
    assert!(row["cautions"].to_string().contains("Kit held by sunday-lift"), "{}", row["cautions"]);
    // A class of another day is no neighbour.
    let tuesday = ground.plan("tuesday").await;
    let text = ground.service.plan_text(&ground.owner, &tuesday).await.unwrap();
    assert!(text == by_folder("tuesday", &[]));
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_is_checked_in_is_planned_and_whoever_is_checked_out_is_not() {
    let ground = Ground::new().await;
    let ids = |ids: &[&str]| ids.iter().map(|id| (*id).to_owned()).collect::<Vec<_>>();
    ground.service.check(&coach(), "monday", &ids(&["wen"]), Some(Seen::In)).await.unwrap();
    ground.service.check(&coach(), "monday", &ids(&["ama"]), Some(Seen::Out)).await.unwrap();
    let plan = ground.plan("monday").await;
    let document = ground.document(&plan).await;
    let cards: Vec<&str> =
        document["cards"].as_array().unwrap().iter().map(|card| card["athlete"].as_str().unwrap()).collect();
    assert!(cards.contains(&"wen") && !cards.contains(&"ama"), "{cards:?}");
    // Nobody who does not come is in what the plan was made from.
    let mut conn = ground.service.db().read().await.unwrap();
    let inputs = classwright_store::db::plans::inputs(&mut conn, GYM, &plan).await.unwrap();
    let inputs: serde_json::Value = serde_json::from_str(&inputs).unwrap();
    for digest in inputs["asked"]["class"]["files"].as_object().unwrap().values() {
        let text = classwright_store::db::plans::text(&mut conn, GYM, digest.as_str().unwrap()).await.unwrap().unwrap();
        assert!(!text.contains("ama,") && !text.contains("\"ama\""), "{text}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plan_is_told_noted_and_stands() {
    let ground = Ground::new().await;
    let made = ground.service.plan(&coach(), "monday").await.unwrap();
    assert_eq!((made.plan.class.as_str(), made.plan.made_by.as_str()), ("monday", "rowan"));
    let again = ground.service.plan(&coach(), "monday").await.unwrap();
    assert_eq!(again.plan.plan, "monday-2");
    assert_eq!(again.plan.digest, made.plan.digest, "nothing has changed between the two");
    let standing = ground.service.standing_plan(&coach(), "monday").await.unwrap();
    assert_eq!(standing.as_deref(), Some("monday-2"));
    let page = ground.service.plans(&coach(), "monday", None, 1).await.unwrap();
    assert_eq!((page.items[0].plan.as_str(), page.next.as_deref()), ("monday-2", Some("monday-2")));
    let page = ground.service.plans(&coach(), "monday", page.next.as_deref(), 1).await.unwrap();
    assert_eq!((page.items[0].plan.as_str(), page.next), ("monday-1", None));
    let mut conn = ground.service.db().read().await.unwrap();
    let told = events::after(&mut conn, GYM, "monday", 0, 10).await.unwrap();
    assert_eq!(told.iter().filter(|event| event.kind == "planned").count(), 2);
    let noted = ledger::list(&mut conn, GYM, 0, 1000).await.unwrap();
    let planned: Vec<_> = noted.iter().filter(|entry| entry.what == "class.planned").collect();
    assert_eq!(planned.len(), 2);
    assert_eq!((planned[1].who.as_str(), planned[1].about.as_str()), ("rowan", "class:monday"));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_has_happened_stays_when_a_class_is_planned_again() {
    let ground = Ground::new().await;
    let nothing = ground.service.replan(&coach(), "monday", &Again::default()).await;
    assert!(matches!(nothing, Err(AppError::Input { .. })), "{nothing:?}");
    let first = ground.plan("monday").await;
    let happened = Again {
        at: Some("18:05".into()),
        gone: vec!["ama".into()],
        late: vec!["Bram Oakhollow=+7:00".into()],
        ..Again::default()
    };
    let made = ground.service.replan(&coach(), "monday", &happened).await.unwrap();
    assert_eq!((made.plan.plan.as_str(), made.plan.parent.as_deref()), ("monday-2", Some(first.as_str())));
    assert!(!made.changes.is_empty());
    let (before, after) = (ground.document(&first).await, ground.document("monday-2").await);
    let begun = |document: &serde_json::Value| -> Vec<(String, String)> {
        let heats = document["floor"]["heats"].as_array().unwrap();
        let starts = heats.iter().flat_map(|heat| {
            let who = heat["athletes"].to_string().replace("\"ama\",", "").replace(",\"ama\"", "");
            let starts = heat["starts"].as_array().unwrap().iter();
            starts
                .filter(|start| start["start_s"].as_u64().unwrap() < 300)
                .map(move |start| (who.clone(), start["start_s"].to_string()))
        });
        starts.collect()
    };
    assert!(!begun(&before).is_empty());
    assert_eq!(begun(&before), begun(&after), "what began before 18:05 stays");
    assert!(made.changes.iter().any(|change| change.text.contains("Ama")), "{:?}", made.changes);
    let wrong = Again { kit: vec!["20 kg bar".into()], ..Again::default() };
    let wrong = ground.service.replan(&coach(), "monday", &wrong).await;
    assert!(matches!(&wrong, Err(AppError::Input { field: Some(field), .. }) if field == "kit[0]"), "{wrong:?}");
    let none = Again { kit: vec!["20 kg bar=0".into()], ..Again::default() };
    let none = ground.service.replan(&coach(), "monday", &none).await;
    assert!(matches!(none, Err(AppError::NoneLeft { .. })), "{none:?}");
    assert_eq!(ground.service.standing_plan(&coach(), "monday").await.unwrap().as_deref(), Some("monday-2"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_class_that_is_not_there_is_missing() {
    let ground = Ground::new().await;
    let missing = ground.service.plan(&coach(), "someday").await;
    assert!(matches!(missing, Err(AppError::Db(DbError::Missing { what: "class", .. }))), "{missing:?}");
    let missing = ground.service.plan_text(&coach(), "monday-1").await;
    assert!(matches!(missing, Err(AppError::Db(DbError::Missing { what: "plan", .. }))), "{missing:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_class_to_which_nobody_comes_has_a_plan_without_cards() {
    let ground = Ground::new().await;
    let lift = ["ama", "bram", "chidi", "dagny", "goran", "idris", "kofi", "noor", "ulrik"].map(str::to_owned);
    ground.service.check(&coach(), "sunday-lift", &lift, Some(Seen::Out)).await.unwrap();
    let plan = ground.plan("sunday-lift").await;
    assert_eq!(ground.document(&plan).await["cards"], serde_json::json!([]));
    assert!(ground.service.replay(&coach(), &plan).await.unwrap().same);
}
