//! One athlete's whole record.

use classwright_app::AppError;
use classwright_app::service::classes::Seen;
use classwright_app::service::{Role, Who};
use classwright_store::db::{overrides, plans, users};
use serde_json::json;

use super::{Data, HALL};

#[tokio::test(flavor = "multi_thread")]
async fn everything_about_an_athlete_is_in_one_document() {
    let data = Data::with_people().await;
    let who = &data.console;
    data.service.check(who, "friday", &["hana".to_owned()], Some(Seen::In)).await.unwrap();
    let mut change = data.service.db().write(HALL, "console").await.unwrap();
    let card = json!({ "athlete": "hana", "items": [] }).to_string();
    let cards = [("hana".to_owned(), card.clone()), ("idris".to_owned(), card)];
    let texts = Default::default();
    let new = plans::New {
        class: "friday",
        parent: None,
        body: "{}",
        inputs: "{}",
        texts: &texts,
        components: &[],
        cards: &cards,
    };
    let plan = plans::insert(&mut change, &new).await.unwrap();
    overrides::insert(&mut change, "friday", "hana", &json!({ "why": "asked for it" })).await.unwrap();
    let hana =
        users::NewUser { user: "u9", name: "Hana Brightwater", login: "hana", role: "athlete", athlete: Some("hana") };
    users::make(&mut change, &hana).await.unwrap();
    change.note("plan.made", "plan:friday-1", json!({})).await.unwrap();
    change.commit().await.unwrap();

    let own = Who { gym: HALL.into(), id: "u9".into(), role: Role::Athlete, athlete: Some("hana".into()) };
    let person = data.service.person(&own, "hana").await.unwrap();
    assert_eq!(person, data.service.person(who, "hana").await.unwrap());
    assert_eq!((person.athlete.record.name.as_str(), person.athlete.bests.len()), ("Hana Brightwater", 5));
    assert_eq!(person.athlete.limitations[0].region, "knee");
    let friday = person.classes.iter().find(|class| class.class == "friday").unwrap();
    assert_eq!((friday.listed.as_deref(), friday.checked.as_deref()), (Some("absent"), Some("in")));
    assert!(friday.checked_at.is_some_and(|at| at > 1_700_000_000_000));
    let days: Vec<&str> = person.classes.iter().map(|class| class.date.as_str()).collect();
    assert_eq!(days, ["2026-12-08", "2026-12-09", "2026-12-11", "2026-12-12", "2026-12-13"]);
    assert_eq!((person.cards.len(), person.cards[0].plan.as_str(), person.cards[0].stands), (1, plan.as_str(), true));
    assert_eq!(person.cards[0].card["athlete"], "hana");
    assert_eq!(person.overrides[0].value["why"], "asked for it");
    assert_eq!((person.users.len(), person.users[0].login.as_str()), (1, "hana"));
    let entries: Vec<&str> = person.ledger.iter().map(|entry| entry.what.as_str()).collect();
    assert!(entries.contains(&"user.made") && !entries.contains(&"gym.imported"), "{entries:?}");

    let error = data.service.person(&own, "idris").await.unwrap_err();
    assert!(matches!(error, AppError::NotAllowed(_)), "{error:?}");
    let text = serde_json::to_string(&person).unwrap();
    assert!(!text.contains("idris") && !text.contains("Copperwell"), "{text}");
}
