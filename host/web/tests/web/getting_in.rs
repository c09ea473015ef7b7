//! Logging in, and staying out: passwords, locks, cookies, foreign pages, time.

use std::time::{Duration, Instant};

use classwright_web::Settings;
use serde_json::json;

use crate::call::Call;
use crate::hall::{Hall, PASSWORD};

const ME: &str = "/v1/gyms/hall/me";
const LOGOUT: &str = "/v1/gyms/hall/logout";

#[tokio::test]
async fn nobody_gets_in_without_a_login_and_unknown_paths_are_not_told_from_known_ones() {
    let hall = Hall::new().await;
    for path in ["/v1/gyms/hall/athletes", "/v1/gyms/nowhere/athletes", "/v1/nothing", "/metrics", "/", "/admin"] {
        let reply = Call::get(path).of(&hall.outside).await.is(401);
        assert_eq!(reply.problem(), "login-needed", "{path}");
        assert!(reply.header("www-authenticate").is_some());
    }
    assert_eq!(Call::new("DELETE", "/v1/gyms/hall").of(&hall.outside).await.status, 401);
    for path in ["/healthz", "/readyz", "/openapi.json"] {
        Call::get(path).of(&hall.outside).await.is(200);
    }
}

#[tokio::test]
async fn a_login_is_a_cookie_that_pages_cannot_read() {
    let hall = Hall::new().await;
    hall.user("hall", "coach", "Rowan@Hall.example", None).await;
    let reply = hall.try_login("hall", " rowan@hall.EXAMPLE", PASSWORD).await.is(200);
    let cookie = reply.header("set-cookie").unwrap();
    for part in ["classwright=hall.", "; Path=/", "; HttpOnly", "; SameSite=Strict", "; Max-Age=604800"] {
        assert!(cookie.contains(part), "{part}: {cookie}");
    }
    assert!(!cookie.contains("Secure"), "plain HTTP");
    let me = reply.json();
    assert_eq!((&me["role"], &me["gym"]), (&json!("coach"), &json!("hall")));
    let coach = hall.log_in("hall", "rowan@hall.example").await;
    let me = coach.get(ME).of(&hall.outside).await.is(200).json();
    assert_eq!(me["csrf"], coach.csrf.as_str());
}

#[tokio::test]
async fn behind_tls_the_cookie_is_bound_to_host_and_tls() {
    let hall = Hall::with(Settings { public_url: "https://gym.example".into(), ..Settings::default() }).await;
    hall.user("hall", "coach", "coach", None).await;
    let reply = hall.try_login("hall", "coach", PASSWORD).await.is(200);
    let cookie = reply.header("set-cookie").unwrap();
    assert!(cookie.starts_with("__Host-classwright=hall.") && cookie.ends_with("; Secure"), "{cookie}");
    assert!(reply.header("strict-transport-security").is_some());
    let coach = hall.log_in("hall", "coach").await;
    coach.get(ME).of(&hall.outside).await.is(200);
    let plain = coach.cookie.replace("__Host-", "");
    Call::get(ME).header("cookie", &plain).of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn what_is_wrong_about_a_login_is_not_told_apart() {
    let hall = Hall::new().await;
    hall.user("hall", "coach", "coach", None).await;
    hall.invite("hall", "coach", "invited", None).await;
    let disabled = hall.user("hall", "coach", "disabled", None).await;
    let path = format!("/v1/gyms/hall/users/{disabled}");
    let call = Call::new("PATCH", &path).header("if-match", "*").json(json!({ "disabled": true }));
    call.of(&hall.inside).await.is(200);
    let mut told = Vec::new();
    for (gym, login, password) in [
        ("hall", "coach", "eight grey cows"),
        ("hall", "nobody", PASSWORD),
        ("hall", "invited", PASSWORD),
        ("hall", "invited", ""),
        ("hall", "disabled", PASSWORD),
        ("nowhere", "coach", PASSWORD),
    ] {
        let began = Instant::now();
        let reply = hall.try_login(gym, login, password).await.is(401);
        assert!(began.elapsed() >= Duration::from_millis(500), "{login}: a refusal takes its time");
        let mut problem = reply.json();
        problem.as_object_mut().unwrap().remove("instance");
        told.push(problem);
    }
    told.dedup();
    assert_eq!(told.len(), 1, "{told:?}");
}

#[tokio::test]
async fn too_many_wrong_passwords_lock_and_a_new_password_unlocks() {
    let hall = Hall::with(Settings { wrong_passwords: 3, ..Settings::default() }).await;
    let id = hall.user("hall", "coach", "coach", None).await;
    let coach = hall.log_in("hall", "coach").await;
    for _ in 0..3 {
        hall.try_login("hall", "coach", "wrong wrong wrong").await.is(401);
    }
    hall.try_login("hall", "coach", PASSWORD).await.is(401);
    let user = Call::get(&format!("/v1/gyms/hall/users/{id}")).of(&hall.inside).await.is(200).json();
    assert!(user["value"]["locked-until"].is_i64(), "{user}");
    coach.get(ME).of(&hall.outside).await.is(200);
    let ledger = Call::get("/v1/gyms/hall/ledger?limit=200").of(&hall.inside).await.is(200);
    assert!(ledger.text().contains("user.locked"));

    let path = format!("/v1/gyms/hall/users/{id}/link");
    let link = Call::post(&path).of(&hall.inside).await.is(200).json()["path"].as_str().unwrap().to_owned();
    let new = "nine green herons";
    Call::post(&link).form(&[("password", new), ("again", new)]).of(&hall.outside).await.is(200);
    hall.try_login("hall", "coach", new).await.is(200);
    hall.try_login("hall", "coach", PASSWORD).await.is(401);
    coach.get(ME).of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn a_right_password_forgets_the_wrong_ones_before() {
    let hall = Hall::with(Settings { wrong_passwords: 3, ..Settings::default() }).await;
    hall.user("hall", "coach", "coach", None).await;
    for _ in 0..2 {
        hall.try_login("hall", "coach", "wrong wrong wrong").await.is(401);
        hall.try_login("hall", "coach", "wrong wrong wrong").await.is(401);
        hall.try_login("hall", "coach", PASSWORD).await.is(200);
    }
}

#[tokio::test]
async fn a_lock_of_no_time_holds_nobody() {
    let hall = Hall::with(Settings { wrong_passwords: 1, lock_min: 0, ..Settings::default() }).await;
    hall.user("hall", "coach", "coach", None).await;
    hall.try_login("hall", "coach", "wrong wrong wrong").await.is(401);
    hall.try_login("hall", "coach", PASSWORD).await.is(200);
}

#[tokio::test]
async fn tries_as_one_user_are_limited_whether_or_not_there_is_one() {
    let hall = Hall::with(Settings { tries_user: 2, ..Settings::default() }).await;
    for login in ["coach", "nobody"] {
        hall.try_login("hall", login, "wrong wrong wrong").await.is(401);
        hall.try_login("hall", login, "wrong wrong wrong").await.is(401);
        let reply = hall.try_login("hall", login, "wrong wrong wrong").await.is(429);
        assert_eq!(reply.problem(), "too-many");
        assert!(reply.header("retry-after").unwrap().parse::<u32>().unwrap() >= 1);
    }
}

#[tokio::test]
async fn strangers_and_busy_users_are_told_to_wait() {
    let hall = Hall::with(Settings { strangers: 1, calls_user: 1, ..Settings::default() }).await;
    let coach = hall.somebody("coach").await;
    let mut seen = Vec::new();
    for _ in 0..12 {
        seen.push(Call::get("/v1/gyms").of(&hall.outside).await.status);
    }
    assert!(seen.contains(&401) && seen.contains(&429), "{seen:?}");
    let mut seen = Vec::new();
    for _ in 0..25 {
        seen.push(coach.get(ME).of(&hall.outside).await.status);
    }
    assert!(seen.contains(&200) && seen.contains(&429), "{seen:?}");
}

#[tokio::test]
async fn a_call_by_cookie_that_changes_something_comes_from_here() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let bare = || Call::post(LOGOUT).header("cookie", &coach.cookie).header("host", "gym.example");
    let signed = || bare().header("x-csrf-token", &coach.csrf);
    for (call, why) in [
        (bare(), "no token"),
        (bare().header("x-csrf-token", "f".repeat(64).as_str()), "another token"),
        (signed().header("origin", "https://elsewhere.example"), "a foreign page"),
        (signed().header("origin", "null"), "a page of nowhere"),
        (signed().header("sec-fetch-site", "cross-site"), "a foreign site"),
        (signed().header("sec-fetch-site", "same-site"), "a neighbour"),
    ] {
        assert_eq!(call.of(&hall.outside).await.is(403).problem(), "foreign-page", "{why}");
    }
    coach.get(ME).of(&hall.outside).await.is(200);
    Call::get(ME).header("cookie", &coach.cookie).of(&hall.outside).await.is(200);
    let call = signed().header("origin", "http://gym.example").header("sec-fetch-site", "same-origin");
    let reply = call.of(&hall.outside).await.is(204);
    assert!(reply.header("set-cookie").unwrap().contains("Max-Age=0"));
    coach.get(ME).of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn nobody_is_logged_in_by_a_foreign_page() {
    let hall = Hall::new().await;
    hall.user("hall", "coach", "coach", None).await;
    let credentials = json!({ "login": "coach", "password": PASSWORD });
    let call = Call::post("/v1/gyms/hall/login").json(credentials.clone()).header("host", "gym.example");
    let foreign = call.clone().header("origin", "https://elsewhere.example").of(&hall.outside).await;
    assert_eq!(foreign.is(403).problem(), "foreign-page");
    call.header("origin", "https://gym.example").of(&hall.outside).await.is(200);
}

#[tokio::test]
async fn ones_own_password_is_changed_with_the_present_one() {
    let hall = Hall::with(Settings { wrong_passwords: 3, ..Settings::default() }).await;
    let coach = hall.somebody("coach").await;
    let elsewhere = hall.log_in("hall", "coach").await;
    let change = |now: &str, new: &str| {
        coach.signs(Call::new("PUT", "/v1/gyms/hall/me/password")).json(json!({ "now": now, "new": new }))
    };
    let new = "nine green herons";
    assert_eq!(change("wrong wrong wrong", new).of(&hall.outside).await.is(422).problem(), "input");
    let short = change(PASSWORD, "short").of(&hall.outside).await.is(422).json();
    assert_eq!(short["faults"][0]["field"], "password", "{short}");
    let reply = change(PASSWORD, new).of(&hall.outside).await.is(200);
    for old in [&coach, &elsewhere] {
        old.get(ME).of(&hall.outside).await.is(401);
    }
    let cookie = reply.header("set-cookie").unwrap().split(';').next().unwrap();
    Call::get(ME).header("cookie", cookie).of(&hall.outside).await.is(200);
    hall.try_login("hall", "coach", new).await.is(200);
    hall.try_login("hall", "coach", PASSWORD).await.is(401);
}

#[tokio::test]
async fn guessing_the_present_password_by_a_stolen_login_locks_too() {
    let hall = Hall::with(Settings { wrong_passwords: 2, ..Settings::default() }).await;
    let coach = hall.somebody("coach").await;
    for said in ["wrong wrong wrong", "wrong wrong wrong", PASSWORD] {
        let call =
            Call::new("PUT", "/v1/gyms/hall/me/password").json(json!({ "now": said, "new": "nine green herons" }));
        coach.signs(call).of(&hall.outside).await.is(422);
    }
}

#[tokio::test]
async fn a_login_and_a_token_end_with_their_time() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let token = hall.token(&coach, &["read"]).await;
    Call::get(ME).bearer(&token).of(&hall.outside).await.is(200);
    coach.get(ME).of(&hall.outside).await.is(200);
    // As if they had been made long ago: moved by another process, which this host does not hear of at once.
    for table in ["logins", "tokens"] {
        hall.meddle(&format!("UPDATE {table} SET expires_at = 1")).await;
    }
    tokio::time::sleep(Duration::from_millis(1200)).await;
    coach.get(ME).of(&hall.outside).await.is(401);
    Call::get(ME).bearer(&token).of(&hall.outside).await.is(401);
}

#[tokio::test]
async fn whoever_is_kept_out_is_out_at_once() {
    let hall = Hall::new().await;
    let coach = hall.somebody("coach").await;
    let token = hall.token(&coach, &["read"]).await;
    Call::get(ME).bearer(&token).of(&hall.outside).await.is(200);
    let path = format!("/v1/gyms/hall/users/{}", coach.id);
    let out = |disabled: bool| Call::new("PATCH", &path).header("if-match", "*").json(json!({ "disabled": disabled }));
    out(true).of(&hall.inside).await.is(200);
    Call::get(ME).bearer(&token).of(&hall.outside).await.is(401);
    coach.get(ME).of(&hall.outside).await.is(401);
    out(false).of(&hall.inside).await.is(200);
    Call::get(ME).bearer(&token).of(&hall.outside).await.is(200);
    coach.get(ME).of(&hall.outside).await.is(401);
}
