//! Athletes, bests, limitations.

use serde_json::{Value, json};

use super::{fields, is_held, path};
use crate::call::Call;
use crate::hall::Hall;

fn athlete(id: &str) -> Value {
    json!({ "id": id, "name": "Chidi Marlowen", "column": 1, "skill": 4, "place": "floor" })
}

#[tokio::test]
async fn an_athlete_is_added_read_changed_and_removed() {
    let hall = Hall::new().await;
    let made = hall.make("athletes", athlete("chidi")).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/athletes/chidi"));
    assert_eq!(made.header("etag"), Some("\"1\""));
    assert_eq!(made.json(), json!({ "revision": 1, "value": athlete("chidi") }));
    let mut changed = athlete("chidi");
    changed["mass"] = json!("88 kg");
    changed["tags"] = json!(["strong"]);
    let reply = hall.set("athletes/chidi", "\"1\"", changed.clone()).await.is(200);
    assert_eq!(reply.header("etag"), Some("\"2\""));
    assert_eq!(hall.look("athletes/chidi").await.is(200).json(), json!({ "revision": 2, "value": changed }));
    is_held(&hall, "athletes/chidi", &athlete("chidi")).await;
    hall.remove("athletes/chidi", "\"2\"").await.is(204);
    assert_eq!(hall.look("athletes/chidi").await.is(404).problem(), "missing");
    assert_eq!(hall.set("athletes/chidi", "*", athlete("chidi")).await.is(404).problem(), "missing");
}

#[tokio::test]
async fn a_row_that_is_wrong_is_refused_with_all_its_faults() {
    let hall = Hall::new().await;
    let mut bad = athlete("chidi");
    bad["skill"] = json!(9);
    bad["place"] = json!("the moon");
    bad["training-share"] = json!("a lot");
    let refused = hall.make("athletes", bad).await;
    assert_eq!(refused.problem(), "gym");
    assert_eq!(fields(&refused.json()), ["place", "skill", "training-share"]);
    let refused = hall.set("athletes/ama", "*", athlete("chidi")).await;
    assert_eq!(fields(&refused.json()), ["id"]);
    let mut unknown = athlete("chidi");
    unknown["hair"] = json!("red");
    assert_eq!(hall.make("athletes", unknown).await.problem(), "input");
    assert_eq!(hall.make("athletes", athlete("ama")).await.is(409).problem(), "exists");
    assert_eq!(hall.look("athletes/ama").await.is(200).json()["revision"], 1);
}

#[tokio::test]
async fn the_roster_is_read_to_its_end() {
    let hall = Hall::new().await;
    for id in ["zed", "a b", "äste"] {
        let made = hall.make("athletes", athlete(id)).await.is(201);
        let at = made.header("location").unwrap().to_owned();
        assert_eq!(Call::get(&at).of(&hall.inside).await.is(200).json()["value"]["id"], id);
    }
    let ids = |items: Vec<Value>| {
        items.iter().map(|item| item["value"]["id"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(ids(hall.whole_list("athletes", 2).await), ["ama", "bram", "zed", "a b", "äste"]);
    assert_eq!(ids(hall.whole_list("athletes", 200).await).len(), 5);
    assert_eq!(hall.look("athletes?limit=0").await.problem(), "input");
    assert_eq!(hall.look("athletes?after=rubbish").await.is(404).problem(), "missing");
}

#[tokio::test]
async fn bests_keep_their_history() {
    let hall = Hall::new().await;
    let best = json!({ "movement": "back squat", "load": "100 kg", "how": "tested" });
    let made = hall.make("athletes/ama/bests", best.clone()).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/athletes/ama/bests/1"));
    assert_eq!(made.json(), json!({ "revision": 2, "value": { "n": 1, "value": best } }));
    let newer = json!({ "movement": "back squat", "load": "105 kg", "how": "tested", "since": "2031-02-01" });
    hall.make("athletes/ama/bests", newer.clone()).await.is(201);
    let list = hall.look("athletes/ama/bests").await.is(200);
    assert_eq!(list.header("etag"), Some("\"3\""));
    assert_eq!(list.json()["value"][1], json!({ "n": 2, "value": newer }));
    is_held(&hall, "athletes/ama/bests/1", &best).await;
    let mended = json!({ "movement": "back squat", "load": "99 kg", "how": "tested" });
    hall.set("athletes/ama/bests/1", "\"3\"", mended.clone()).await.is(200);
    assert_eq!(hall.look("athletes/ama/bests").await.json()["value"][0]["value"], mended);
    hall.remove("athletes/ama/bests/1", "\"4\"").await.is(204);
    assert_eq!(hall.remove("athletes/ama/bests/1", "*").await.is(404).problem(), "missing");
    assert_eq!(hall.remove("athletes/ama/bests/first", "*").await.is(404).problem(), "missing");
    let refused =
        hall.make("athletes/ama/bests", json!({ "movement": "moon walk", "load": "1 kg", "how": "guessed" })).await;
    assert_eq!(fields(&refused.json()), ["how", "movement"]);
    assert_eq!(hall.make("athletes/nobody/bests", best).await.is(404).problem(), "missing");
}

#[tokio::test]
async fn limitations_are_written_down_ended_and_removed() {
    let hall = Hall::new().await;
    let sore = json!({ "region": "shoulder", "side": "left", "severity": "moderate", "since": "2031-02-01" });
    let made = hall.make("athletes/bram/limitations", sore.clone()).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/athletes/bram/limitations/1"));
    is_held(&hall, "athletes/bram/limitations/1", &sore).await;
    let mut over = sore;
    over["until"] = json!("2031-03-01");
    hall.set("athletes/bram/limitations/1", "\"2\"", over.clone()).await.is(200);
    let list = hall.look("athletes/bram/limitations").await.is(200).json();
    assert_eq!(list, json!({ "revision": 3, "value": [{ "n": 1, "value": over }] }));
    let refused = hall.make("athletes/bram/limitations", json!({ "region": "nose", "severity": "much" })).await;
    assert_eq!(fields(&refused.json()), ["region", "severity"]);
    hall.remove("athletes/bram/limitations/1", "\"3\"").await.is(204);
    assert_eq!(hall.look("athletes/bram/limitations").await.json()["value"], json!([]));
}

#[tokio::test]
async fn whoever_is_needed_is_not_removed_but_erased() {
    let hall = Hall::new().await;
    hall.add_lift().await;
    let class = json!({ "id": "monday", "date": "2031-03-10", "time": "18:00", "zone": "Europe/London",
        "session": "lift", "coach": "Rowan Marlfield", "present": ["ama"] });
    hall.make("classes", class).await.is(201);
    let needed = hall.remove("athletes/ama", "*").await.is(409);
    assert_eq!(needed.problem(), "needed");
    assert!(needed.json()["detail"].as_str().unwrap().contains("monday"), "{}", needed.text());
    let erase = || Call::post(&path("athletes/ama/erase"));
    assert_eq!(erase().of(&hall.inside).await.is(428).problem(), "revision-needed");
    assert_eq!(erase().header("if-match", "\"9\"").of(&hall.inside).await.is(412).problem(), "stale");
    let done = erase().header("if-match", "\"1\"").of(&hall.inside).await.is(200).json();
    assert_eq!(done, json!({ "stands": "erased-1", "plans-without-inputs": [], "still-named": [] }));
    assert_eq!(hall.look("athletes/ama").await.is(404).problem(), "missing");
    assert_eq!(hall.look("classes/monday").await.is(200).json()["value"]["present"], json!([]));
}

#[tokio::test]
async fn an_athlete_has_what_is_their_own() {
    let hall = Hall::new().await;
    let ama = hall.somebody("athlete").await;
    let asks = |method: &'static str, rest: &str| ama.signs(Call::new(method, &path(rest)).header("if-match", "*"));
    let list = asks("GET", "athletes").of(&hall.outside).await.is(200).json();
    assert_eq!(list["items"].as_array().unwrap().len(), 1);
    asks("GET", "athletes/ama").of(&hall.outside).await.is(200);
    asks("GET", "athletes/ama/bests").of(&hall.outside).await.is(200);
    let sore = json!({ "region": "knee", "severity": "mild" });
    asks("POST", "athletes/ama/limitations").json(sore.clone()).of(&hall.outside).await.is(201);
    asks("PUT", "athletes/ama/limitations/1").json(sore.clone()).of(&hall.outside).await.is(200);
    asks("DELETE", "athletes/ama/limitations/1").of(&hall.outside).await.is(204);
    for (method, rest) in [
        ("GET", "athletes/bram"),
        ("GET", "athletes/nobody"),
        ("GET", "athletes/bram/bests"),
        ("GET", "athletes/bram/limitations"),
        ("POST", "athletes/bram/limitations"),
        ("PUT", "athletes/bram/limitations/1"),
        ("DELETE", "athletes/bram/limitations/1"),
        ("PUT", "athletes/ama"),
        ("POST", "athletes/ama/bests"),
        ("POST", "athletes/ama/erase"),
        ("GET", "kit"),
        ("GET", "classes"),
    ] {
        let call = asks(method, rest).json(sore.clone());
        assert_eq!(call.of(&hall.outside).await.is(403).problem(), "not-allowed", "{method} {rest}");
    }
}
