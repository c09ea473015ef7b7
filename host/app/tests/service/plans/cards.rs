//! Cards: whose, of which plan, and that a change is seen at once.

use classwright_app::service::overrides::OverrideRecord;
use classwright_app::{Again, AppError, DbError};
use serde_json::Value;

use super::{GYM, Ground, athlete, coach};

async fn card(ground: &Ground, who: &classwright_app::service::Who, id: &str) -> Value {
    serde_json::from_str(&ground.service.card(who, "monday", id).await.unwrap()).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn an_athlete_sees_their_own_card_as_the_plan_has_it_and_nobody_elses() {
    let ground = Ground::new().await;
    let none = ground.service.card(&athlete("ama"), "monday", "ama").await;
    assert!(matches!(none, Err(AppError::Db(DbError::Missing { what: "plan of class", .. }))), "{none:?}");
    let plan = ground.plan("monday").await;
    let document = ground.document(&plan).await;
    for own in document["cards"].as_array().unwrap() {
        let id = own["athlete"].as_str().unwrap();
        let card = card(&ground, &athlete(id), id).await;
        assert_eq!((&card["card"], &card["plan"]), (own, &Value::from(plan.clone())));
    }
    let other = ground.service.card(&athlete("bram"), "monday", "ama").await;
    assert!(matches!(other, Err(AppError::NotAllowed(_))), "{other:?}");
    // Whoever is not in the class, and whoever is not there at all.
    for id in ["wen", "nobody"] {
        let none = ground.service.card(&coach(), "monday", id).await;
        assert!(matches!(none, Err(AppError::Db(DbError::Missing { what: "card of", .. }))), "{none:?}");
    }
    let all = ground.service.class_cards(&coach(), "monday").await.unwrap();
    assert_eq!(serde_json::to_value(&all.cards[0].card).unwrap(), document["cards"][0]);
    let of_plan = ground.service.plan_cards(&coach(), &plan).await.unwrap();
    assert_eq!(serde_json::to_value(of_plan).unwrap(), document["cards"]);
    // Of another gym nobody has a card here.
    let foreign = classwright_app::service::Who::console("elsewhere");
    assert!(ground.service.card(&foreign, "monday", "ama").await.is_err());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_change_is_seen_at_once() {
    let ground = Ground::new().await;
    ground.plan("monday").await;
    assert_eq!(card(&ground, &coach(), "ama").await["plan"], "monday-1");
    let record = OverrideRecord {
        athlete: "ama".into(),
        item: 1,
        off: true,
        reason: "Her shoes are wet.".into(),
        ..OverrideRecord::default()
    };
    ground.service.add_override(&coach(), "monday", record).await.unwrap();
    assert_eq!(card(&ground, &coach(), "ama").await["overrides"][0]["set"]["off"], true);
    ground.service.replan(&coach(), "monday", &Again { gone: vec!["bram".into()], ..Again::default() }).await.unwrap();
    let ama = card(&ground, &coach(), "ama").await;
    assert_eq!((&ama["plan"], &ama["overrides"][0]["holds"]), (&"monday-2".into(), &true.into()));
    assert!(ground.service.card(&coach(), "monday", "bram").await.is_err(), "bram is gone");
    // Unseen by this host's caches only where nobody tells it: past everything of ours, and heard of soon all the same.
    ground.meddle("UPDATE cards SET body = REPLACE(body, 'Ama', 'Emma') WHERE plan = 'monday-2'").await;
    for _ in 0..100 {
        if card(&ground, &coach(), "ama").await["card"]["name"].as_str().unwrap().starts_with("Emma") {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("another process's change of {GYM} is not seen after 5 s");
}
