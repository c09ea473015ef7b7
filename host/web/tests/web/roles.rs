//! Every route, called by everybody: with what is theirs, with what is another's, and in another gym. The table of who
//! gets in stands in `roles.txt`; CLASSWRIGHT_RENEW=1 writes it anew, and its difference is to be read.

use classwright_web::routes::table;
use serde_json::json;
use tower::ServiceExt;

use crate::call::Call;
use crate::hall::Hall;

const TABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/web/roles.txt");
/// Roles, and all scopes that a token of theirs may have.
const CALLERS: [(&str, &[&str]); 3] = [
    ("athlete", &["read"]),
    ("coach", &["read", "write", "plan"]),
    ("owner", &["read", "write", "plan", "shelf", "accounts", "ledger", "backup", "metrics"]),
];

#[tokio::test]
async fn every_route_lets_in_whom_the_table_says() {
    let hall = Hall::new().await;
    hall.import("yard").await;
    Call::post("/v1/gyms/hall/classes/evening/plans").json(json!({})).of(&hall.inside).await.is(201);
    let mut tokens = Vec::new();
    for (role, scopes) in CALLERS {
        let login = hall.somebody(role).await;
        tokens.push(hall.token(&login, scopes).await);
    }
    hall.user("yard", "owner", "yard-owner", None).await;
    let stranger = hall.log_in("yard", "yard-owner").await;

    let mut told =
        format!("{:62}{:9}{:9}{:9}{:9}{:9}{}\n", "route", "nobody", "athlete", "other's", "coach", "owner", "stranger");
    for entry in table() {
        let path = |athlete: &str| {
            let named = entry.path.replace("{gym}", "hall").replace("{athlete}", athlete).replace("{class}", "evening");
            let named =
                named.replace("{session}", "evening").replace("{plan}", "evening-1").replace("{place}", "floor");
            // Whatever else there is has no such id: a refusal must come before anybody looks for it.
            named.split('/').map(|part| if part.starts_with('{') { "77" } else { part }).collect::<Vec<_>>().join("/")
        };
        let call = |athlete: &str| {
            let call = Call::new(entry.method.as_str(), &path(athlete)).header("if-match", "\"77\"");
            if entry.method == "GET" { call } else { call.json(json!({ "nothing": "of this" })) }
        };
        let as_stranger = call("bram").header("cookie", &stranger.cookie).header("x-csrf-token", &stranger.csrf);
        // The athlete of the token is Ama; Bram is another.
        let [athlete, coach, owner] = &tokens[..] else { unreachable!("three roles") };
        let calls = [
            call("ama"),
            call("ama").bearer(athlete),
            call("bram").bearer(athlete),
            call("bram").bearer(coach),
            call("bram").bearer(owner),
            as_stranger.header("origin", "http://localhost"),
        ];
        let mut row = Vec::new();
        for call in calls {
            // Not its body: a stream of events has no end.
            row.push(hall.outside.clone().oneshot(call.request()).await.unwrap().status().as_u16());
        }
        for status in &row {
            assert!(*status < 500, "{} {}: {row:?}", entry.method, entry.path);
        }
        let words: String = row.iter().map(|status| format!("{:9}", word(*status))).collect();
        told += &format!("{:62}{}\n", format!("{} {}", entry.method, entry.path), words.trim_end());
    }
    if std::env::var_os("CLASSWRIGHT_RENEW").is_some() {
        std::fs::write(TABLE, &told).unwrap();
    }
    assert_eq!(told, std::fs::read_to_string(TABLE).unwrap(), "who gets in has changed");
}

/// Refused for who asks, not found by whoever may not see it, or let in (whatever then becomes of a call that asks for
/// nothing sensible).
fn word(status: u16) -> &'static str {
    match status {
        401 => "login",
        403 => "refused",
        404 => "none",
        _ => "in",
    }
}
