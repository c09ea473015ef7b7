//! Classes, and who is there.

use serde_json::{Value, json};

use super::{fields, is_held, path};
use crate::call::Call;
use crate::hall::Hall;

fn class(id: &str, date: &str) -> Value {
    json!({ "id": id, "date": date, "time": "18:00", "zone": "Europe/London", "session": "lift",
        "coach": "Rowan Marlfield" })
}

#[tokio::test]
async fn a_class_is_added_read_changed_and_removed() {
    let hall = Hall::new().await;
    hall.add_lift().await;
    let mut new = class("monday", "2031-03-10");
    new["absent"] = json!(["bram"]);
    new["out-of-service"] = json!({ "bars": ["A1"] });
    let made = hall.make("classes", new.clone()).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/classes/monday"));
    assert_eq!(hall.look("classes/monday").await.is(200).json(), json!({ "revision": 1, "value": new }));
    is_held(&hall, "classes/monday", &new).await;
    new["time"] = json!("19:00");
    assert_eq!(hall.set("classes/monday", "\"1\"", new.clone()).await.is(200).header("etag"), Some("\"2\""));
    assert_eq!(hall.make("classes", new).await.is(409).problem(), "exists");
    let needed = hall.remove("sessions/lift", "*").await.is(409);
    assert_eq!(needed.problem(), "needed");
    hall.remove("classes/monday", "\"2\"").await.is(204);
    assert_eq!(hall.look("classes/monday").await.is(404).problem(), "missing");
}

#[tokio::test]
async fn a_class_that_could_not_be_planned_is_refused_with_every_fault() {
    let hall = Hall::new().await;
    hall.add_lift().await;
    let mut bad = class("monday", "2031-02-30");
    bad["zone"] = json!("London");
    bad["present"] = json!(["nobody"]);
    bad["session"] = json!("none");
    let refused = hall.make("classes", bad).await;
    assert_eq!(refused.problem(), "gym");
    assert_eq!(fields(&refused.json()), ["date", "zone", "session", "present"]);
    assert_eq!(hall.look("classes/monday").await.is(404).problem(), "missing");
}

#[tokio::test]
async fn classes_of_some_days_are_read_to_their_end() {
    let hall = Hall::new().await;
    hall.add_lift().await;
    for (id, date) in [("c", "2031-04-09"), ("b", "2031-04-08"), ("a", "2031-04-08"), ("x", "2031-05-01")] {
        hall.make("classes", class(id, date)).await.is(201);
    }
    let found = hall.whole_list("classes?from=2031-04-01&to=2031-04-30", 2).await;
    let ids: Vec<_> = found.iter().map(|one| one["value"]["id"].clone()).collect();
    assert_eq!(ids, ["a", "b", "c"]);
    assert_eq!(hall.whole_list("classes?from=2031-05-01", 1).await.len(), 1);
}

#[tokio::test]
async fn people_are_checked_in_and_out_announced_or_not() {
    let hall = Hall::new().await;
    hall.add_lift().await;
    let mut new = class("monday", "2031-03-10");
    new["present"] = json!(["ama"]);
    hall.make("classes", new).await.is(201);
    let there = hall.make("classes/monday/check-in", json!({ "athletes": ["bram"] })).await.is(200).json();
    assert_eq!((&there[0]["athlete"], &there[0]["checked"]), (&json!("ama"), &Value::Null));
    assert_eq!(
        (&there[1]["athlete"], &there[1]["listed"], &there[1]["checked"]),
        (&json!("bram"), &json!(false), &json!("in"))
    );
    assert!(there[1]["checked-at"].is_i64());
    hall.make("classes/monday/check-out", json!({ "athletes": ["ama"] })).await.is(200);
    let undo = Call::new("DELETE", &path("classes/monday/attendance/bram"));
    undo.of(&hall.inside).await.is(204);
    let there = hall.look("classes/monday/attendance").await.is(200).json();
    assert_eq!(there.as_array().unwrap().len(), 1);
    assert_eq!(there[0]["checked"], "out");
    assert_eq!(hall.look("classes/monday").await.is(200).json()["revision"], 1);
    let refused = hall.make("classes/monday/check-in", json!({ "athletes": ["bram", "nobody"] })).await.is(404);
    assert_eq!(refused.problem(), "missing");
    assert_eq!(hall.look("classes/monday/attendance").await.json().as_array().unwrap().len(), 1, "all or nobody");
    let refused = hall.make("classes/monday/check-in", json!({ "athletes": [] })).await;
    assert_eq!(fields(&refused.json()), ["athletes"]);
    for none in ["classes/none/check-in", "classes/none/check-out"] {
        assert_eq!(hall.make(none, json!({ "athletes": ["ama"] })).await.is(404).problem(), "missing");
    }
    assert_eq!(hall.look("classes/none/attendance").await.is(404).problem(), "missing");
}
