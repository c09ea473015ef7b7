//! Going over to another component, and back.

use classwright_app::service::shelf::UpgradeRequest;
use classwright_app::{AppError, DbError};
use serde_json::json;

use super::policies::{hostile, house, light};
use super::{Hall, input};

const OLD: &str = r#"{"type":"object","properties":{"share":{"type":"integer","default":80}}}"#;
const NEW: &str = r#"{"type":"object","properties":{"share":{"type":"integer","default":90,"maximum":100}}}"#;

fn to(digest: &str) -> UpgradeRequest {
    UpgradeRequest { digest: digest.into(), settings: None, dry_run: false, classes: 0, anyway: false }
}

#[tokio::test]
async fn an_upgrade_says_what_differs_and_changes_nothing_when_dry() {
    let hall = Hall::new().await;
    let old = hall.install(light("1.0.0", OLD, false)).await.policy;
    let new = hall.install(light("1.1.0", NEW, true)).await.policy;
    let share = json!({ "share": 170 }).as_object().unwrap().clone();
    hall.service.set_settings(&hall.owner, "light", None, &share).await.unwrap();

    let before = (hall.entry("light").await, hall.noted().await);
    let dry = UpgradeRequest { dry_run: true, ..to(&new.digest) };
    let report = hall.service.upgrade_policy(&hall.owner, "light", &dry).await.unwrap();
    assert_eq!((&report.from, &report.to), (&old.digest, &new.digest));
    let described: Vec<_> = report.describe.iter().map(|one| one.place.as_str()).collect();
    assert_eq!(described, ["size", "version"], "{:?}", report.describe);
    let schema: Vec<_> = report.settings_schema.iter().map(|one| one.place.as_str()).collect();
    assert_eq!(schema, ["properties.share.default", "properties.share.maximum"]);
    assert_eq!(report.settings_faults.len(), 1);
    assert_eq!(report.settings_faults[0].place, "share");
    assert!(report.conformance.passed && report.done.is_none());
    assert_eq!((hall.entry("light").await, hall.noted().await), before);

    // The settings do not hold with the other one: nothing happens until they do.
    let (field, _) = input(hall.service.upgrade_policy(&hall.owner, "light", &to(&new.digest)).await.unwrap_err());
    assert_eq!(field.as_deref(), Some("settings.share"));
    assert_eq!((hall.entry("light").await, hall.noted().await), before);
}

#[tokio::test]
async fn a_policy_goes_over_and_comes_back_with_the_settings_of_then() {
    let hall = Hall::new().await;
    let old = hall.install(light("1.0.0", OLD, false)).await.policy;
    let new = hall.install(light("1.1.0", NEW, true)).await.policy;
    let share = |percent: u32| json!({ "share": percent }).as_object().unwrap().clone();
    hall.service.set_settings(&hall.owner, "light", None, &share(170)).await.unwrap();
    hall.service.enable_policy(&hall.owner, "light", false).await.unwrap();

    let request = UpgradeRequest { settings: Some(share(70)), ..to(&new.digest) };
    let done = hall.service.upgrade_policy(&hall.owner, "light", &request).await.unwrap().done.unwrap();
    assert_eq!(done, hall.entry("light").await);
    assert_eq!((&done.value.digest, done.value.version.as_str()), (&new.digest, "1.1.0"));
    assert_eq!((&done.value.settings, done.value.asked), (&share(70), true));
    let shown = hall.service.policy(&hall.owner, "light").await.unwrap().value;
    assert_eq!(shown.before.len(), 1);
    assert_eq!((&shown.before[0].digest, &shown.before[0].settings), (&old.digest, &share(170)));
    assert!(shown.waiting.is_empty());

    let back = hall.service.roll_back_policy(&hall.owner, "light").await.unwrap().value;
    assert_eq!((&back.digest, &back.settings, back.asked), (&old.digest, &share(170), true));
    let shown = hall.service.policy(&hall.owner, "light").await.unwrap().value;
    assert!(shown.before.is_empty());
    assert_eq!(shown.waiting.len(), 1, "the newer one is still to be had");
    let (_, problem) = input(hall.service.roll_back_policy(&hall.owner, "light").await.unwrap_err());
    assert!(problem.contains("nothing to go back to"), "{problem}");
    let noted = hall.noted().await;
    for what in ["policy.upgraded", "policy.rolled-back"] {
        assert_eq!(noted.iter().filter(|entry| **entry == format!("olga {what} policy:light")).count(), 1, "{noted:?}");
    }
}

#[tokio::test]
async fn what_is_no_newer_component_of_the_policy_is_refused() {
    let hall = Hall::new().await;
    let old = hall.install(light("1.0.0", "{}", false)).await.policy;
    let other = hall.install(house("scaling")).await.policy;
    let (_, same) = input(hall.service.upgrade_policy(&hall.owner, "light", &to(&old.digest)).await.unwrap_err());
    assert!(same.contains("stands with already"), "{same}");
    let (_, strange) = input(hall.service.upgrade_policy(&hall.owner, "light", &to(&other.digest)).await.unwrap_err());
    assert!(strange.contains(&format!("component of `{}`", other.name)), "{strange}");
    let none = hall.service.upgrade_policy(&hall.owner, "light", &to(&"0".repeat(64))).await;
    assert!(matches!(none, Err(AppError::Db(DbError::Missing { what: "component", .. }))), "{none:?}");
}

#[tokio::test]
async fn a_policy_that_is_asked_does_not_go_over_to_one_that_failed_unawares() {
    let hall = Hall::new().await;
    hall.install(hostile("declines")).await;
    let worse = hall.install(hostile("endless-loop")).await.policy;
    hall.service.enable_policy(&hall.owner, "hostile", false).await.unwrap();
    let (_, problem) =
        input(hall.service.upgrade_policy(&hall.owner, "hostile", &to(&worse.digest)).await.unwrap_err());
    assert!(problem.contains("anyway"), "{problem}");
    let anyway = UpgradeRequest { anyway: true, ..to(&worse.digest) };
    let done = hall.service.upgrade_policy(&hall.owner, "hostile", &anyway).await.unwrap().done.unwrap();
    assert!(done.value.asked && !done.value.passed);
}
