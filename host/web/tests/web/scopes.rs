//! Roles, scopes and gyms: what somebody may with what they have.

use serde_json::json;

use crate::call::Call;
use crate::hall::Hall;

#[tokio::test]
async fn a_login_is_for_its_gym_alone_whether_or_not_there_is_another() {
    let hall = Hall::new().await;
    hall.import("yard").await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&owner, &["read", "write", "accounts"]).await;
    let mut told = Vec::new();
    for gym in ["yard", "nowhere"] {
        for call in [owner.get(&format!("/v1/gyms/{gym}")), Call::get(&format!("/v1/gyms/{gym}")).bearer(&token)] {
            let mut problem = call.of(&hall.outside).await.is(403).json();
            problem.as_object_mut().unwrap().remove("instance");
            told.push(problem);
        }
    }
    told.dedup();
    assert_eq!(told.len(), 1, "{told:?}");
    let gyms = owner.get("/v1/gyms").of(&hall.outside).await.is(200).json();
    assert_eq!(gyms, json!({ "items": [{ "id": "hall", "name": "The hall" }] }));
    let all = Call::get("/v1/gyms").of(&hall.inside).await.is(200).json();
    assert_eq!(all["items"].as_array().unwrap().len(), 2);
}

#[tokio::test]
async fn a_token_of_one_gym_written_as_of_another_is_none() {
    let hall = Hall::new().await;
    hall.import("yard").await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&owner, &["read"]).await;
    let forged = token.replacen("hall.", "yard.", 1);
    Call::get("/v1/gyms/yard").bearer(&forged).of(&hall.outside).await.is(401);
    let cookie = owner.cookie.replacen("=hall.", "=yard.", 1);
    Call::get("/v1/gyms/yard").header("cookie", &cookie).of(&hall.outside).await.is(401);
    for rubbish in ["", ".", "hall", "hall..", "hall.t-1.abc", "yard\u{7f}.x"] {
        let call =
            Call::get("/v1/gyms/hall").header("authorization", &format!("Bearer {rubbish}").replace('\u{7f}', ""));
        call.of(&hall.outside).await.is(401);
    }
    Call::get("/v1/gyms/hall").header("authorization", "Basic aGFsbDpoYWxs").of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn a_token_does_what_its_scopes_say_and_no_more() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    for (scope, path) in [
        ("read", "/v1/gyms/hall/athletes"),
        ("accounts", "/v1/gyms/hall/users"),
        ("ledger", "/v1/gyms/hall/ledger"),
        ("metrics", "/metrics"),
        ("backup", "/v1/gyms/hall/backup"),
    ] {
        let with = hall.token(&owner, &[scope]).await;
        Call::get(path).bearer(&with).of(&hall.outside).await.is(200);
        let all = ["read", "write", "plan", "shelf", "accounts", "ledger", "backup", "metrics"];
        let others: Vec<&str> = all.into_iter().filter(|other| *other != scope).collect();
        let without = hall.token(&owner, &others).await;
        let reply = Call::get(path).bearer(&without).of(&hall.outside).await.is(403);
        assert_eq!((reply.problem().as_str(), &reply.json()["scope"]), ("not-allowed", &json!(scope)));
    }
}

#[tokio::test]
async fn a_token_shrinks_with_its_users_role() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    hall.user("hall", "owner", "second", None).await;
    let token = hall.token(&owner, &["accounts", "read"]).await;
    Call::get("/v1/gyms/hall/users").bearer(&token).of(&hall.outside).await.is(200);
    let call = Call::new("PATCH", &format!("/v1/gyms/hall/users/{}", owner.id)).header("if-match", "*");
    call.json(json!({ "role": "athlete" })).of(&hall.inside).await.is(200);
    assert_eq!(
        Call::get("/v1/gyms/hall/users").bearer(&token).of(&hall.outside).await.is(403).problem(),
        "not-allowed"
    );
}

#[tokio::test]
async fn nothing_that_comes_over_the_wire_makes_a_console() {
    let hall = Hall::new().await;
    for name in ["console", "x-console", "x-forwarded-user", "x-user"] {
        Call::get("/v1/gyms/hall/users").header(name, "console").of(&hall.outside).await.is(401);
    }
    let bearer = Call::get("/v1/gyms/hall/users").bearer("console");
    bearer.of(&hall.outside).await.is(401);
    Call::get("/v1/gyms/hall/users").of(&hall.inside).await.is(200);
    Call::get("/v1/gyms/nowhere/users").of(&hall.inside).await.is(404);
}
