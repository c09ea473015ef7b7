//! Gyms, and who may come in: users, links, logins, tokens.

use classwright_store::db::links::{Link, Purpose};
use classwright_store::db::users::UserChange;
use classwright_store::db::{DbError, digest, gyms, ledger, links, logins, now_ms, tokens, users};
use serde_json::json;

use crate::hall::{Ground, HALL, make_gym, make_user, on_both};

on_both!(
    a_gym_is_made_once_and_changed,
    gyms_are_listed_in_order,
    a_user_is_made_found_and_changed,
    a_gym_keeps_an_owner,
    wrong_passwords_lock_for_a_while,
    a_link_works_once_and_in_time,
    a_login_holds_until_it_ends,
    a_token_works_until_it_is_taken_back,
    accounts_of_another_gym_are_not_seen,
);

async fn a_gym_is_made_once_and_changed(ground: &Ground) {
    let db = ground.with_gym().await;
    let gym = gyms::get(&mut db.read().await.unwrap(), HALL).await.unwrap();
    assert_eq!((gym.name.as_str(), gym.revision, gym.world), ("The hall", 1, 1));
    assert_eq!((gym.rules, gym.kit_kinds), (json!({ "watch": 20 }), json!([])));

    let mut w = db.write(HALL, "console").await.unwrap();
    let again = gyms::make(&mut w, "Again", &json!({}), &json!([])).await;
    assert!(matches!(again, Err(DbError::Exists { what: "gym", .. })), "{again:?}");
    drop(w);

    let mut w = db.write(HALL, "owner").await.unwrap();
    let rules = json!({ "watch": 12 });
    let change = gyms::GymChange { rules: Some(&rules), ..Default::default() };
    assert_eq!(gyms::change(&mut w, &change, Some(1)).await.unwrap(), 2);
    w.commit().await.unwrap();
    let mut w = db.write(HALL, "owner").await.unwrap();
    let stale = gyms::change(&mut w, &change, Some(1)).await;
    assert!(matches!(stale, Err(DbError::Stale { now: 2, .. })), "{stale:?}");
    drop(w);
    let mut conn = db.read().await.unwrap();
    let gym = gyms::get(&mut conn, HALL).await.unwrap();
    assert_eq!((gym.name.as_str(), gym.rules, gym.world), ("The hall", rules, 2));
    assert_eq!(gyms::world(&mut conn, HALL).await.unwrap(), 2);
    assert!(matches!(gyms::get(&mut conn, "shed").await, Err(DbError::Missing { what: "gym", .. })));
}

async fn gyms_are_listed_in_order(ground: &Ground) {
    let db = ground.open().await;
    // Byte by byte, whatever a server's language would have.
    for gym in ["b", "a-c", "ab", "a"] {
        make_gym(&db, gym).await;
    }
    let mut conn = db.read().await.unwrap();
    assert_eq!(gyms::ids(&mut conn).await.unwrap(), ["a", "a-c", "ab", "b"]);
    let page = gyms::list(&mut conn, "a", 2).await.unwrap();
    assert_eq!(page.iter().map(|gym| gym.gym.as_str()).collect::<Vec<_>>(), ["a-c", "ab"]);
}

async fn a_user_is_made_found_and_changed(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    make_user(&mut w, "u2", "coach").await;
    w.commit().await.unwrap();

    let mut w = db.write(HALL, "u1").await.unwrap();
    let taken = UserChange { login: Some("u1@example.org"), ..Default::default() };
    let twice = users::change(&mut w, "u2", &taken, None).await;
    assert!(matches!(twice, Err(DbError::Exists { what: "login", .. })), "{twice:?}");
    let login = UserChange { login: Some("two@example.org"), name: Some("Two"), ..Default::default() };
    assert_eq!(users::change(&mut w, "u2", &login, Some(1)).await.unwrap(), 2);
    let new = users::NewUser { user: "u3", name: "Three", login: "two@example.org", role: "coach", athlete: None };
    assert!(matches!(users::make(&mut w, &new).await, Err(DbError::Exists { what: "login", .. })));
    w.commit().await.unwrap();

    let mut conn = db.read().await.unwrap();
    let two = users::by_login(&mut conn, HALL, "two@example.org").await.unwrap().unwrap();
    assert_eq!((two.user.as_str(), two.name.as_str(), two.role.as_str(), two.revision), ("u2", "Two", "coach", 2));
    assert_eq!(users::by_login(&mut conn, HALL, "u2@example.org").await.unwrap(), None);
    assert_eq!(users::list(&mut conn, HALL, "u1", 10).await.unwrap(), [two]);
}

async fn a_gym_keeps_an_owner(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    make_user(&mut w, "u2", "owner").await;
    w.commit().await.unwrap();
    let out = UserChange { disabled: Some(true), ..Default::default() };
    let mut w = db.write(HALL, "u1").await.unwrap();
    users::change(&mut w, "u2", &out, None).await.unwrap();
    w.commit().await.unwrap();
    let coach = UserChange { role: Some("coach"), ..Default::default() };
    for change in [out, coach] {
        let mut w = db.write(HALL, "u1").await.unwrap();
        let last = users::change(&mut w, "u1", &change, None).await;
        assert!(matches!(last, Err(DbError::Needed { what: "owner", .. })), "{last:?}");
    }
    let mut conn = db.read().await.unwrap();
    assert_eq!(users::owners(&mut conn, HALL).await.unwrap(), 1);
    assert_eq!(users::get(&mut conn, HALL, "u1").await.unwrap().role, "owner");
}

async fn wrong_passwords_lock_for_a_while(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    users::set_password(&mut w, "u1", "$argon2id$first").await.unwrap();
    assert_eq!(users::wrong_password(&mut w, "u1", 3, 60_000).await.unwrap(), None);
    assert_eq!(users::wrong_password(&mut w, "u1", 3, 60_000).await.unwrap(), None);
    let until = users::wrong_password(&mut w, "u1", 3, 60_000).await.unwrap();
    assert_eq!(until, Some(w.at() + 60_000));
    w.commit().await.unwrap();
    let locked = users::get(&mut db.read().await.unwrap(), HALL, "u1").await.unwrap();
    assert_eq!((locked.failed, locked.locked_until, locked.password.as_deref()), (3, until, Some("$argon2id$first")));

    let mut w = db.write(HALL, "u1").await.unwrap();
    users::right_password(&mut w, "u1").await.unwrap();
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    let free = users::get(&mut conn, HALL, "u1").await.unwrap();
    assert_eq!((free.failed, free.locked_until), (0, None));
    let entries = ledger::list(&mut conn, HALL, 0, 100).await.unwrap();
    let noted: Vec<_> = entries.iter().map(|entry| entry.what.as_str()).collect();
    assert_eq!(noted, ["gym.made", "user.made", "user.password-set", "user.locked"]);
    assert!(entries.iter().all(|entry| !entry.detail.contains("argon2")));
}

async fn a_link_works_once_and_in_time(ground: &Ground) {
    let db = ground.open().await;
    let first = Link { purpose: Purpose::FirstGym, user: None, expires_at: now_ms() + 60_000 };
    let late = Link { purpose: Purpose::FirstGym, user: None, expires_at: now_ms() - 1 };
    for (secret, link) in [("late", &late), ("replaced", &first), ("first", &first)] {
        let mut w = db.write("", "console").await.unwrap();
        links::make(&mut w, &digest(secret), link).await.unwrap();
        w.commit().await.unwrap();
    }
    let find =
        async |secret: &str| links::find(&mut db.read().await.unwrap(), "", &digest(secret), now_ms()).await.unwrap();
    assert_eq!((find("late").await, find("replaced").await), (None, None));
    assert_eq!(find("first").await.as_ref(), Some(&first));

    // A change that does not happen does not use it up.
    for happens in [false, true] {
        let mut w = db.write(HALL, "console").await.unwrap();
        gyms::make(&mut w, "The hall", &json!({}), &json!([])).await.unwrap();
        assert_eq!(links::use_up(&mut w, "", &digest("first")).await.unwrap(), first);
        if happens {
            w.commit().await.unwrap();
        }
    }
    let mut w = db.write(HALL, "console").await.unwrap();
    let again = links::use_up(&mut w, "", &digest("first")).await;
    assert!(matches!(again, Err(DbError::Missing { what: "link", .. })), "{again:?}");
}

async fn a_login_holds_until_it_ends(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    make_user(&mut w, "u2", "coach").await;
    let expires_at = w.at() + 1_000;
    for (cookie, user) in [("a", "u1"), ("b", "u1"), ("c", "u2")] {
        let new = logins::NewLogin { digest: &digest(cookie), user, csrf: "form", expires_at };
        logins::make(&mut w, &new).await.unwrap();
    }
    w.commit().await.unwrap();
    let find = async |cookie: &str, now: i64| {
        logins::find(&mut db.read().await.unwrap(), HALL, &digest(cookie), now).await.unwrap()
    };
    let login = find("a", expires_at - 1).await.unwrap();
    assert_eq!((login.user.user.as_str(), login.user.role.as_str(), login.csrf.as_str()), ("u1", "owner", "form"));
    assert_eq!(find("a", expires_at).await, None);
    assert_eq!(
        logins::find(&mut db.read().await.unwrap(), HALL, "a", 0).await.unwrap(),
        None,
        "the secret is not kept"
    );

    let mut w = db.write(HALL, "u1").await.unwrap();
    logins::end(&mut w, &digest("a")).await.unwrap();
    users::change(&mut w, "u2", &UserChange { disabled: Some(true), ..Default::default() }, None).await.unwrap();
    w.commit().await.unwrap();
    assert!(find("a", 0).await.is_none() && find("b", 0).await.is_some() && find("c", 0).await.is_none());
    let mut w = db.write(HALL, "u1").await.unwrap();
    users::set_password(&mut w, "u1", "$argon2id$new").await.unwrap();
    w.commit().await.unwrap();
    assert_eq!(find("b", 0).await, None, "a new password ends what was begun with the old one");
}

async fn a_token_works_until_it_is_taken_back(ground: &Ground) {
    let db = ground.with_gym().await;
    let mut w = db.write(HALL, "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    make_user(&mut w, "u2", "coach").await;
    let (scopes, expires_at) = (["read".to_owned(), "plan".to_owned()], w.at() + 1_000);
    for (token, user) in [("t1", "u1"), ("t2", "u2"), ("t3", "u1")] {
        let new =
            tokens::NewToken { token, digest: &digest(token), user, name: "the board", scopes: &scopes, expires_at };
        tokens::make(&mut w, &new).await.unwrap();
    }
    w.commit().await.unwrap();
    let find = async |secret: &str, now: i64| {
        tokens::find(&mut db.read().await.unwrap(), HALL, &digest(secret), now).await.unwrap()
    };
    let (token, user) = find("t1", expires_at - 1).await.unwrap();
    assert_eq!((token.token.as_str(), token.scopes.as_slice(), user.role.as_str()), ("t1", &scopes[..], "owner"));
    assert!(find("t1", expires_at).await.is_none() && find("t4", 0).await.is_none());

    let mut w = db.write(HALL, "u1").await.unwrap();
    tokens::revoke(&mut w, "t1").await.unwrap();
    tokens::revoke(&mut w, "t1").await.unwrap();
    let none = tokens::revoke(&mut w, "t4").await;
    assert!(matches!(none, Err(DbError::Missing { what: "token", .. })), "{none:?}");
    users::change(&mut w, "u2", &UserChange { disabled: Some(true), ..Default::default() }, None).await.unwrap();
    w.commit().await.unwrap();
    assert!(find("t1", 0).await.is_none() && find("t2", 0).await.is_none() && find("t3", 0).await.is_some());

    let mut conn = db.read().await.unwrap();
    let ids = |tokens: Vec<tokens::Token>| tokens.into_iter().map(|token| token.token).collect::<Vec<_>>();
    assert_eq!(ids(tokens::list(&mut conn, HALL, "", "t1", 10).await.unwrap()), ["t2", "t3"]);
    assert_eq!(ids(tokens::list(&mut conn, HALL, "u1", "", 10).await.unwrap()), ["t1", "t3"]);
    assert!(tokens::get(&mut conn, HALL, "t1").await.unwrap().revoked_at.is_some());
    let entries = ledger::list(&mut conn, HALL, 0, 100).await.unwrap();
    assert_eq!(entries.iter().filter(|entry| entry.what == "token.revoked").count(), 1);
}

async fn accounts_of_another_gym_are_not_seen(ground: &Ground) {
    let db = ground.with_gym().await;
    make_gym(&db, "shed").await;
    let mut w = db.write("shed", "console").await.unwrap();
    make_user(&mut w, "u1", "owner").await;
    let expires_at = w.at() + 1_000;
    logins::make(&mut w, &logins::NewLogin { digest: &digest("a"), user: "u1", csrf: "", expires_at }).await.unwrap();
    let new = tokens::NewToken { token: "t1", digest: &digest("t"), user: "u1", name: "", scopes: &[], expires_at };
    tokens::make(&mut w, &new).await.unwrap();
    w.commit().await.unwrap();
    let mut conn = db.read().await.unwrap();
    assert!(logins::find(&mut conn, HALL, &digest("a"), 0).await.unwrap().is_none());
    assert!(tokens::find(&mut conn, HALL, &digest("t"), 0).await.unwrap().is_none());
    assert!(users::by_login(&mut conn, HALL, "u1@example.org").await.unwrap().is_none());
    assert!(matches!(users::get(&mut conn, HALL, "u1").await, Err(DbError::Missing { .. })));
    assert!(logins::find(&mut conn, "shed", &digest("a"), 0).await.unwrap().is_some());
}
