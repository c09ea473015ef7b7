//! A call with a key makes what it makes once.

use serde_json::{Value, json};

use crate::call::{Call, Reply};
use crate::hall::Hall;

const ATHLETES: &str = "/v1/gyms/hall/athletes";

fn athlete(id: &str) -> Value {
    json!({ "id": id, "name": "Chidi Marlowen", "column": 1, "skill": 3, "place": "floor", "bar": "bar-20" })
}

async fn add(hall: &Hall, key: &str, id: &str) -> Reply {
    Call::post(ATHLETES).json(athlete(id)).header("idempotency-key", key).of(&hall.inside).await
}

#[tokio::test]
async fn the_same_call_again_is_answered_as_before_and_does_nothing() {
    let hall = Hall::new().await;
    let first = add(&hall, "key-1", "chidi").await.is(201);
    let again = add(&hall, "key-1", "chidi").await.is(201);
    assert_eq!(first.body, again.body);
    for name in ["location", "etag", "content-type"] {
        assert_eq!(first.header(name), again.header(name), "{name}");
    }
    assert_eq!((first.header("idempotency-replayed"), again.header("idempotency-replayed")), (None, Some("true")));
    assert_eq!(Call::post(ATHLETES).json(athlete("chidi")).of(&hall.inside).await.is(409).problem(), "exists");
}

#[tokio::test]
async fn a_key_is_for_one_call_alone() {
    let hall = Hall::new().await;
    add(&hall, "key-1", "chidi").await.is(201);
    assert_eq!(add(&hall, "key-1", "dagny").await.is(422).problem(), "key-used");
    let user = json!({ "name": "X", "login": "x", "role": "coach" });
    let other = Call::post("/v1/gyms/hall/users").json(user).header("idempotency-key", "key-1");
    assert_eq!(other.of(&hall.inside).await.is(422).problem(), "key-used");
    add(&hall, "key-2", "dagny").await.is(201);
}

#[tokio::test]
async fn a_key_is_its_users_alone() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    add(&hall, "key-1", "chidi").await.is(201);
    let call = coach.signs(Call::post(ATHLETES).json(athlete("dagny")).header("idempotency-key", "key-1"));
    call.of(&hall.outside).await.is(201);
}

#[tokio::test]
async fn a_call_that_did_nothing_may_be_made_again() {
    let hall = Hall::new().await;
    add(&hall, "key-1", "ama").await.is(409);
    add(&hall, "key-1", "ama").await.is(409);
    add(&hall, "key-1", "chidi").await.is(201);
}

#[tokio::test]
async fn sent_many_times_at_once_it_is_done_once() {
    let hall = Hall::new().await;
    let mut calls = tokio::task::JoinSet::new();
    for _ in 0..10 {
        let (router, chidi) = (hall.inside.clone(), athlete("chidi"));
        calls.spawn(async move {
            Call::post(ATHLETES).json(chidi).header("idempotency-key", "key-1").of(&router).await.status
        });
    }
    let statuses = calls.join_all().await;
    assert!(statuses.iter().all(|status| [201, 409].contains(status)), "{statuses:?}");
    assert!(statuses.contains(&201));
    let all = Call::get(ATHLETES).of(&hall.inside).await.is(200).json();
    assert_eq!(all["items"].as_array().unwrap().len(), 3);
}

#[tokio::test]
async fn an_answer_with_a_secret_is_not_kept_and_the_thing_is_made_once_all_the_same() {
    let hall = Hall::new().await;
    let call = || {
        let user = json!({ "name": "X", "login": "x", "role": "coach" });
        Call::post("/v1/gyms/hall/users").json(user).header("idempotency-key", "key-1")
    };
    call().of(&hall.inside).await.is(201);
    let again = call().of(&hall.inside).await.is(409);
    assert_eq!(again.problem(), "same-call");
    assert!(again.json()["about"].as_str().unwrap().starts_with("user:u-"), "{}", again.text());
    let users = Call::get("/v1/gyms/hall/users").of(&hall.inside).await.is(200).json();
    assert_eq!(users["items"].as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn what_was_done_before_its_answer_was_lost_is_told() {
    let hall = Hall::new().await;
    add(&hall, "key-1", "chidi").await.is(201);
    hall.meddle("UPDATE answers SET status = 0, body = 'athlete:chidi'").await;
    let again = add(&hall, "key-1", "chidi").await.is(409);
    assert_eq!((again.problem().as_str(), &again.json()["about"]), ("same-call", &json!("athlete:chidi")));
}
