//! Sessions and every text that they had.

use serde_json::json;

use super::{LIFT, is_held};
use crate::hall::Hall;

#[tokio::test]
async fn a_session_keeps_every_text() {
    let hall = Hall::new().await;
    let made = hall.make("sessions", json!({ "id": "lift", "text": LIFT })).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/sessions/lift"));
    let heavier = LIFT.replace("60 kg", "70 kg");
    is_held(&hall, "sessions/lift", &json!({ "text": heavier })).await;
    let written = hall.set("sessions/lift", "\"1\"", json!({ "text": heavier })).await.is(200);
    assert_eq!(written.header("etag"), Some("\"2\""));
    let same = hall.set("sessions/lift", "\"2\"", json!({ "text": heavier })).await.is(200);
    assert_eq!(same.header("etag"), Some("\"2\""), "the same text is none to add");
    let now = hall.look("sessions/lift").await.is(200).json();
    assert_eq!((&now["value"]["text"], &now["value"]["written-by"]), (&json!(heavier), &json!("console")));
    let numbers: Vec<_> =
        hall.whole_list("sessions/lift/revisions", 1).await.iter().map(|one| one["revision"].clone()).collect();
    assert_eq!(numbers, [2, 1]);
    let first = hall.look("sessions/lift/revisions/1").await.is(200).json();
    assert_eq!(first["value"]["text"], LIFT);
    for none in ["sessions/lift/revisions/3", "sessions/lift/revisions/first", "sessions/gone/revisions"] {
        assert_eq!(hall.look(none).await.is(404).problem(), "missing", "{none}");
    }
    assert_eq!(hall.look("sessions/lift/revisions?after=x").await.problem(), "input");
    hall.remove("sessions/lift", "\"2\"").await.is(204);
    assert_eq!(hall.look("sessions/lift").await.is(404).problem(), "missing");
}

#[tokio::test]
async fn a_text_that_cannot_be_read_is_refused_with_its_lines() {
    let hall = Hall::new().await;
    let bad = json!({ "id": "lift", "text": LIFT.replace("back squat", "moon walk") });
    let refused = hall.make("sessions", bad).await;
    assert_eq!(refused.problem(), "session");
    let fault = &refused.json()["faults"][0];
    assert_eq!((&fault["file"], &fault["line"]), (&json!("sessions/lift.md"), &json!(5)));
    let refused = hall.make("sessions", json!({ "id": "../up", "text": LIFT })).await;
    assert_eq!(refused.problem(), "gym");
    assert_eq!(hall.make("sessions", json!({ "id": "lift" })).await.problem(), "input");
    hall.add_lift().await;
    assert_eq!(hall.make("sessions", json!({ "id": "lift", "text": LIFT })).await.is(409).problem(), "exists");
    hall.make("sessions", json!({ "id": "lift-2", "text": LIFT })).await.is(201);
    let list = hall.whole_list("sessions", 1).await;
    assert!(list.iter().any(|one| one["value"] == json!({ "id": "lift-2", "title": "Lift" })), "{list:?}");
}
