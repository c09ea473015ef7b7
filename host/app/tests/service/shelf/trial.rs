//! Trying a policy on classes that were.

use classwright_app::service::shelf::{TrialRequest, UpgradeRequest};
use classwright_store::db::AnyConnection;
use serde_json::json;
use sqlx::{AssertSqlSafe, Connection, Row};

use super::input;
use super::policies::{hostile, house, light, moody};
use crate::plans::Ground;

/// Every row of every table, as text.
async fn everything(ground: &Ground) -> Vec<String> {
    let mut conn = AnyConnection::connect(&format!("sqlite://{}", ground.file().display())).await.unwrap();
    let mut all = Vec::new();
    let tables = texts(&mut conn, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name").await;
    assert!(tables.len() > 20, "{tables:?}");
    for table in tables {
        let columns = texts(&mut conn, &format!("SELECT name FROM pragma_table_info('{table}')")).await;
        let columns: Vec<String> = columns.iter().map(|column| format!("quote(\"{column}\")")).collect();
        let rows = format!("SELECT '{table} ' || {} FROM \"{table}\" ORDER BY 1", columns.join(" || ',' || "));
        all.extend(texts(&mut conn, &rows).await);
    }
    all
}

async fn texts(conn: &mut AnyConnection, sql: &str) -> Vec<String> {
    let rows = sqlx::query(AssertSqlSafe(sql)).fetch_all(conn).await.unwrap();
    rows.iter().map(|row| row.try_get(0).unwrap()).collect()
}

/// The demo gym with two plans of yesterday and one of long ago.
async fn yesterday() -> Ground {
    let ground = Ground::new().await;
    for class in ["monday", "friday", "tuesday"] {
        ground.plan(class).await;
    }
    ground.meddle("UPDATE classes SET day = date('now', '-1 day') WHERE class IN ('monday', 'friday')").await;
    ground.meddle("UPDATE classes SET day = date('now', '-40 day') WHERE class = 'tuesday'").await;
    ground
}

#[tokio::test(flavor = "multi_thread")]
async fn what_a_policy_would_have_changed_is_told_and_nothing_is_written() {
    let ground = yesterday().await;
    ground.service.install_policy(&ground.owner, light("1.0.0", "{}", true)).await.unwrap();
    let before = everything(&ground).await;
    let tried = ground.service.try_policy(&ground.owner, "light", &TrialRequest::default()).await.unwrap();
    assert_eq!((tried.tried.policy.as_str(), tried.trips.len()), ("light", 0));
    let mut classes: Vec<_> = tried.attempt.classes.iter().map(|class| class.class.as_str()).collect();
    classes.sort_unstable();
    assert_eq!(classes, ["friday", "monday"], "tuesday was too long ago");
    // It takes the first piece of each class off, for one athlete.
    assert_eq!((tried.attempt.total.off, tried.attempt.total.cards), (2, 2), "{:?}", tried.attempt.total);
    let longer = TrialRequest { days: Some(60), ..TrialRequest::default() };
    let longer = ground.service.try_policy(&ground.owner, "light", &longer).await.unwrap();
    assert_eq!((longer.attempt.total.off, longer.next), (3, None));
    // The same, class by class.
    let (mut after, mut plans) = (None, Vec::new());
    loop {
        let one = TrialRequest { days: Some(60), classes: Some(1), after, ..TrialRequest::default() };
        let one = ground.service.try_policy(&ground.owner, "light", &one).await.unwrap();
        assert_eq!(one.attempt.total.off, 1);
        plans.push(one.attempt.classes[0].plan.clone());
        after = one.next;
        if after.is_none() {
            break;
        }
    }
    let all: Vec<_> = longer.attempt.classes.iter().map(|class| class.plan.clone()).collect();
    assert_eq!(plans, all);
    assert_eq!(everything(&ground).await, before);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_policy_that_stands_is_tried_with_other_settings_in_its_own_place() {
    let ground = yesterday().await;
    let same = ground.service.try_policy(&ground.owner, "house-scaling", &TrialRequest::default()).await.unwrap();
    assert_eq!(same.attempt.total, Default::default(), "with what it stands with nothing differs");
    assert_eq!(same.attempt.classes.len(), 2);

    let schema = ground.service.policy(&ground.owner, "house-scaling").await.unwrap().value.settings;
    let default = |name: &str| schema.iter().find(|one| one.name == name).unwrap().default.clone();
    assert!(default("moderate.load-percent").is_some(), "{schema:?}");
    let strict = json!({ "moderate": { "highest-demand": 0, "load-percent": 10, "volume-percent": 50,
                                       "range-percent": 50 } });
    let settings = strict.as_object().cloned();
    let strict = TrialRequest { settings, ..TrialRequest::default() };
    let strict = ground.service.try_policy(&ground.owner, "house-scaling", &strict).await.unwrap();
    assert!(strict.attempt.total.cards > 0, "{:?}", strict.attempt.total);
    let wrong = json!({ "moderate": { "load-percent": 0 } }).as_object().cloned();
    let wrong = TrialRequest { settings: wrong, ..TrialRequest::default() };
    let (field, _) = input(ground.service.try_policy(&ground.owner, "house-scaling", &wrong).await.unwrap_err());
    assert!(field.is_some_and(|field| field.starts_with("settings.moderate")));
}

#[tokio::test(flavor = "multi_thread")]
async fn every_way_to_fail_is_flagged_whether_or_not_it_failed_then() {
    let ground = Ground::new().await;
    let failing = ground.service.install_policy(&ground.owner, moody()).await.unwrap().policy;
    let much = json!({ "much": true }).as_object().cloned();
    ground.service.set_settings(&ground.owner, "light", None, much.as_ref().unwrap()).await.unwrap();
    ground.service.enable_policy(&ground.owner, "light", false).await.unwrap();
    // It fails in the one class and is not asked in the other.
    ground.plan("monday").await;
    ground.service.disable_policy(&ground.owner, "light").await.unwrap();
    ground.plan("friday").await;
    ground.meddle("UPDATE classes SET day = date('now', '-1 day') WHERE class IN ('monday', 'friday')").await;
    let tried = ground.service.try_policy(&ground.owner, "light", &TrialRequest::default()).await.unwrap();
    assert_eq!(tried.trips.len(), 1, "{:?}", tried.trips);
    let mut trip = tried.trips[0].clone();
    trip.classes.sort();
    assert_eq!((trip.call.as_str(), trip.kind.as_str()), ("scale", "trapped"));
    assert_eq!(trip.classes, ["friday", "monday"]);
    assert_eq!(tried.attempt.total.faults, 1, "one of them is new");

    // A component that waits can be tried too, and with settings that suit it.
    let better = ground.service.install_policy(&ground.owner, light("1.0.0", "{}", false)).await.unwrap().policy;
    let request = TrialRequest { digest: Some(better.digest.clone()), ..TrialRequest::default() };
    let tried = ground.service.try_policy(&ground.owner, "light", &request).await.unwrap();
    assert_eq!((tried.tried.digest, tried.trips.len()), (better.digest.clone(), 0));
    assert_eq!(tried.attempt.classes.iter().map(|class| class.faults_gone).sum::<u32>(), 1);
    assert_ne!(better.digest, failing.digest);

    // The same is in the report of an upgrade.
    let dry = UpgradeRequest { digest: better.digest, settings: None, dry_run: true, classes: 5, anyway: false };
    let report = ground.service.upgrade_policy(&ground.owner, "light", &dry).await.unwrap();
    let attempt = report.attempt.unwrap();
    assert_eq!((attempt.classes.len(), attempt.total.faults), (2, 0));
    let (field, _) = input(
        ground
            .service
            .upgrade_policy(&ground.owner, "light", &UpgradeRequest { classes: 51, ..dry })
            .await
            .unwrap_err(),
    );
    assert_eq!(field.as_deref(), Some("classes"));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_tried_is_refused() {
    let ground = Ground::new().await;
    let other = ground.service.install_policy(&ground.owner, hostile("declines")).await.unwrap().policy.digest;
    ground.service.install_policy(&ground.owner, house("scaling")).await.unwrap();
    for (request, field) in [
        (TrialRequest { days: Some(0), ..TrialRequest::default() }, "days"),
        (TrialRequest { days: Some(367), ..TrialRequest::default() }, "days"),
        (TrialRequest { classes: Some(0), ..TrialRequest::default() }, "classes"),
        (TrialRequest { after: Some("monday-9".into()), ..TrialRequest::default() }, "after"),
        (TrialRequest { digest: Some(other), ..TrialRequest::default() }, "digest"),
    ] {
        let refused = ground.service.try_policy(&ground.owner, "house-scaling", &request).await.unwrap_err();
        assert_eq!(input(refused).0.as_deref(), Some(field));
    }
    assert!(ground.service.try_policy(&ground.owner, "nobody", &TrialRequest::default()).await.is_err());
}
