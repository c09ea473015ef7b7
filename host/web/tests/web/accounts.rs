//! Users and tokens: what owners do with them, what everybody does with their own, and what nobody does.

use serde_json::json;

use crate::call::Call;
use crate::hall::Hall;

#[tokio::test]
async fn the_last_owner_stays_one_and_is_not_kept_out() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    let path = format!("/v1/gyms/hall/users/{}", owner.id);
    let change = |value: serde_json::Value| owner.signs(Call::new("PATCH", &path)).header("if-match", "*").json(value);
    for value in [json!({ "role": "coach" }), json!({ "disabled": true })] {
        assert_eq!(change(value).of(&hall.outside).await.is(409).problem(), "needed");
    }
    hall.user("hall", "owner", "second", None).await;
    change(json!({ "role": "coach" })).of(&hall.outside).await.is(200);
    owner.get("/v1/gyms/hall/users").of(&hall.outside).await.is(403);
}

#[tokio::test]
async fn users_are_listed_in_pages_and_changed_against_a_revision() {
    let hall = Hall::new().await;
    for login in ["a", "b", "c"] {
        hall.invite("hall", "coach", login, None).await;
    }
    let first = Call::get("/v1/gyms/hall/users?limit=2").of(&hall.inside).await.is(200).json();
    assert_eq!(first["items"].as_array().unwrap().len(), 2);
    let path = format!("/v1/gyms/hall/users?limit=2&after={}", first["next"].as_str().unwrap());
    let second = Call::get(&path).of(&hall.inside).await.is(200).json();
    assert_eq!(second["items"].as_array().unwrap().len(), 1);
    assert!(second["next"].is_null());

    let id = first["items"][0]["value"]["id"].as_str().unwrap();
    let path = format!("/v1/gyms/hall/users/{id}");
    let change = |tag: &str| Call::new("PATCH", &path).header("if-match", tag).json(json!({ "name": "Kestrel" }));
    let reply = change("\"1\"").of(&hall.inside).await.is(200);
    assert_eq!(reply.header("etag"), Some("\"2\""));
    let stale = change("\"1\"").of(&hall.inside).await.is(412);
    assert_eq!((stale.problem().as_str(), &stale.json()["revision"]), ("stale", &json!(2)));
}

#[tokio::test]
async fn what_makes_no_sense_of_a_user_is_refused() {
    let hall = Hall::new().await;
    hall.invite("hall", "coach", "taken", None).await;
    for (value, status, kind) in [
        (json!({ "name": "", "login": "x", "role": "coach" }), 422, "input"),
        (json!({ "name": "X", "login": " ", "role": "coach" }), 422, "input"),
        (json!({ "name": "X", "login": "TAKEN", "role": "coach" }), 409, "exists"),
        (json!({ "name": "X", "login": "x", "role": "king" }), 422, "input"),
        (json!({ "name": "X", "login": "x", "role": "athlete", "athlete": "nobody" }), 422, "input"),
        (json!({ "name": "X", "login": "x", "role": "coach", "password": "mine" }), 422, "input"),
    ] {
        let reply = Call::post("/v1/gyms/hall/users").json(value.clone()).of(&hall.inside).await;
        assert_eq!(reply.is(status).problem(), kind, "{value}");
    }
    let id = hall.invite("hall", "athlete", "ama", Some("ama")).await.0;
    let call = Call::new("PATCH", &format!("/v1/gyms/hall/users/{id}")).header("if-match", "*");
    let user = call.json(json!({ "athlete": "" })).of(&hall.inside).await.is(200).json();
    assert!(user["value"].get("athlete").is_none(), "{user}");
}

#[tokio::test]
async fn a_token_stands_for_its_maker_until_it_is_taken_back() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&coach, &["read", "write"]).await;
    assert!(token.starts_with("hall.t-"), "{token}");
    let me = Call::get("/v1/gyms/hall/me").bearer(&token).of(&hall.outside).await.is(200).json();
    assert_eq!((&me["user"], me.get("csrf")), (&json!(coach.id), None));

    let own = coach.get("/v1/gyms/hall/tokens").of(&hall.outside).await.is(200).json();
    assert_eq!(own["items"].as_array().unwrap().len(), 1, "{own}");
    assert!(!own.to_string().contains(token.rsplit('.').next().unwrap()), "a list shows no secret");
    let others = hall.token(&owner, &["read"]).await;
    let others = others.split('.').nth(1).unwrap();
    let path = format!("/v1/gyms/hall/tokens/{others}");
    coach.signs(Call::new("DELETE", &path)).of(&hall.outside).await.is(404);
    let all = owner.get("/v1/gyms/hall/tokens").of(&hall.outside).await.is(200).json();
    assert_eq!(all["items"].as_array().unwrap().len(), 2, "{all}");

    let path = format!("/v1/gyms/hall/tokens/{}", token.split('.').nth(1).unwrap());
    owner.signs(Call::new("DELETE", &path)).of(&hall.outside).await.is(204);
    owner.signs(Call::new("DELETE", &path)).of(&hall.outside).await.is(204);
    Call::get("/v1/gyms/hall/me").bearer(&token).of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn a_token_is_for_what_its_maker_may_and_for_a_time() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let make = |scopes: &[&str], days: u32| {
        let new = json!({ "name": "x", "scopes": scopes, "days": days });
        coach.signs(Call::post("/v1/gyms/hall/tokens").json(new))
    };
    for (scopes, days) in [
        (["metrics"].as_slice(), 1),
        (["read", "shelf"].as_slice(), 1),
        (["all"].as_slice(), 1),
        ([].as_slice(), 1),
        (["read"].as_slice(), 0),
        (["read"].as_slice(), 367),
        (["read"].as_slice(), u32::MAX),
    ] {
        assert_eq!(make(scopes, days).of(&hall.outside).await.is(422).problem(), "input", "{scopes:?} {days}");
    }
    make(&["read", "write", "plan"], 366).of(&hall.outside).await.is(201);
    let console = Call::post("/v1/gyms/hall/tokens").json(json!({ "name": "x", "scopes": ["read"], "days": 1 }));
    console.of(&hall.inside).await.is(403);
}

#[tokio::test]
async fn a_token_makes_no_token_that_may_more() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&owner, &["accounts", "read"]).await;
    let make = |scope: &str| {
        let new = json!({ "name": "x", "scopes": [scope], "days": 1 });
        Call::post("/v1/gyms/hall/tokens").json(new).bearer(&token)
    };
    make("read").of(&hall.outside).await.is(201);
    assert_eq!(make("shelf").of(&hall.outside).await.is(403).problem(), "not-allowed");
}
