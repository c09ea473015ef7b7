//! What coaches set by hand: what is refused and why, what is told, and that it is carried on.

use classwright_app::service::overrides::OverrideRecord;
use classwright_app::{AppError, DbError};
use classwright_store::db::{events, ledger};
use serde_json::Value;

use super::{GYM, Ground, coach};

/// For the squats of Monday's strength part.
fn squats(ground: &Value) -> (u32, f64) {
    let items = ground["cards"][0]["items"].as_array().unwrap();
    let item = items.iter().find(|item| item["load"]["total_kg"].as_f64().is_some()).unwrap();
    (item["item"].as_u64().unwrap() as u32, item["load"]["total_kg"].as_f64().unwrap())
}

fn set(athlete: &str, item: u32) -> OverrideRecord {
    OverrideRecord { athlete: athlete.into(), item, reason: "Feels heavy today.".into(), ..OverrideRecord::default() }
}

#[tokio::test(flavor = "multi_thread")]
async fn slips_of_the_pen_are_refused_with_their_place() {
    let ground = Ground::new().await;
    let unplanned = ground.service.add_override(&coach(), "monday", set("ama", 1)).await;
    assert!(matches!(unplanned, Err(AppError::Db(DbError::Missing { .. }))), "{unplanned:?}");
    let plan = ground.plan("monday").await;
    let document = ground.document(&plan).await;
    let ama = document["cards"][0]["athlete"].as_str().unwrap().to_owned();
    let (item, kg) = squats(&document);
    let text = |text: &str| Some(text.to_owned());
    let cases = [
        (set(&ama, item), ""),
        (OverrideRecord { off: true, load: text("20 kg"), ..set(&ama, item) }, "off"),
        (OverrideRecord { off: true, reason: "  ".into(), ..set(&ama, item) }, "reason"),
        (OverrideRecord { off: true, reason: "a\nb".into(), ..set(&ama, item) }, "reason"),
        (OverrideRecord { off: true, ..set(&ama, 0) }, "item"),
        (OverrideRecord { off: true, ..set(&ama, 99) }, "item"),
        (OverrideRecord { load: text("20"), ..set(&ama, item) }, "load"),
        (OverrideRecord { load: text("70%"), ..set(&ama, item) }, "load"),
        (OverrideRecord { load: text("0.1 kg"), ..set(&ama, item) }, "load"),
        (OverrideRecord { load: text("20 kg, RPE 8"), ..set(&ama, item) }, "load"),
        (OverrideRecord { load: text("20 kg\n- 5 deadlift @ 200 kg"), ..set(&ama, item) }, "load"),
        (OverrideRecord { amount: text("0"), ..set(&ama, item) }, "amount"),
        (OverrideRecord { amount: text("1001"), ..set(&ama, item) }, "amount"),
        (OverrideRecord { amount: text("some"), ..set(&ama, item) }, "amount"),
        (OverrideRecord { amount: text("5 deadlift +  5"), ..set(&ama, item) }, "amount"),
        (OverrideRecord { amount: text("200 m"), ..set(&ama, item) }, "amount"),
        (OverrideRecord { load: Some(format!("{} kg", kg + 0.5)), ..set(&ama, item) }, "load"),
    ];
    for (record, field) in cases {
        let refused = ground.service.add_override(&coach(), "monday", record.clone()).await.unwrap_err();
        let AppError::Input { field: found, .. } = &refused else { panic!("{record:?}: {refused:?}") };
        assert_eq!(found.as_deref().unwrap_or_default(), field, "{record:?}: {refused}");
    }
    let strange = OverrideRecord { movement: text("goblet sqat"), ..set(&ama, item) };
    let strange = ground.service.add_override(&coach(), "monday", strange).await.unwrap_err();
    assert!(
        matches!(&strange, AppError::NoSuch { what: "movement", nearest: Some(near), .. } if near == "goblet-squat"),
        "{strange:?}"
    );
    let nobody = ground.service.add_override(&coach(), "monday", OverrideRecord { off: true, ..set("wen", 1) }).await;
    assert!(matches!(nobody, Err(AppError::Db(DbError::Missing { .. }))), "{nobody:?}");
    assert!(ground.service.overrides(&coach(), "monday").await.unwrap().is_empty(), "nothing was kept");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_set_is_told_carried_on_and_taken_back_and_the_plan_stays() {
    let ground = Ground::new().await;
    let plan = ground.plan("monday").await;
    let before = ground.service.plan_text(&coach(), &plan).await.unwrap();
    let document = ground.document(&plan).await;
    let ama = document["cards"][0]["athlete"].as_str().unwrap().to_owned();
    let (item, kg) = squats(&document);
    let lighter = OverrideRecord {
        movement: Some("goblet squat".into()),
        amount: Some("5-8".into()),
        load: Some("12 kg".into()),
        ..set(&ama, item)
    };
    let made = ground.service.add_override(&coach(), "monday", lighter).await.unwrap();
    assert_eq!(made.set.movement.as_deref(), Some("goblet-squat"), "a movement is kept by its id");
    assert!(made.holds && made.made_by == "rowan");
    let heavier = OverrideRecord { load: Some(format!("{} kg", kg + 2.5)), raises: true, ..set(&ama, item) };
    let second = ground.service.add_override(&coach(), "monday", heavier).await.unwrap();
    assert_ne!(made.id, second.id);
    ground.plan("monday").await;
    let all = ground.service.overrides(&coach(), "monday").await.unwrap();
    assert_eq!(all.iter().map(|own| (&own.id, own.holds)).collect::<Vec<_>>(), [(&made.id, true), (&second.id, true)]);
    assert_eq!(ground.service.plan_text(&coach(), &plan).await.unwrap(), before);
    // Where the plan has something else in that place, the coach is told to look again.
    ground.meddle("UPDATE cards SET body = REPLACE(body, 'quat', 'KWAT')").await;
    assert!(ground.service.overrides(&coach(), "monday").await.unwrap().iter().all(|own| !own.holds));

    ground.service.remove_override(&coach(), "monday", &made.id).await.unwrap();
    let gone = ground.service.remove_override(&coach(), "monday", &made.id).await;
    assert!(matches!(gone, Err(AppError::Db(DbError::Missing { what: "override", .. }))), "{gone:?}");
    assert_eq!(ground.service.overrides(&coach(), "monday").await.unwrap().len(), 1);

    let mut conn = ground.service.db().read().await.unwrap();
    let told = events::after(&mut conn, GYM, "monday", 0, 100).await.unwrap();
    let kinds: Vec<&str> = told.iter().map(|event| event.kind.as_str()).collect();
    assert_eq!(kinds, ["planned", "override", "override", "planned", "override-removed"]);
    let noted = ledger::list(&mut conn, GYM, 0, 1000).await.unwrap();
    let own: Vec<_> = noted.iter().filter(|entry| entry.what.starts_with("override.")).collect();
    assert_eq!(own.len(), 3);
    for entry in own {
        let text = entry.detail.to_string();
        assert!(!text.contains("heavy") && !text.contains(&format!("\"{ama}\"")), "the ledger cannot forget: {text}");
    }
}
