//! Revisions: nobody overwrites what they have not seen.

use serde_json::json;

use crate::call::Call;
use crate::hall::Hall;

const GYM: &str = "/v1/gyms/hall";

#[tokio::test]
async fn a_change_names_the_revision_that_it_holds_against() {
    let hall = Hall::new().await;
    let reply = Call::get(GYM).of(&hall.inside).await.is(200);
    let tag = reply.header("etag").unwrap().to_owned();
    let mut gym = reply.json()["value"].clone();
    gym["name"] = json!("The old hall");
    let set = |tag: Option<&str>| {
        let call = Call::new("PUT", GYM).json(gym.clone());
        tag.map_or(call.clone(), |tag| call.header("if-match", tag))
    };
    assert_eq!(set(None).of(&hall.inside).await.is(428).problem(), "revision-needed");
    assert_eq!(set(Some("\"99\"")).of(&hall.inside).await.is(412).problem(), "stale");
    assert_eq!(set(Some("rubbish")).of(&hall.inside).await.is(412).problem(), "stale");
    let weak = format!("W/{tag}");
    assert_eq!(set(Some(&weak)).of(&hall.inside).await.is(412).problem(), "stale");
    let new = set(Some(&tag)).of(&hall.inside).await.is(200);
    assert_ne!(new.header("etag"), Some(tag.as_str()));
    assert_eq!(set(Some(&tag)).of(&hall.inside).await.is(412).problem(), "stale");
    let name = Call::get(GYM).of(&hall.inside).await.is(200).json()["value"]["name"].clone();
    assert_eq!(name, "The old hall");
}

#[tokio::test]
async fn of_two_who_change_at_once_one_does() {
    let hall = Hall::new().await;
    let reply = Call::get(GYM).of(&hall.inside).await.is(200);
    let tag = reply.header("etag").unwrap();
    let gym = &reply.json()["value"];
    let set = || Call::new("PUT", GYM).json(gym.clone()).header("if-match", tag).of(&hall.inside);
    let mut statuses = [set().await.status, 0];
    statuses[1] = set().await.status;
    let both = tokio::join!(set(), set());
    assert_eq!(statuses, [200, 412]);
    assert_eq!((both.0.status, both.1.status), (412, 412));
}

#[tokio::test]
async fn whoever_has_the_revision_gets_it_not_again() {
    let hall = Hall::new().await;
    let tag = Call::get(GYM).of(&hall.inside).await.is(200).header("etag").unwrap().to_owned();
    let reply = Call::get(GYM).header("if-none-match", &format!("\"0\", W/{tag}")).of(&hall.inside).await.is(304);
    assert!(reply.body.is_empty() && reply.header("etag") == Some(&tag));
    Call::get(GYM).header("if-none-match", "\"0\"").of(&hall.inside).await.is(200);
}

#[tokio::test]
async fn a_gym_that_makes_no_sense_is_refused_with_the_place() {
    let hall = Hall::new().await;
    let mut gym = Call::get(GYM).of(&hall.inside).await.is(200).json()["value"].clone();
    gym["rules"] = json!({ "max-heats": 0 });
    let reply = Call::new("PUT", GYM).json(gym).header("if-match", "*").of(&hall.inside).await.is(422);
    assert_eq!(reply.problem(), "gym");
    let fault = &reply.json()["faults"][0];
    assert!(fault["file"] == "gym.toml" && fault["problem"].is_string(), "{fault}");
}
