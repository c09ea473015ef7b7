//! The shelf and its components.

use classwright_store::db::shelf::{Before, Entry};
use classwright_store::db::{Db, DbError, Write, components, digest, gyms, shelf};
use serde_json::json;

use crate::hall::{Ground, HALL, make_gym, on_both};

on_both!(
    a_component_is_kept_once_and_given_back_byte_for_byte,
    damaged_bytes_are_not_given_back_and_can_be_installed_anew,
    a_shelf_has_an_order,
    an_editor_holds_against_the_revision,
    a_policy_goes_over_to_another_component_and_back,
    faults_are_counted_beside_the_revision,
    a_component_goes_only_when_nothing_points_at_it,
    a_shelf_is_its_gyms_own,
);

/// Bytes that no text could be, and long enough to be stored apart from the row.
fn bytes(seed: u8) -> Vec<u8> {
    (0..200_000_u32).map(|at| (at.wrapping_mul(31) >> 3) as u8 ^ seed).collect()
}

fn entry(policy: &str, seed: u8) -> Entry {
    Entry {
        policy: policy.into(),
        revision: 1,
        digest: digest(bytes(seed)),
        enabled: false,
        settings: r#"{"a":1}"#.into(),
        limits: json!({ "fuel": 5 }),
        faults: 0,
        set_aside: None,
    }
}

async fn put(w: &mut Write, policy: &str, seed: u8) {
    components::keep(w, &bytes(seed), &json!({ "seed": seed })).await.unwrap();
    shelf::put(w, &entry(policy, seed)).await.unwrap();
}

/// A gym with policies on its shelf.
async fn with(ground: &Ground, policies: &[(&str, u8)]) -> Db {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "owner").await.unwrap();
    for (policy, seed) in policies {
        put(&mut w, policy, *seed).await;
    }
    w.commit().await.unwrap();
    db
}

async fn names(db: &Db) -> Vec<String> {
    let whole = shelf::whole(&mut db.read().await.unwrap(), HALL).await.unwrap();
    whole.into_iter().map(|entry| entry.policy).collect()
}

async fn a_component_is_kept_once_and_given_back_byte_for_byte(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "owner").await.unwrap();
    assert!(components::keep(&mut w, &bytes(1), &json!({ "name": "a" })).await.unwrap());
    assert!(!components::keep(&mut w, &bytes(1), &json!({ "name": "b" })).await.unwrap());
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    assert_eq!(components::bytes(&mut conn, HALL, &digest(bytes(1))).await.unwrap(), bytes(1));
    let all = components::list(&mut conn, HALL).await.unwrap();
    assert_eq!(all.len(), 1);
    assert_eq!((all[0].about.clone(), all[0].installed_by.as_str()), (json!({ "name": "b" }), "owner"));
    let none = components::bytes(&mut conn, HALL, &digest(bytes(2))).await;
    assert!(matches!(none, Err(DbError::Missing { what: "component", .. })), "{none:?}");
}

async fn damaged_bytes_are_not_given_back_and_can_be_installed_anew(ground: &Ground) {
    let db = with(ground, &[("scaler", 1)]).await;
    let other = match ground.place {
        classwright_store::db::Place::File(_) => "x'00'",
        classwright_store::db::Place::Server(_) => "'\\x00'",
    };
    assert_eq!(ground.meddle(&format!("UPDATE components SET bytes = {other}")).await.unwrap(), 1);
    let found = components::bytes(&mut db.read().await.unwrap(), HALL, &digest(bytes(1))).await;
    assert!(matches!(&found, Err(DbError::Damaged(said)) if said.contains(&digest(bytes(1)))), "{found:?}");
    let mut w = db.write(HALL, "owner").await.unwrap();
    components::keep(&mut w, &bytes(1), &json!({})).await.unwrap();
    w.commit().await.unwrap();
    let mended = components::bytes(&mut db.read().await.unwrap(), HALL, &digest(bytes(1))).await;
    assert_eq!(mended.unwrap(), bytes(1));
}

async fn a_shelf_has_an_order(ground: &Ground) {
    let db = with(ground, &[("scaler", 1), ("aside", 2), ("heats", 3)]).await;
    assert_eq!(names(&db).await, ["scaler", "aside", "heats"]);
    let mut w = db.write(HALL, "owner").await.unwrap();
    let twice = shelf::put(&mut w, &entry("aside", 2)).await;
    assert!(matches!(twice, Err(DbError::Exists { what: "policy", .. })), "{twice:?}");
    drop(w);

    let world = gyms::world(&mut db.read().await.unwrap(), HALL).await.unwrap();
    let mut w = db.write(HALL, "owner").await.unwrap();
    shelf::order(&mut w, &["heats".into(), "aside".into(), "scaler".into()]).await.unwrap();
    w.commit().await.unwrap();
    assert_eq!(names(&db).await, ["heats", "aside", "scaler"]);
    let mut conn = db.read().await.unwrap();
    assert!(gyms::world(&mut conn, HALL).await.unwrap() > world, "nobody plans with the order of before");
    let revisions = shelf::whole(&mut conn, HALL).await.unwrap().into_iter().map(|entry| entry.revision);
    assert_eq!(revisions.collect::<Vec<_>>(), [2, 1, 2], "the one in the middle did not move");

    let mut w = db.write(HALL, "owner").await.unwrap();
    shelf::remove(&mut w, "heats", Some(2)).await.unwrap();
    put(&mut w, "late", 4).await;
    w.commit().await.unwrap();
    assert_eq!(names(&db).await, ["aside", "scaler", "late"]);
}

async fn an_editor_holds_against_the_revision(ground: &Ground) {
    let db = with(ground, &[("scaler", 1)]).await;
    let mut w = db.write(HALL, "owner").await.unwrap();
    let edited = shelf::edit(&mut w, "scaler", Some(1), |entry| {
        (entry.enabled, entry.settings, entry.limits) = (true, "{}".into(), json!({}));
    });
    let edited = edited.await.unwrap();
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    assert_eq!(shelf::get(&mut conn, HALL, "scaler").await.unwrap(), edited);
    assert_eq!((edited.revision, edited.enabled, edited.settings.as_str()), (2, true, "{}"));
    drop(conn);

    let mut w = db.write(HALL, "owner").await.unwrap();
    let stale = shelf::edit(&mut w, "scaler", Some(1), |entry| entry.enabled = false).await;
    assert!(matches!(stale, Err(DbError::Stale { now: 2, .. })), "{stale:?}");
    let stale = shelf::remove(&mut w, "scaler", Some(1)).await;
    assert!(matches!(stale, Err(DbError::Stale { now: 2, .. })), "{stale:?}");
    let none = shelf::edit(&mut w, "nobody", None, |_| ()).await;
    assert!(matches!(none, Err(DbError::Missing { what: "policy", .. })), "{none:?}");
}

async fn a_policy_goes_over_to_another_component_and_back(ground: &Ground) {
    let db = with(ground, &[("scaler", 1)]).await;
    for seed in [2, 3] {
        let mut w = db.write(HALL, "owner").await.unwrap();
        components::keep(&mut w, &bytes(seed), &json!({})).await.unwrap();
        let over = shelf::edit(&mut w, "scaler", None, |entry| {
            (entry.digest, entry.settings) = (digest(bytes(seed)), format!("{{\"a\":{seed}}}"));
            (entry.faults, entry.set_aside) = (2, Some(json!({ "class": "monday" })));
        });
        over.await.unwrap();
        w.commit().await.unwrap();
    }
    let stood = |seed: u8| Before { digest: digest(bytes(seed)), settings: format!("{{\"a\":{seed}}}") };
    let before = shelf::before(&mut db.read().await.unwrap(), HALL, "scaler").await.unwrap();
    assert_eq!(before, [stood(1), stood(2)]);

    for seed in [2, 1] {
        let mut w = db.write(HALL, "owner").await.unwrap();
        let back = shelf::go_back(&mut w, "scaler", None).await.unwrap();
        w.commit().await.unwrap();
        assert_eq!(stood(seed), Before { digest: back.digest, settings: back.settings });
        assert_eq!((back.faults, back.set_aside), (0, None));
    }
    let mut w = db.write(HALL, "owner").await.unwrap();
    let first = shelf::go_back(&mut w, "scaler", None).await;
    assert!(matches!(first, Err(DbError::Missing { .. })), "{first:?}");
}

async fn faults_are_counted_beside_the_revision(ground: &Ground) {
    let db = with(ground, &[("scaler", 1), ("heats", 2)]).await;
    let world = gyms::world(&mut db.read().await.unwrap(), HALL).await.unwrap();
    let mut w = db.write(HALL, "coach").await.unwrap();
    shelf::count_faults(&mut w, "scaler", 2).await.unwrap();
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    let whole = shelf::whole(&mut conn, HALL).await.unwrap();
    assert_eq!(whole.iter().map(|entry| (entry.faults, entry.revision)).collect::<Vec<_>>(), [(2, 1), (0, 1)]);
    assert_eq!(gyms::world(&mut conn, HALL).await.unwrap(), world);
    drop(conn);

    let mut w = db.write(HALL, "coach").await.unwrap();
    let aside = json!({ "class": "monday", "kind": "trapped" });
    shelf::edit(&mut w, "scaler", None, |entry| (entry.enabled, entry.set_aside) = (true, Some(aside.clone())))
        .await
        .unwrap();
    w.commit().await.unwrap();
    let entry = shelf::get(&mut db.read().await.unwrap(), HALL, "scaler").await.unwrap();
    assert!(entry.enabled && !entry.is_asked());
    assert_eq!(entry.set_aside, Some(aside));
}

async fn a_component_goes_only_when_nothing_points_at_it(ground: &Ground) {
    let db = with(ground, &[("scaler", 1)]).await;
    let mut w = db.write(HALL, "owner").await.unwrap();
    assert!(!components::let_go(&mut w, &digest(bytes(1))).await.unwrap(), "it stands on the shelf");
    components::keep(&mut w, &bytes(2), &json!({})).await.unwrap();
    shelf::edit(&mut w, "scaler", None, |entry| entry.digest = digest(bytes(2))).await.unwrap();
    assert!(!components::let_go(&mut w, &digest(bytes(1))).await.unwrap(), "it stood on the shelf before");
    shelf::remove(&mut w, "scaler", None).await.unwrap();
    assert!(components::let_go(&mut w, &digest(bytes(1))).await.unwrap());
    assert!(!components::let_go(&mut w, &digest(bytes(1))).await.unwrap(), "it is gone already");
    w.commit().await.unwrap();
    let left = components::list(&mut db.read().await.unwrap(), HALL).await.unwrap();
    assert_eq!(left.into_iter().map(|component| component.digest).collect::<Vec<_>>(), [digest(bytes(2))]);
}

async fn a_shelf_is_its_gyms_own(ground: &Ground) {
    let db = with(ground, &[("scaler", 1)]).await;
    make_gym(&db, "shed").await;
    let mut conn = db.read().await.unwrap();
    assert_eq!(shelf::whole(&mut conn, "shed").await.unwrap(), []);
    assert!(components::find(&mut conn, "shed", &digest(bytes(1))).await.unwrap().is_none());
    drop(conn);
    let mut w = db.write("shed", "owner").await.unwrap();
    let strange = shelf::put(&mut w, &entry("scaler", 1)).await;
    assert!(matches!(strange, Err(DbError::Sql(_))), "the component is another gym's: {strange:?}");
}
