//! Faults in a row: counted, one too many takes a policy out of the order, and it comes back by hand.

use classwright_app::service::shelf::{ShelvedDoc, UpgradeRequest};
use classwright_store::db::{events, ledger};
use serde_json::json;

use super::policies::{light, moody};
use crate::plans::{GYM, Ground, coach};

/// Has the policy `light` break down from now on, or not any more.
async fn break_down(ground: &Ground, breaks: bool) {
    let settings = if breaks { json!({ "much": true }) } else { json!({}) };
    let settings = settings.as_object().unwrap();
    ground.service.set_settings(&ground.owner, "light", None, settings).await.unwrap();
}

async fn light_now(ground: &Ground) -> ShelvedDoc {
    ground.service.policy(&ground.owner, "light").await.unwrap().value.shelf
}

#[tokio::test(flavor = "multi_thread")]
async fn three_faults_in_a_row_set_a_policy_aside_until_somebody_enables_it() {
    let ground = Ground::new().await;
    assert_eq!(ground.ask_also(GYM, moody()).await, "light");
    break_down(&ground, true).await;
    for faults in [1, 2] {
        ground.plan("monday").await;
        assert_eq!(light_now(&ground).await.faults, faults);
    }
    // One class without a fault, and it is counted anew.
    break_down(&ground, false).await;
    ground.plan("friday").await;
    assert_eq!(light_now(&ground).await.faults, 0);
    break_down(&ground, true).await;
    for _ in 0..2 {
        ground.plan("friday").await;
    }
    let stands = light_now(&ground).await;
    assert_eq!((stands.faults, stands.asked, stands.set_aside), (2, true, None));

    let made = ground.service.plan(&coach(), "monday").await.unwrap();
    assert_eq!(made.faults.iter().filter(|fault| fault.policy == "light").count(), 1, "the plan stands all the same");
    let shown = ground.service.policy(&ground.owner, "light").await.unwrap().value;
    assert_eq!((shown.shelf.faults, shown.shelf.enabled, shown.shelf.asked), (3, true, false));
    let aside = shown.shelf.set_aside.unwrap();
    assert_eq!((aside.class.as_str(), aside.plan.as_str()), ("monday", made.plan.plan.as_str()));
    assert_eq!((aside.kind.as_str(), aside.call.as_str(), aside.version.as_str()), ("trapped", "scale", "0.9.0"));
    let fault = shown.fault.unwrap();
    assert!(fault.for_coach.contains("broke down") && fault.for_author.contains("unreachable"), "{fault:?}");

    // Whoever watches that class is told, and the ledger says it; neither has a word of the policy.
    let mut conn = ground.service.db().read().await.unwrap();
    let told = events::after(&mut conn, GYM, "monday", 0, 1000).await.unwrap();
    let told: Vec<_> = told.into_iter().filter(|event| event.kind == "policy-set-aside").collect();
    assert_eq!(told.len(), 1);
    let friday = events::after(&mut conn, GYM, "friday", 0, 1000).await.unwrap();
    assert!(friday.iter().all(|event| event.kind != "policy-set-aside"));
    let noted = ledger::list(&mut conn, GYM, 0, 10_000).await.unwrap();
    let noted: Vec<_> = noted.into_iter().filter(|entry| entry.what == "policy.set-aside").collect();
    assert_eq!(noted.len(), 1);
    assert_eq!((noted[0].who.as_str(), noted[0].about.as_str()), ("rowan", "policy:light"));
    for text in [told[0].body.to_string(), noted[0].detail.to_string()] {
        assert!(text.contains("trapped") && !text.contains("unreachable") && !text.contains("broke down"), "{text}");
    }
    drop(conn);

    // It is not asked any more.
    let without = ground.service.plan(&coach(), "friday").await.unwrap();
    assert!(without.faults.is_empty(), "{:?}", without.faults);
    let document = ground.document(&without.plan.plan).await;
    assert!(document["components"].as_array().unwrap().iter().all(|asked| asked["policy"] != "light"));

    break_down(&ground, false).await;
    assert!(!light_now(&ground).await.asked, "new settings alone do not bring it back");
    let back = ground.service.enable_policy(&ground.owner, "light", true).await.unwrap().value;
    assert_eq!((back.asked, back.faults, back.set_aside), (true, 0, None));
    let plan = ground.plan("friday").await;
    let document = ground.document(&plan).await;
    assert!(document["components"].as_array().unwrap().iter().any(|asked| asked["policy"] == "light"));
}

#[tokio::test(flavor = "multi_thread")]
async fn another_component_begins_without_faults_and_old_ones_stay_for_plans() {
    let ground = Ground::new().await;
    ground.ask_also(GYM, moody()).await;
    let old = light_now(&ground).await.digest;
    break_down(&ground, true).await;
    for _ in 0..3 {
        ground.plan("monday").await;
    }
    assert!(light_now(&ground).await.set_aside.is_some());
    let new = ground.service.install_policy(&ground.owner, light("1.0.0", "{}", false)).await.unwrap().policy.digest;
    let over = UpgradeRequest { digest: new.clone(), settings: None, dry_run: false, classes: 0, anyway: false };
    ground.service.upgrade_policy(&ground.owner, "light", &over).await.unwrap();
    let stands = light_now(&ground).await;
    assert_eq!((stands.asked, stands.faults, stands.set_aside), (true, 0, None));
    assert!(ground.plan("monday").await.ends_with("-4"));
    assert_eq!(light_now(&ground).await.faults, 0);

    // Plans were made with both components: they stay, so that every plan can be made again.
    ground.service.remove_policy(&ground.owner, "light", None).await.unwrap();
    let mut conn = ground.service.db().read().await.unwrap();
    for digest in [&old, &new] {
        assert!(classwright_store::db::components::find(&mut conn, GYM, digest).await.unwrap().is_some());
    }
    drop(conn);
    for plan in ["monday-1", "monday-4"] {
        assert!(ground.service.replay(&ground.owner, plan).await.unwrap().same, "{plan}");
    }
}
