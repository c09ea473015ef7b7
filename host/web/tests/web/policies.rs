//! The shelf through the API.

use serde_json::{Value, json};

use crate::call::{Call, Reply};
use crate::hall::Hall;

const POLICIES: &str = "/v1/gyms/hall/policies";
const SCALING: &str = "/v1/gyms/hall/policies/house-scaling";

fn house(name: &str) -> Vec<u8> {
    let path = format!("{}/../../plugins/{name}/{name}.wasm", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(path).expect("the house policies are built")
}

impl Hall {
    async fn install(&self, name: &str) -> Reply {
        Call::post(POLICIES).bytes("application/wasm", house(name)).of(&self.inside).await
    }

    async fn shelf_call(&self, method: &str, rest: &str, body: Value) -> Reply {
        Call::new(method, &format!("{SCALING}{rest}")).json(body).header("if-match", "*").of(&self.inside).await
    }
}

#[tokio::test]
async fn a_component_is_installed_once_shown_and_removed() {
    let hall = Hall::new().await;
    let install = || {
        let call = Call::post(POLICIES).bytes("application/wasm", house("scaling"));
        call.header("idempotency-key", "one-install").of(&hall.inside)
    };
    let made = install().await.is(201);
    assert_eq!(made.header("location"), Some(SCALING));
    let installed = made.json();
    assert_eq!((&installed["placed"], &installed["conformance"]["passed"]), (&json!("new"), &json!(true)));
    assert_eq!(install().await.is(201).json(), installed, "the same call is answered the same");

    let list = Call::get(POLICIES).of(&hall.inside).await.is(200).json();
    assert_eq!(list["items"].as_array().unwrap().len(), 1);
    assert_eq!(list["items"][0]["value"]["asked"], false);
    let shown = Call::get(SCALING).of(&hall.inside).await.is(200);
    assert_eq!(shown.header("etag"), Some("\"1\""));
    let shown = shown.json();
    assert_eq!(shown["value"]["component"], installed["policy"]);
    let settings = shown["value"]["settings"].as_array().unwrap();
    assert!(settings.iter().all(|one| one["description"].is_string()), "{settings:?}");

    let remove = |tag: Option<&'static str>| {
        let call = Call::new("DELETE", SCALING);
        tag.map_or(call.clone(), |tag| call.header("if-match", tag))
    };
    assert_eq!(remove(None).of(&hall.inside).await.is(428).problem(), "revision-needed");
    assert_eq!(remove(Some("\"9\"")).of(&hall.inside).await.is(412).problem(), "stale");
    remove(Some("\"1\"")).of(&hall.inside).await.is(204);
    assert_eq!(Call::get(SCALING).of(&hall.inside).await.is(404).problem(), "missing");
}

#[tokio::test]
async fn what_is_no_component_is_refused_with_the_kind_of_failure() {
    let hall = Hall::new().await;
    let other = Call::post(POLICIES).json(json!({ "bytes": "AGFzbQ==" })).of(&hall.inside).await;
    assert_eq!(other.is(415).problem(), "media-type");
    let junk = Call::post(POLICIES).bytes("application/wasm", b"\0asm rubbish".to_vec()).of(&hall.inside).await;
    assert_eq!(junk.problem(), "incompatible");
    let told = junk.json();
    assert_eq!(told["type"], "urn:classwright:failure:incompatible");
    assert!(told["author"].as_str().unwrap().contains("classwright:policy"), "{told}");
}

#[tokio::test]
async fn a_policy_is_set_limited_enabled_and_put_in_order() {
    let hall = Hall::new().await;
    hall.install("scaling").await.is(201);
    hall.install("heats").await.is(201);
    let wrong = hall.shelf_call("PUT", "/settings", json!({ "beyond-skill-volume-percent": 170 })).await.is(422);
    assert_eq!(wrong.problem(), "input");
    assert_eq!(wrong.json()["faults"][0]["field"], "settings.beyond-skill-volume-percent");
    let none = Call::new("PUT", &format!("{SCALING}/limits")).json(json!({ "fuel": 5 })).of(&hall.inside).await;
    assert_eq!(none.is(428).problem(), "revision-needed");
    let set = hall.shelf_call("PUT", "/settings", json!({ "beyond-skill-volume-percent": 70 })).await.is(200);
    assert_eq!(set.header("etag"), Some("\"2\""));
    assert_eq!(hall.shelf_call("PUT", "/limits", json!({ "fule": 5 })).await.is(422).problem(), "input");
    let limits = json!({ "fuel": 3_000_000_000_u64, "wall-ms": 9000 });
    assert_eq!(hall.shelf_call("PUT", "/limits", limits.clone()).await.is(200).json()["value"]["limits"], limits);

    let enabled = hall.shelf_call("POST", "/enable", json!({})).await.is(200).json();
    assert_eq!((&enabled["revision"], &enabled["value"]["asked"]), (&json!(4), &json!(true)));
    assert_eq!(hall.shelf_call("POST", "/disable", json!({})).await.is(200).json()["value"]["asked"], false);

    let order = |names: Value| Call::post("/v1/gyms/hall/shelf/order").json(json!({ "order": names })).of(&hall.inside);
    let put = order(json!(["house-heats", "house-scaling"])).await.is(200).json();
    assert_eq!(put["items"][0]["value"]["policy"], "house-heats");
    assert_eq!(order(json!(["house-heats"])).await.is(422).json()["faults"][0]["field"], "order");
}

#[tokio::test]
async fn other_components_are_compared_and_tried() {
    let hall = Hall::new().await;
    let digest = hall.install("scaling").await.is(201).json()["policy"]["digest"].clone();
    let over = |digest: Value| hall.shelf_call("POST", "/upgrade", json!({ "digest": digest, "dry-run": true }));
    assert_eq!(over(json!("00")).await.is(404).problem(), "missing");
    assert_eq!(over(digest.clone()).await.is(422).json()["faults"][0]["field"], "digest");
    assert_eq!(hall.shelf_call("POST", "/rollback", json!({})).await.is(422).problem(), "input");
    let tried = hall.shelf_call("POST", "/try", json!({ "days": 7 })).await.is(200).json();
    assert_eq!((&tried["tried"]["digest"], &tried["attempt"]["classes"]), (&digest, &json!([])));
    assert_eq!(
        hall.shelf_call("POST", "/try", json!({ "days": 0 })).await.is(422).json()["faults"][0]["field"],
        "days"
    );
}

#[tokio::test]
async fn the_shelf_is_the_owners_alone() {
    let hall = Hall::new().await;
    hall.install("scaling").await.is(201);
    for role in ["coach", "athlete"] {
        let somebody = hall.somebody(role).await;
        for path in [POLICIES, SCALING] {
            assert_eq!(somebody.get(path).of(&hall.outside).await.is(403).problem(), "not-allowed", "{role}");
        }
        let enable = somebody.signs(Call::post(&format!("{SCALING}/enable")).json(json!({})));
        assert_eq!(enable.of(&hall.outside).await.is(403).problem(), "not-allowed", "{role}");
    }
    let owner = hall.somebody("owner").await;
    owner.get(SCALING).of(&hall.outside).await.is(200);
}
