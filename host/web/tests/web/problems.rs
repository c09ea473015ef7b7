//! Whatever is not as asked is a problem, also where it never reaches a handler.

use classwright_web::Settings;
use serde_json::json;

use crate::call::Call;
use crate::hall::Hall;

#[tokio::test]
async fn every_way_to_be_refused_is_a_problem() {
    let hall = Hall::with(Settings { body_limit_kib: 1, ..Settings::default() }).await;
    let users = "/v1/gyms/hall/users";
    let good = json!({ "name": "X", "login": "x", "role": "coach" });
    let large = json!({ "name": "x".repeat(2000), "login": "x", "role": "coach" });
    for (call, status, kind) in [
        (Call::get("/v1/nothing"), 404, "no-path"),
        (Call::get("/v1/gyms/hall/athletes/"), 404, "no-path"),
        (Call::new("PUT", users), 405, "method"),
        (Call::new("BREW", users), 405, "method"),
        (Call::get("/v1/gyms/hall/athletes/nobody"), 404, "missing"),
        (Call::get("/v1/gyms/hall/athletes/%00"), 404, "missing"),
        (Call::get("/v1/gyms/hall/athletes/%ff"), 400, "malformed"),
        (Call::get("/v1/gyms/%ff/athletes"), 400, "malformed"),
        (Call::get("/v1/gyms/ha%00ll/athletes"), 404, "missing"),
        (Call::get("/v1/gyms/hall/users?limit=0"), 422, "input"),
        (Call::get("/v1/gyms/hall/users?limit=201"), 422, "input"),
        (Call::get("/v1/gyms/hall/users?limit=many"), 400, "malformed"),
        (Call::get("/v1/gyms/hall/users?after=%00"), 400, "malformed"),
        (Call::get("/v1/gyms/hall/ledger?after=soon"), 422, "input"),
        (Call::post(users), 415, "media-type"),
        (Call::post(users).body("text/plain", "{}"), 415, "media-type"),
        (Call::post(users).body("application/json", ""), 400, "malformed"),
        (Call::post(users).body("application/json", "{"), 400, "malformed"),
        (Call::post(users).body("application/json", &format!("{good} {{}}")), 400, "malformed"),
        (Call::post(users).body("application/json", "\u{0}"), 400, "malformed"),
        (Call::post(users).json(json!([])), 422, "input"),
        (Call::post(users).json(json!({ "name": 1, "login": "x", "role": "coach" })), 422, "input"),
        (Call::post(users).json(json!({ "name": "a\u{0}", "login": "x", "role": "coach" })), 422, "input"),
        (Call::post(users).json(large), 413, "too-large"),
        (Call::post(users).json(good.clone()).header("idempotency-key", " "), 400, "malformed"),
        (Call::post(users).json(good).header("idempotency-key", &"k".repeat(201)), 400, "malformed"),
        (Call::post("/start/x").body("text/plain", ""), 415, "media-type"),
    ] {
        let shown = format!("{:?}", call.clone().request());
        let reply = call.of(&hall.inside).await;
        assert_eq!(reply.status, status, "{shown}: {}", String::from_utf8_lossy(&reply.body));
        assert_eq!(reply.problem(), kind, "{shown}");
    }
}

#[tokio::test]
async fn a_field_that_is_not_right_is_named() {
    let hall = Hall::new().await;
    let call = Call::post("/v1/gyms/hall/users").json(json!({ "name": "X", "login": "x", "role": "king" }));
    let problem = call.of(&hall.inside).await.is(422).json();
    assert_eq!(problem["faults"][0]["field"], "role", "{problem}");
    assert!(problem["faults"][0]["problem"].as_str().unwrap().contains("king"), "{problem}");
}

#[tokio::test]
async fn a_method_that_is_not_there_says_which_are() {
    let hall = Hall::new().await;
    let reply = Call::new("DELETE", "/v1/gyms/hall/users").of(&hall.inside).await.is(405);
    let allowed = reply.header("allow").unwrap();
    assert!(allowed.contains("GET") && allowed.contains("POST"), "{allowed}");
}

#[tokio::test]
async fn every_answer_says_how_it_may_be_used() {
    let hall = Hall::new().await;
    for call in [Call::get("/healthz"), Call::get("/v1/nothing")] {
        let reply = call.of(&hall.outside).await;
        assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(reply.header("referrer-policy"), Some("no-referrer"));
        assert_eq!(reply.header("cache-control"), Some("private, no-cache"));
        assert_eq!(reply.header("x-request-id").unwrap().len(), 16);
    }
    let reply = Call::get("/v1/nothing").of(&hall.outside).await;
    let id = reply.header("x-request-id").unwrap();
    assert_eq!(reply.json()["instance"], format!("urn:classwright:request:{id}"));
}
