//! A class that is watched: what happens comes, in order, to whoever may see it, and nothing is missed.

use std::time::Duration;

use axum::Router;
use axum::body::BodyDataStream;
use futures::StreamExt;
use serde_json::{Value, json};
use tower::ServiceExt;

use crate::call::Call;
use crate::hall::Hall;

const EVENTS: &str = "/v1/gyms/hall/classes/evening/events";

/// Somebody who watches.
struct Watcher {
    stream: BodyDataStream,
    text: String,
    over: bool,
}

#[derive(Debug, PartialEq)]
struct Event {
    id: i64,
    kind: String,
    data: Value,
}

impl Watcher {
    async fn new(router: &Router, call: Call) -> Watcher {
        let response = router.clone().oneshot(call.request()).await.unwrap();
        assert_eq!(response.status(), 200);
        assert_eq!(response.headers()["content-type"], "text/event-stream");
        Watcher { stream: response.into_body().into_data_stream(), text: String::new(), over: false }
    }

    /// The next event; `None` where nothing comes for a while, or it is over.
    async fn next(&mut self) -> Option<Event> {
        loop {
            if let Some((event, rest)) = self.text.split_once("\n\n") {
                let field = |name: &str| event.lines().find_map(|line| line.strip_prefix(name)).map(str::to_owned);
                let (id, kind, data) = (field("id: "), field("event: "), field("data: "));
                self.text = rest.to_owned();
                if let (Some(id), Some(kind), Some(data)) = (id, kind, data) {
                    return Some(Event { id: id.parse().unwrap(), kind, data: serde_json::from_str(&data).unwrap() });
                }
                continue;
            }
            match tokio::time::timeout(Duration::from_millis(700), self.stream.next()).await.ok()? {
                Some(piece) => self.text += std::str::from_utf8(&piece.unwrap()).unwrap(),
                None => {
                    self.over = true;
                    return None;
                }
            }
        }
    }
}

async fn check_in(hall: &Hall, athlete: &str) {
    let call = Call::post("/v1/gyms/hall/classes/evening/check-in").json(json!({ "athletes": [athlete] }));
    call.of(&hall.inside).await.is(200);
}

#[tokio::test]
async fn what_happens_comes_as_it_happens_and_after_a_break_from_there_on() {
    let hall = Hall::new().await;
    let mut watcher = Watcher::new(&hall.inside, Call::get(EVENTS)).await;
    let ready = watcher.next().await.unwrap();
    assert_eq!((ready.kind.as_str(), ready.id), ("ready", 0));
    assert_eq!(watcher.next().await, None, "nothing has happened yet");
    check_in(&hall, "ama").await;
    let first = watcher.next().await.unwrap();
    assert_eq!((first.kind.as_str(), &first.data["body"]), ("checked-in", &json!({ "athlete": "ama" })));
    drop(watcher);

    check_in(&hall, "bram").await;
    let back = Call::get(EVENTS).header("last-event-id", &first.id.to_string());
    let mut watcher = Watcher::new(&hall.inside, back).await;
    let second = watcher.next().await.unwrap();
    assert_eq!(second.data["body"], json!({ "athlete": "bram" }));
    assert!(second.id > first.id);
    assert_eq!(watcher.next().await, None, "each comes once");

    let mut all = Watcher::new(&hall.inside, Call::get(&format!("{EVENTS}?after=0"))).await;
    assert_eq!((all.next().await, all.next().await, all.next().await), (Some(first), Some(second), None));
}

#[tokio::test]
async fn an_athlete_is_told_of_themselves_alone() {
    let hall = Hall::new().await;
    let ama = hall.somebody("athlete").await;
    let mut watcher = Watcher::new(&hall.outside, ama.get(&format!("{EVENTS}?after=0"))).await;
    check_in(&hall, "bram").await;
    check_in(&hall, "ama").await;
    assert_eq!(watcher.next().await.unwrap().data["body"], json!({ "athlete": "ama" }));
    assert_eq!(watcher.next().await, None);
}

#[tokio::test]
async fn whoever_is_kept_out_is_told_nothing_more() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let mut watcher = Watcher::new(&hall.outside, coach.get(EVENTS)).await;
    assert_eq!(watcher.next().await.unwrap().kind, "ready");
    check_in(&hall, "ama").await;
    assert_eq!(watcher.next().await.unwrap().kind, "checked-in");
    let call = Call::new("PATCH", &format!("/v1/gyms/hall/users/{}", coach.id)).header("if-match", "*");
    call.json(json!({ "disabled": true })).of(&hall.inside).await.is(200);
    check_in(&hall, "bram").await;
    assert_eq!(watcher.next().await, None);
    assert!(watcher.over, "the line is closed");
}

#[tokio::test]
async fn a_change_by_another_process_is_heard_of() {
    let hall = Hall::new().await;
    let mut watcher = Watcher::new(&hall.inside, Call::get(EVENTS)).await;
    assert_eq!(watcher.next().await.unwrap().kind, "ready");
    let body = r#"{"revision":9}"#;
    hall.meddle(&format!("INSERT INTO events VALUES ('hall', 1, 'evening', 'class-changed', '{body}', 5)")).await;
    let event = tokio::time::timeout(Duration::from_secs(5), async {
        loop {
            if let Some(event) = watcher.next().await {
                return event;
            }
        }
    });
    assert_eq!(event.await.unwrap().data, json!({ "at": 5, "body": { "revision": 9 } }));
}

#[tokio::test]
async fn a_class_that_is_not_there_and_a_number_that_is_none_are_refused() {
    let hall = Hall::new().await;
    Call::get("/v1/gyms/hall/classes/nowhere/events").of(&hall.inside).await.is(404);
    Call::get(EVENTS).header("last-event-id", "soon").of(&hall.inside).await.is(400);
    Call::get(&format!("{EVENTS}?after=-1")).of(&hall.inside).await.is(422);
}
