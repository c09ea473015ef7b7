//! Kit by place, and the gym's own movements.

use serde_json::{Value, json};

use super::{fields, is_held};
use crate::hall::Hall;

fn bars(count: u32) -> Value {
    json!({ "bar": [{ "type": "bar-20", "name": "20 kg bar", "mass": "20 kg", "count": count }] })
}

fn flat(id: &str) -> Value {
    json!({ "id": id, "kit": { "kit": [{ "kind": "mat", "count": 1 }] } })
}

fn hop(id: &str) -> Value {
    json!({ "id": id, "name": id.replace('-', " "), "patterns": ["jump"], "demand": { "knee": 2 }, "kit": {},
        "load": "none", "sides": "both", "seconds": { "rep": [2.0, 1.0, 3.0] }, "skill": 2 })
}

#[tokio::test]
async fn the_floor_is_set_and_homes_come_and_go() {
    let hall = Hall::new().await;
    let floor = hall.look("kit/floor").await.is(200);
    let tag = floor.header("etag").unwrap().to_owned();
    let mut set = bars(3);
    set["bar"][0]["out-of-service"] = json!(["A2"]);
    let now = hall.set("kit/floor", &tag, set.clone()).await.is(200).json();
    assert_eq!(now["value"], set);
    let made = hall.make("kit", flat("amas-flat")).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/kit/amas-flat"));
    hall.make("kit", flat("brams-yard")).await.is(201);
    assert_eq!(hall.look("kit/amas-flat").await.is(200).json()["value"], flat("amas-flat")["kit"]);
    let places: Vec<_> = hall.whole_list("kit", 1).await.iter().map(|item| item["value"]["id"].clone()).collect();
    assert_eq!(places, ["floor", "amas-flat", "brams-yard"]);
    is_held(&hall, "kit/brams-yard", &json!({})).await;
    hall.remove("kit/brams-yard", "\"1\"").await.is(204);
    assert_eq!(hall.look("kit/brams-yard").await.is(404).problem(), "missing");
}

#[tokio::test]
async fn kit_that_is_wrong_or_needed_stays_as_it_was() {
    let hall = Hall::new().await;
    let before = hall.look("kit/floor").await.json();
    let bad = json!({ "plate": [{ "mass": "heavy", "pairs": 2 }], "kit": [{ "kind": "trampoline", "count": 1 }] });
    let refused = hall.set("kit/floor", "*", bad).await;
    assert_eq!(refused.problem(), "gym");
    let problem = refused.json();
    // Both athletes are used to a type of bar that would be gone.
    assert_eq!(fields(&problem), ["plate[1].mass", "kit[1].kind", "bar", "bar"]);
    assert_eq!(hall.look("kit/floor").await.json(), before);
    assert_eq!(hall.make("kit", flat("floor")).await.is(409).problem(), "exists");
    assert_eq!(hall.remove("kit/floor", "*").await.is(409).problem(), "needed");
    hall.make("kit", flat("amas-flat")).await.is(201);
    let mut ama = hall.look("athletes/ama").await.json()["value"].clone();
    ama["place"] = json!("amas-flat");
    hall.set("athletes/ama", "*", ama).await.is(200);
    let needed = hall.remove("kit/amas-flat", "*").await.is(409);
    assert_eq!(needed.problem(), "needed");
    assert!(needed.json()["detail"].as_str().unwrap().contains("ama"), "{}", needed.text());
}

#[tokio::test]
async fn own_movements_are_added_changed_and_removed() {
    let hall = Hall::new().await;
    let made = hall.make("movements", hop("anvil-hop")).await.is(201);
    assert_eq!(made.header("location"), Some("/v1/gyms/hall/movements/anvil-hop"));
    hall.make("movements", hop("crate-hop")).await.is(201);
    is_held(&hall, "movements/anvil-hop", &hop("anvil-hop")).await;
    let mut harder = hop("anvil-hop");
    harder["skill"] = json!(4);
    assert_eq!(hall.set("movements/anvil-hop", "\"1\"", harder.clone()).await.is(200).json()["value"], harder);
    assert_eq!(hall.look("movements/anvil-hop").await.is(200).header("etag"), Some("\"2\""));
    let ids: Vec<_> = hall.whole_list("movements", 1).await.iter().map(|item| item["value"]["id"].clone()).collect();
    assert_eq!(ids, ["anvil-hop", "crate-hop"]);
    let mut bad = hop("moon-hop");
    bad["patterns"] = json!(["float"]);
    bad["skill"] = json!(0);
    assert_eq!(fields(&hall.make("movements", bad).await.json()), ["movement[3].patterns", "movement[3].skill"]);

    let text = "# Hops\n- length: 30 min\n\n## Conditioning: 3 rounds\n- 10 anvil hop\n";
    hall.make("sessions", json!({ "id": "hops", "text": text })).await.is(201);
    let needed = hall.remove("movements/anvil-hop", "*").await.is(409);
    assert_eq!(needed.problem(), "needed");
    assert!(needed.json()["detail"].as_str().unwrap().contains("sessions/hops.md"), "{}", needed.text());
    hall.remove("movements/crate-hop", "\"1\"").await.is(204);
    assert_eq!(hall.look("movements/crate-hop").await.is(404).problem(), "missing");
}
