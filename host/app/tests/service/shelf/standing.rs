//! Policies that stand on the shelf: enabled, set, limited, put in order, removed.

use classwright_app::{AppError, DbError};
use classwright_store::db::components;
use classwright_store::record::LimitsRecord;
use serde_json::{Map, Value, json};

use super::policies::{house, light};
use super::{HALL, Hall, input};

fn settings(value: Value) -> Map<String, Value> {
    value.as_object().unwrap().clone()
}

#[tokio::test]
async fn a_policy_is_enabled_and_disabled_and_doing_it_twice_changes_nothing() {
    let hall = Hall::new().await;
    hall.install(house("scaling")).await;
    let name = hall.names().await.remove(0);
    let enabled = hall.service.enable_policy(&hall.owner, &name, false).await.unwrap();
    assert_eq!((enabled.revision, enabled.value.enabled, enabled.value.asked), (2, true, true));
    assert_eq!(hall.service.enable_policy(&hall.owner, &name, false).await.unwrap().revision, 2);
    let disabled = hall.service.disable_policy(&hall.owner, &name).await.unwrap();
    assert_eq!((disabled.revision, disabled.value.enabled, disabled.value.asked), (3, false, false));
    assert_eq!(hall.service.disable_policy(&hall.owner, &name).await.unwrap().revision, 3);
    let noted = hall.noted().await;
    let of = |what: &str| noted.iter().filter(|entry| **entry == format!("olga {what} policy:{name}")).count();
    assert_eq!((of("policy.enabled"), of("policy.disabled")), (1, 1), "{noted:?}");
    let nobody = hall.service.enable_policy(&hall.owner, "nobody", false).await;
    assert!(matches!(nobody, Err(AppError::Db(DbError::Missing { what: "policy", .. }))), "{nobody:?}");
}

#[tokio::test]
async fn settings_are_held_against_the_schema_with_the_place_of_every_fault() {
    let hall = Hall::new().await;
    let schema = r#"{"type":"object","required":["share"],"additionalProperties":false,
        "properties":{"share":{"type":"integer","maximum":100,"description":"How much is left."},
                      "names":{"type":"array","items":{"type":"string"}}}}"#;
    hall.install(light("1.0.0", schema, false)).await;
    // What it cannot do without is not set yet.
    let (field, problem) = input(hall.service.enable_policy(&hall.owner, "light", false).await.unwrap_err());
    assert_eq!(field.as_deref(), Some("settings"));
    assert!(problem.contains("share"), "{problem}");

    let wrong = settings(json!({ "share": 170, "names": ["a", 5] }));
    let refused = hall.service.set_settings(&hall.owner, "light", Some(1), &wrong).await.unwrap_err();
    let (field, problem) = input(refused);
    let all = format!("{}: {problem}", field.unwrap());
    assert!(all.contains("settings.share: 170 ") && all.contains("settings.names.1: 5 "), "{all}");
    assert_eq!(hall.entry("light").await.revision, 1);

    let right = settings(json!({ "share": 70 }));
    let set = hall.service.set_settings(&hall.owner, "light", Some(1), &right).await.unwrap();
    assert_eq!((set.revision, &set.value.settings), (2, &right));
    let stale = hall.service.set_settings(&hall.owner, "light", Some(1), &right).await;
    assert!(matches!(stale, Err(AppError::Db(DbError::Stale { now: 2, .. }))), "{stale:?}");
    assert!(hall.service.enable_policy(&hall.owner, "light", false).await.unwrap().value.asked);
    let shown = hall.service.policy(&hall.owner, "light").await.unwrap().value.settings;
    let share = shown.iter().find(|one| one.name == "share").unwrap();
    assert_eq!((share.description.as_deref(), &share.value), (Some("How much is left."), &Some(json!(70))));
}

#[tokio::test]
async fn limits_have_bounds_and_revisions() {
    let hall = Hall::new().await;
    hall.install(light("1.0.0", "{}", false)).await;
    for (limits, field) in [
        (LimitsRecord { fuel: Some(0), ..LimitsRecord::default() }, "limits.fuel"),
        (LimitsRecord { wall_ms: Some(600_001), ..LimitsRecord::default() }, "limits.wall-ms"),
        (LimitsRecord { memory_mib: Some(5_000), ..LimitsRecord::default() }, "limits.memory-mib"),
        (LimitsRecord { answer_mib: Some(0), ..LimitsRecord::default() }, "limits.answer-mib"),
    ] {
        let refused = hall.service.set_limits(&hall.owner, "light", Some(1), &limits).await.unwrap_err();
        assert_eq!(input(refused).0.as_deref(), Some(field));
    }
    let limits = LimitsRecord { fuel: Some(5_000_000), memory_mib: Some(8), ..LimitsRecord::default() };
    let set = hall.service.set_limits(&hall.owner, "light", Some(1), &limits).await.unwrap();
    assert_eq!((set.revision, set.value.limits), (2, limits));
    let stale = hall.service.set_limits(&hall.owner, "light", Some(1), &limits).await;
    assert!(matches!(stale, Err(AppError::Db(DbError::Stale { now: 2, .. }))), "{stale:?}");
}

#[tokio::test]
async fn an_order_names_every_policy_once() {
    let hall = Hall::new().await;
    for name in ["scaling", "substitution", "heats"] {
        hall.install(house(name)).await;
    }
    let names = hall.names().await;
    let order = |at: &[usize]| -> Vec<String> { at.iter().map(|at| names[*at].clone()).collect() };
    let put = hall.service.order_policies(&hall.owner, &order(&[2, 0, 1])).await.unwrap();
    let put: Vec<String> = put.items.into_iter().map(|stored| stored.value.policy).collect();
    assert_eq!(put, order(&[2, 0, 1]));
    assert_eq!(hall.names().await, put);

    let (_, twice) = input(hall.service.order_policies(&hall.owner, &order(&[2, 0, 0])).await.unwrap_err());
    assert!(twice.contains("twice") && twice.contains(&names[0]), "{twice}");
    let (_, short) = input(hall.service.order_policies(&hall.owner, &order(&[2, 1])).await.unwrap_err());
    assert!(short.contains("leaves out") && short.contains(&names[0]), "{short}");
    let strange = [order(&[2, 0, 1]), vec![format!("{}x", names[0])]].concat();
    let strange = hall.service.order_policies(&hall.owner, &strange).await.unwrap_err();
    let AppError::NoSuch { what: "policy", nearest, .. } = strange else { panic!("{strange:?}") };
    assert_eq!(nearest.as_ref(), Some(&names[0]));
    assert_eq!(hall.names().await, put);
    let ordered = hall.noted().await.into_iter().filter(|entry| entry == "olga policies.ordered shelf").count();
    assert_eq!(ordered, 1);
}

#[tokio::test]
async fn a_policy_is_removed_with_the_components_that_nothing_needs() {
    let hall = Hall::new().await;
    hall.install(light("1.0.0", "{}", false)).await;
    hall.install(light("1.1.0", "{}", false)).await;
    hall.install(house("scaling")).await;
    let stale = hall.service.remove_policy(&hall.owner, "light", Some(7)).await;
    assert!(matches!(stale, Err(AppError::Db(DbError::Stale { now: 1, .. }))), "{stale:?}");
    hall.service.remove_policy(&hall.owner, "light", Some(1)).await.unwrap();
    let left = components::list(&mut hall.service.db().read().await.unwrap(), HALL).await.unwrap();
    let left: Vec<_> = left.iter().map(|component| component.about["policy"]["version"].clone()).collect();
    assert_eq!(left, [hall.entry(&hall.names().await[0]).await.value.version]);
    assert!(hall.noted().await.contains(&"olga policy.removed policy:light".to_owned()));
}
