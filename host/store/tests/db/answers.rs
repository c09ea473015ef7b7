//! A call that was sent twice makes its thing once.

use classwright_store::db::answers::{Answer, Call, asked, find, keep, sweep};
use classwright_store::db::{Db, DbError, ledger};
use serde_json::json;

use crate::hall::{Ground, HALL, make_gym, on_both};

on_both!(
    a_call_is_made_once,
    a_key_goes_with_its_request,
    a_call_that_fails_may_be_made_again,
    a_call_may_make_several_changes,
    calls_at_once_are_made_once,
    an_answer_that_was_lost_is_known_to_be_done,
    old_answers_are_swept,
);

fn call(key: &str) -> Call {
    Call { gym: HALL.into(), who: "u1".into(), key: key.into(), request: "digest".into() }
}

async fn make(db: &Db, gym: &str, about: &str) -> Result<(), DbError> {
    let mut w = db.write(gym, "u1").await?;
    w.note("thing.made", about, json!({})).await?;
    w.commit().await
}

async fn made(db: &Db) -> usize {
    ledger::list(&mut db.read().await.unwrap(), HALL, 1, 100).await.unwrap().len()
}

async fn found(db: &Db, call: &Call) -> Option<Answer> {
    find(&mut db.read().await.unwrap(), call).await.unwrap()
}

async fn a_call_is_made_once(ground: &Ground) {
    let db = ground.with_gym().await;
    assert_eq!(found(&db, &call("a")).await, None);
    asked(call("a"), make(&db, HALL, "thing:1")).await.unwrap();
    keep(&db, &call("a"), 201, "{}").await.unwrap();
    assert_eq!(found(&db, &call("a")).await, Some(Answer::Kept { status: 201, body: "{}".into() }));
    let again = asked(call("a"), make(&db, HALL, "thing:1")).await;
    assert!(matches!(again, Err(DbError::Repeated { .. })), "{again:?}");
    assert_eq!(made(&db).await, 1);
    // Kept once: what came first stands. Somebody else's key is another.
    keep(&db, &call("a"), 500, "late").await.unwrap();
    assert_eq!(found(&db, &call("a")).await, Some(Answer::Kept { status: 201, body: "{}".into() }));
    assert_eq!(found(&db, &Call { who: "u2".into(), ..call("a") }).await, None);
}

async fn a_key_goes_with_its_request(ground: &Ground) {
    let db = ground.with_gym().await;
    asked(call("a"), make(&db, HALL, "thing:1")).await.unwrap();
    let other = Call { request: "another".into(), ..call("a") };
    let refused = find(&mut db.read().await.unwrap(), &other).await;
    assert!(matches!(refused, Err(DbError::OtherCall { .. })), "{refused:?}");
}

async fn a_call_that_fails_may_be_made_again(ground: &Ground) {
    let db = ground.with_gym().await;
    let failed: Result<(), DbError> = asked(call("a"), async {
        let mut w = db.write(HALL, "u1").await?;
        w.note("thing.made", "thing:1", json!({})).await?;
        Err(DbError::missing("thing", "1"))
    })
    .await;
    assert!(failed.is_err());
    keep(&db, &call("a"), 404, "nothing").await.unwrap();
    assert_eq!(found(&db, &call("a")).await, None);
    asked(call("a"), make(&db, HALL, "thing:1")).await.unwrap();
    assert_eq!(made(&db).await, 1);
}

async fn a_call_may_make_several_changes(ground: &Ground) {
    let db = ground.with_gym().await;
    make_gym(&db, "shed").await;
    let several = async {
        make(&db, "shed", "thing:0").await?;
        make(&db, HALL, "thing:1").await?;
        make(&db, HALL, "thing:2").await
    };
    asked(call("a"), several).await.unwrap();
    assert_eq!(made(&db).await, 2);
    assert_eq!(found(&db, &call("a")).await, Some(Answer::Done { about: "thing:1".into() }));
}

async fn calls_at_once_are_made_once(ground: &Ground) {
    let hosts = [ground.with_gym().await, ground.open().await];
    let mut calls = tokio::task::JoinSet::new();
    for n in 0..10 {
        let db = hosts[n % 2].clone();
        calls.spawn(async move { asked(call("a"), make(&db, HALL, "thing:1")).await });
    }
    let mut done = 0;
    while let Some(call) = calls.join_next().await {
        match call.unwrap() {
            Ok(()) => done += 1,
            Err(DbError::Repeated { .. }) => {}
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!((done, made(&hosts[0]).await), (1, 1));
}

async fn an_answer_that_was_lost_is_known_to_be_done(ground: &Ground) {
    let db = ground.with_gym().await;
    asked(call("a"), make(&db, HALL, "thing:1")).await.unwrap();
    // The host goes down here, before the answer is kept.
    assert_eq!(found(&db, &call("a")).await, Some(Answer::Done { about: "thing:1".into() }));
}

async fn old_answers_are_swept(ground: &Ground) {
    let db = ground.with_gym().await;
    asked(call("a"), make(&db, HALL, "thing:1")).await.unwrap();
    sweep(&db, HALL, 60_000).await.unwrap();
    assert!(found(&db, &call("a")).await.is_some());
    sweep(&db, HALL, -1).await.unwrap();
    assert!(found(&db, &call("a")).await.is_none());
}
