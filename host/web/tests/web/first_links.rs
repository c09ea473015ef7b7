//! The first start: links that work once make the first gym, and the first owner of a gym that has none.

use classwright_web::Settings;
use serde_json::json;

use crate::call::Call;
use crate::hall::{Hall, PASSWORD};

async fn links(hall: &Hall) -> Vec<String> {
    hall.app.service().first_links().await.unwrap().into_iter().map(|link| link.path).collect()
}

#[tokio::test]
async fn the_first_link_makes_a_gym_and_its_owner_once() {
    let hall = Hall::empty(Settings::default()).await;
    let links = links(&hall).await;
    assert!(links.len() == 1 && links[0].starts_with("/start/"), "{links:?}");
    let page = Call::get(&links[0]).of(&hall.outside).await.is(200);
    assert_eq!(page.header("content-type"), Some("text/html; charset=utf-8"));
    assert!(page.header("content-security-policy").unwrap().contains("default-src 'none'"));
    assert!(page.text().contains("<form") && !page.text().contains("<script"));

    let fields = [
        ("gym-name", "Quay & Hall"),
        ("gym-id", "hall"),
        ("name", "Rowan"),
        ("login", "rowan"),
        ("password", PASSWORD),
        ("again", PASSWORD),
    ];
    let with = |name: &'static str, value: &'static str| {
        let mut fields = fields;
        fields.iter_mut().find(|(field, _)| *field == name).unwrap().1 = value;
        Call::post(&links[0]).form(&fields)
    };
    for (name, value, said) in [
        ("gym-id", "The Hall", "gym-id: has to be"),
        ("again", "nine green herons", "was not the same"),
        ("login", "  ", "login: has to have"),
        ("gym-name", "", "gym-name: has to have"),
    ] {
        let page = with(name, value).of(&hall.outside).await.is(422);
        assert!(page.text().contains(said), "{name}: {}", page.text());
        assert!(!page.text().contains(PASSWORD), "a password never comes back");
    }
    let foreign = with("gym-id", "hall").header("origin", "https://elsewhere.example").of(&hall.outside).await;
    assert_eq!(foreign.is(403).problem(), "foreign-page");

    Call::post(&links[0]).form(&fields).of(&hall.outside).await.is(200);
    Call::get(&links[0]).of(&hall.outside).await.is(401);
    Call::post(&links[0]).form(&fields).of(&hall.outside).await.is(401);
    let owner = hall.log_in("hall", "rowan").await;
    let gym = owner.get("/v1/gyms/hall").of(&hall.outside).await.is(200).json();
    assert_eq!(gym["value"]["name"], "Quay & Hall");
    owner.get("/v1/gyms/hall/users").of(&hall.outside).await.is(200);
    owner.get("/v1/gyms/hall/kit/floor").of(&hall.outside).await.is(200);
    assert!(self::links(&hall).await.is_empty(), "who has an owner gets no more links");
}

#[tokio::test]
async fn a_gym_without_an_owner_gets_one_by_a_link() {
    let hall = Hall::new().await;
    let old = links(&hall).await;
    let new = links(&hall).await;
    assert!(new.len() == 1 && new[0].starts_with("/gyms/hall/link/"), "{new:?}");
    Call::get(&old[0]).of(&hall.outside).await.is(401);
    let elsewhere = new[0].replace("/gyms/hall/", "/gyms/yard/");
    Call::get(&elsewhere).of(&hall.outside).await.is(401);
    let fields = [("name", "Rowan"), ("login", "rowan"), ("password", PASSWORD), ("again", PASSWORD)];
    Call::post(&new[0]).form(&fields).of(&hall.outside).await.is(200);
    let owner = hall.log_in("hall", "rowan").await;
    assert_eq!(owner.get("/v1/gyms/hall/me").of(&hall.outside).await.is(200).json()["role"], "owner");
}

#[tokio::test]
async fn of_two_who_use_a_link_at_once_one_does() {
    let hall = Hall::empty(Settings::default()).await;
    let link = links(&hall).await.remove(0);
    let call = |id: &str| {
        let password = [("password", PASSWORD), ("again", PASSWORD)];
        let own = [("gym-name", id), ("gym-id", id), ("name", id), ("login", "owner")];
        Call::post(&link).form(&[own.as_slice(), password.as_slice()].concat())
    };
    let (one, other) = tokio::join!(call("hall").of(&hall.outside), call("yard").of(&hall.outside));
    let done = [&one, &other].iter().filter(|reply| reply.status == 200).count();
    assert_eq!(done, 1, "{} and {}", one.status, other.status);
    let gyms = Call::get("/v1/gyms").of(&hall.inside).await.is(200).json();
    assert_eq!(gyms["items"].as_array().unwrap().len(), 1, "{gyms}");
}

#[tokio::test]
async fn a_link_ends_with_its_time() {
    let hall = Hall::new().await;
    let (id, link) = hall.invite("hall", "coach", "coach", None).await;
    Call::get(&link).of(&hall.outside).await.is(200);
    hall.meddle("UPDATE links SET expires_at = 1").await;
    Call::get(&link).of(&hall.outside).await.is(401);
    Call::post(&link).form(&[("password", PASSWORD), ("again", PASSWORD)]).of(&hall.outside).await.is(401);
    let user = Call::get(&format!("/v1/gyms/hall/users/{id}")).of(&hall.inside).await.is(200).json();
    assert_eq!(user["value"]["has-password"], json!(false));
}

#[tokio::test]
async fn only_digests_of_secrets_are_kept() {
    let hall = Hall::new().await;
    let (_, unused) = hall.invite("hall", "athlete", "ama", Some("ama")).await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&owner, &["read"]).await;
    let secrets = [unused.rsplit('/').next().unwrap(), owner.cookie.rsplit('.').next().unwrap(), &token, PASSWORD];
    hall.app.service().db().close().await;
    for name in ["hall.db", "hall.db-wal"] {
        let Ok(bytes) = std::fs::read(hall.folder.path().join(name)) else { continue };
        for secret in secrets {
            assert!(!bytes.windows(secret.len()).any(|part| part == secret.as_bytes()), "{name} holds {secret}");
        }
    }
}

#[tokio::test]
async fn tries_with_links_are_limited() {
    let hall = Hall::with(Settings { tries_address: 3, ..Settings::default() }).await;
    for _ in 0..3 {
        Call::get("/start/0123").of(&hall.outside).await.is(401);
    }
    Call::get("/start/0123").of(&hall.outside).await.is(429);
}
