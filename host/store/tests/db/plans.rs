//! Plans with their texts and cards, and what was set by hand.

use std::collections::BTreeMap;

use classwright_store::db::plans::{self, New};
use classwright_store::db::{Db, DbError, components, digest, overrides};
use serde_json::{Value, json};

use crate::classes::{class, monday};
use crate::hall::{Ground, HALL, on_both};
use crate::people::add;

on_both!(
    a_plan_is_kept_with_its_texts_and_cards_and_stands,
    plans_are_read_page_by_page_the_newest_first,
    neighbours_are_those_of_the_days_whose_plans_stand,
    what_is_set_by_hand_is_kept_and_taken_back,
);

/// Keeps a plan of a class with a card for `ama`.
async fn keep(db: &Db, class: &str, parent: Option<&str>, body: &str) -> String {
    let mut w = db.write(HALL, "u1").await.unwrap();
    components::keep(&mut w, b"component", &json!({})).await.unwrap();
    let texts = BTreeMap::from([(digest("a file"), "a file".to_owned()), (digest(body), body.to_owned())]);
    let new = New {
        class,
        parent,
        body,
        inputs: r#"{"asked":1}"#,
        texts: &texts,
        components: &[digest(b"component")],
        cards: &[("ama".to_owned(), format!(r#"{{"of":"{body}"}}"#))],
    };
    let plan = plans::insert(&mut w, &new).await.unwrap();
    w.commit().await.unwrap();
    plan
}

async fn a_plan_is_kept_with_its_texts_and_cards_and_stands(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama"]).await;
    monday(&db, |_| ()).await;
    let mut conn = db.read().await.unwrap();
    assert_eq!(plans::standing(&mut conn, HALL, "monday").await.unwrap(), None);
    assert_eq!(plans::standing_card(&mut conn, HALL, "monday", "ama").await.unwrap(), None);
    let first = keep(&db, "monday", None, "first").await;
    let second = keep(&db, "monday", Some(&first), "second\n").await;
    assert_eq!((first.as_str(), second.as_str()), ("monday-1", "monday-2"));
    let head = plans::head(&mut conn, HALL, &second).await.unwrap();
    assert_eq!(
        (head.class.as_str(), head.parent.as_deref(), head.made_by.as_str()),
        ("monday", Some("monday-1"), "u1")
    );
    assert_eq!(head.digest, digest("second\n"));
    assert_eq!(plans::body(&mut conn, HALL, &second).await.unwrap(), "second\n");
    assert_eq!(plans::inputs(&mut conn, HALL, &first).await.unwrap(), r#"{"asked":1}"#);
    assert_eq!(plans::text(&mut conn, HALL, &digest("a file")).await.unwrap().as_deref(), Some("a file"));
    assert_eq!(plans::text(&mut conn, HALL, &digest("another")).await.unwrap(), None);
    assert_eq!(plans::standing(&mut conn, HALL, "monday").await.unwrap(), Some(second.clone()));
    let card = plans::standing_card(&mut conn, HALL, "monday", "ama").await.unwrap();
    assert_eq!(card.map(|(plan, _)| plan), Some(second));
    assert_eq!(plans::standing_card(&mut conn, HALL, "monday", "bram").await.unwrap(), None);
    let missing = plans::head(&mut conn, HALL, "monday-3").await;
    assert!(matches!(missing, Err(DbError::Missing { what: "plan", .. })), "{missing:?}");
    let missing = plans::standing(&mut conn, HALL, "tuesday").await;
    assert!(matches!(missing, Err(DbError::Missing { what: "class", .. })), "{missing:?}");
    assert!(plans::body(&mut conn, "elsewhere", &first).await.is_err(), "nobody of another gym reads it");
    // A component that a plan was made with stays.
    let mut w = db.write(HALL, "u1").await.unwrap();
    assert!(!components::let_go(&mut w, &digest(b"component")).await.unwrap());
}

async fn plans_are_read_page_by_page_the_newest_first(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama"]).await;
    monday(&db, |_| ()).await;
    let mut wanted = Vec::new();
    for n in 1..=12 {
        wanted.insert(0, keep(&db, "monday", None, &format!("plan {n}")).await);
    }
    // All at one moment: the number decides.
    ground.meddle("UPDATE plans SET made_at = 5").await.unwrap();
    let mut conn = db.read().await.unwrap();
    let (mut found, mut after) = (Vec::new(), String::new());
    loop {
        let page = plans::of_class(&mut conn, HALL, "monday", &after, 5).await.unwrap();
        let Some(last) = page.last() else { break };
        after.clone_from(&last.plan);
        found.extend(page.into_iter().map(|head| head.plan));
    }
    assert_eq!(found, wanted);
}

async fn neighbours_are_those_of_the_days_whose_plans_stand(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama"]).await;
    monday(&db, |_| ()).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    for (id, date) in [("b", "2026-12-07"), ("a", "2026-12-08"), ("later", "2026-12-09"), ("unplanned", "2026-12-07")] {
        classwright_store::db::classes::insert(&mut w, &class(id, date)).await.unwrap();
    }
    w.commit().await.unwrap();
    for class in ["monday", "a", "b", "later"] {
        keep(&db, class, None, class).await;
    }
    let mut conn = db.read().await.unwrap();
    let days = ("2026-12-06", "2026-12-08");
    let found = plans::neighbours(&mut conn, HALL, "monday", days).await.unwrap();
    let found: Vec<_> = found.iter().map(|one| (one.class.as_str(), one.plan.as_str(), one.day.as_str())).collect();
    assert_eq!(found, [("b", "b-1", "2026-12-07"), ("a", "a-1", "2026-12-08")]);
    let all = plans::standing_of_days(&mut conn, HALL, ("2026-12-07", "2026-12-31"), 3).await.unwrap();
    assert_eq!(all.iter().map(|head| head.plan.as_str()).collect::<Vec<_>>(), ["later-1", "a-1", "b-1"]);
}

async fn what_is_set_by_hand_is_kept_and_taken_back(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["ama", "bram"]).await;
    monday(&db, |_| ()).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let first = overrides::insert(&mut w, "monday", "ama", &json!({ "n": 1 })).await.unwrap();
    let second = overrides::insert(&mut w, "monday", "bram", &json!({ "n": 2 })).await.unwrap();
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    let own = overrides::of_card::<Value>(&mut conn, HALL, "monday", "ama").await.unwrap();
    assert_eq!((own.len(), &own[0].id, &own[0].value), (1, &first, &json!({ "n": 1 })));
    assert_eq!(overrides::of_class::<Value>(&mut conn, HALL, "monday").await.unwrap().len(), 2);
    let mut w = db.write(HALL, "u1").await.unwrap();
    overrides::remove(&mut w, "monday", &second).await.unwrap();
    let again = overrides::remove(&mut w, "monday", &second).await;
    assert!(matches!(again, Err(DbError::Missing { what: "override", .. })), "{again:?}");
    w.commit().await.unwrap();
    assert_eq!(overrides::of_class::<Value>(&mut conn, HALL, "monday").await.unwrap().len(), 1);
    assert!(overrides::get::<Value>(&mut conn, HALL, "monday", &first).await.is_ok());
}
