//! Erasing an athlete: afterwards neither their id nor their name stands in any table.

use std::collections::BTreeMap;

use classwright_store::db::attendance::{Checked, check};
use classwright_store::db::{
    DbError, Place, athletes, bests, classes, digest, erase, kits, ledger, limitations, overrides, plans, sessions,
    users,
};
use classwright_store::record::{AthleteRecord, BestRecord, KitRecord, LimitationRecord};
use serde_json::json;
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Row};

use crate::hall::{Ground, HALL, on_both};
use crate::people::{add, athlete};

on_both!(an_erased_athlete_stands_nowhere, a_coach_who_trained_keeps_the_login, texts_that_name_them_are_told);

const ID: &str = "quillon";
const NAME: &str = "Quillon Västerdahl";

/// Every row of every table, as text.
async fn dump(ground: &Ground) -> Vec<String> {
    let (url, tables, row) = match &ground.place {
        Place::File(path) => (
            format!("sqlite://{}", path.display()),
            "SELECT name FROM sqlite_master WHERE type = 'table'",
            "(SELECT group_concat('quote(\"' || name || '\")', ' || '' '' || ') FROM pragma_table_info('{}'))",
        ),
        Place::Server(url) => (
            url.clone(),
            "SELECT CAST(tablename AS TEXT) FROM pg_tables WHERE schemaname = 'public'",
            "(SELECT CAST('CAST({} AS TEXT)' AS TEXT))",
        ),
    };
    let mut conn = AnyConnection::connect(&url).await.unwrap();
    let tables = sqlx::query(tables).fetch_all(&mut conn).await.unwrap();
    let mut found = Vec::new();
    for table in tables.iter().map(|row| row.get::<String, _>(0)) {
        let row = sqlx::query(AssertSqlSafe(format!("SELECT {}", row.replace("{}", &table))));
        let row: String = row.fetch_one(&mut conn).await.unwrap().get(0);
        let rows = sqlx::query(AssertSqlSafe(format!("SELECT {row} FROM {table}"))).fetch_all(&mut conn).await.unwrap();
        found.extend(rows.iter().map(|row| format!("{table}: {}", row.get::<String, _>(0))));
    }
    conn.close().await.unwrap();
    found
}

fn speaking(rows: &[String]) -> Vec<&String> {
    rows.iter().filter(|row| row.contains(ID) || row.contains(NAME) || row.contains("Quillon")).collect()
}

fn quillon() -> AthleteRecord {
    AthleteRecord { name: NAME.into(), place: "quillons-yard".into(), mass: Some("81 kg".into()), ..athlete(ID) }
}

async fn an_erased_athlete_stands_nowhere(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["bram"]).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    kits::insert(&mut w, "quillons-yard", &KitRecord::default()).await.unwrap();
    athletes::insert(&mut w, &quillon()).await.unwrap();
    let called = athletes::ledger_name(w.conn(), HALL, ID).await.unwrap();
    w.note("athlete.added", &format!("athlete:{called}"), json!({})).await.unwrap();
    let best = BestRecord { movement: "clean".into(), load: "71 kg".into(), how: "tested".into(), since: None };
    bests::add(&mut w, ID, &best).await.unwrap();
    let sore = LimitationRecord { region: "hip".into(), severity: "mild".into(), ..LimitationRecord::default() };
    limitations::add(&mut w, ID, &sore).await.unwrap();
    let user =
        users::NewUser { user: "u7", name: NAME, login: "quillon@example.org", role: "athlete", athlete: Some(ID) };
    users::make(&mut w, &user).await.unwrap();
    w.commit().await.unwrap();
    crate::classes::monday(&db, |class| {
        class.present = Some(vec!["bram".into(), ID.into()]);
        class.together = vec![["bram".into(), ID.into()]];
    })
    .await;

    let mut w = db.write(HALL, "u1").await.unwrap();
    check(&mut w, "monday", ID, Some(Checked::In)).await.unwrap();
    w.tell("monday", "checked-in", &json!({ "athlete": ID })).await.unwrap();
    let card = format!(r#"{{"athlete":"{ID}","name":"{NAME}","items":[{{"text":"9 pull-up"}}]}}"#);
    let body = format!(
        r#"{{"cards":[{card},{{"athlete":"bram","name":"Bram"}}],"cautions":[{{"text":"{NAME} ({ID}) is in two classes"}}]}}"#
    );
    let texts = BTreeMap::from([
        ("d1".to_owned(), format!("id,name\n{ID},{NAME}\nbram,Bram\n")),
        ("d2".to_owned(), "collars-counted = false\n".to_owned()),
    ]);
    let new = plans::New {
        class: "monday",
        parent: None,
        body: &body,
        inputs: r#"{"files":{"roster.csv":"d1","kit.toml":"d2"}}"#,
        texts: &texts,
        components: &[],
        cards: &[(ID.to_owned(), card.clone()), ("bram".to_owned(), r#"{"athlete":"bram"}"#.to_owned())],
    };
    let plan = plans::insert(&mut w, &new).await.unwrap();
    let without = plans::New {
        inputs: r#"{"files":{"kit.toml":"d2"}}"#,
        body: r#"{"cards":[{"athlete":"bram"}]}"#,
        cards: &[],
        ..new.clone()
    };
    let other = plans::insert(&mut w, &without).await.unwrap();
    overrides::insert(&mut w, "monday", ID, &json!({ "athlete": ID, "why": format!("{NAME} asked") })).await.unwrap();
    sqlx::query(
        r#"INSERT INTO answers (gym, who, "key", request, status, body, at) VALUES ($1, 'u1', 'k', 'r', 201, $2, 1)"#,
    )
    .bind(HALL)
    .bind(json!({ "value": quillon() }).to_string())
    .execute(w.conn())
    .await
    .unwrap();
    w.commit().await.unwrap();
    assert!(speaking(&dump(ground).await).len() >= 12, "the search finds what is there");

    let mut w = db.write(HALL, "u1").await.unwrap();
    let stale = erase::athlete(&mut w, ID, Some(1)).await.unwrap_err();
    assert!(matches!(stale, DbError::Stale { now: 3, .. }), "{stale}");
    let erased = erase::athlete(&mut w, ID, Some(3)).await.unwrap();
    w.note("athlete.erased", &format!("athlete:{called}"), json!({ "stands": erased.stands })).await.unwrap();
    w.commit().await.unwrap();
    assert_eq!(erased.stands, "erased-1");
    assert_eq!(erased.plans_without_inputs, [plan.as_str()]);
    assert_eq!(erased.still_named, Vec::<String>::new());

    let rows = dump(ground).await;
    assert_eq!(speaking(&rows), Vec::<&String>::new());
    for personal in ["71 kg", "81 kg", "hip", "example.org"] {
        assert!(!rows.iter().any(|row| row.contains(personal)), "{personal} is still there");
    }
    let mut conn = db.read().await.unwrap();
    let now = body.replace(&format!("{NAME} ({ID})"), "Former athlete (erased-1)");
    let now = now.replace(&format!("\"{ID}\""), "\"erased-1\"").replace(NAME, "Former athlete");
    assert_eq!(plans::body(&mut conn, HALL, &plan).await.unwrap(), now);
    assert_eq!(plans::inputs(&mut conn, HALL, &plan).await.unwrap(), "null");
    assert_eq!(plans::inputs(&mut conn, HALL, &other).await.unwrap(), without.inputs);
    assert_eq!(plans::head(&mut conn, HALL, &plan).await.unwrap().digest, digest(&now));
    assert!(rows.iter().any(|row| row.starts_with("cards") && row.contains("erased-1")), "{rows:?}");
    let class = classes::get(&mut conn, HALL, "monday").await.unwrap().value.record;
    assert_eq!((class.present, class.together), (Some(vec!["bram".to_owned()]), vec![]));
    let seen = classwright_store::db::attendance::list(&mut conn, HALL, "monday").await.unwrap();
    assert!(seen.iter().any(|one| one.athlete == "erased-1" && one.checked.is_some()));
    assert!(athletes::find(&mut conn, HALL, "erased-1").await.unwrap().is_none(), "nobody is planned with again");
    assert_eq!(athletes::all(&mut conn, HALL).await.unwrap().len(), 1);
    assert_eq!(ledger::verify(&mut conn, HALL).await.unwrap(), None);
    let told = ledger::list(&mut conn, HALL, 0, 99).await.unwrap();
    let told: Vec<_> = told.iter().filter(|entry| entry.about.ends_with(&called)).map(|entry| &entry.what).collect();
    assert_eq!(told, ["athlete.added", "athlete.erased"]);
    drop(conn);

    db.close().await;
    if let Place::File(path) = &ground.place {
        let bytes = std::fs::read(path).unwrap();
        assert!(!bytes.windows(ID.len()).any(|found| found == ID.as_bytes()), "the file still holds what was erased");
    }
}

async fn a_coach_who_trained_keeps_the_login(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["erased-1", "thea"]).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    let user = users::NewUser { user: "u3", name: "T.", login: "t@example.org", role: "coach", athlete: Some("thea") };
    users::make(&mut w, &user).await.unwrap();
    let erased = erase::athlete(&mut w, "thea", None).await.unwrap();
    assert_eq!(erased.stands, "erased-2", "an id that somebody has is not given twice");
    let user = users::get(w.conn(), HALL, "u3").await.unwrap();
    assert_eq!((user.athlete, user.role.as_str()), (None, "coach"));
    let again = erase::athlete(&mut w, "erased-2", None).await.unwrap_err();
    assert!(matches!(again, DbError::Missing { .. }), "{again}");
}

async fn texts_that_name_them_are_told(ground: &Ground) {
    let db = ground.with_gym().await;
    add(&db, &["bram"]).await;
    let mut w = db.write(HALL, "u1").await.unwrap();
    athletes::insert(&mut w, &AthleteRecord { place: "floor".into(), ..quillon() }).await.unwrap();
    sessions::insert(&mut w, "x", "X", &format!("# X\n\nFor {NAME}.\n")).await.unwrap();
    sessions::insert(&mut w, "y", "Y", "# Y\n").await.unwrap();
    let erased = erase::athlete(&mut w, ID, None).await.unwrap();
    assert_eq!(erased.still_named, ["session `x`"]);
}
