//! The log: one call is one line, and no line holds anything of a person.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use classwright_web::Settings;
use serde_json::{Value, json};
use tracing::instrument::WithSubscriber;
use tracing_subscriber::fmt::MakeWriter;

use crate::call::Call;
use crate::hall::{Hall, PASSWORD};

/// Where lines go.
#[derive(Clone, Default)]
struct Lines(Arc<Mutex<Vec<u8>>>);

impl Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl<'a> MakeWriter<'a> for Lines {
    type Writer = Lines;

    fn make_writer(&'a self) -> Lines {
        self.clone()
    }
}

fn demo_gym() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")
}

/// Texts of the demo gym by name, without its policies.
fn files() -> serde_json::Map<String, Value> {
    let mut files = serde_json::Map::new();
    for folder in ["", "classes", "sessions", "movements"] {
        for entry in std::fs::read_dir(demo_gym().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(demo_gym()).unwrap().display().to_string();
            if path.is_file() && name != "README.md" && name != "shelf.toml" {
                files.insert(name, std::fs::read_to_string(&path).unwrap().into());
            }
        }
    }
    files
}

#[tokio::test]
async fn a_call_is_a_line_and_no_line_holds_anything_of_a_person() {
    let lines = Lines::default();
    let subscriber = tracing_subscriber::fmt()
        .json()
        .flatten_event(true)
        .with_max_level(tracing::Level::DEBUG)
        .with_writer(lines.clone())
        .finish();
    let roster = std::fs::read_to_string(demo_gym().join("roster.csv")).unwrap();
    let people: Vec<(String, String)> = roster
        .lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split(',').map(str::to_owned);
            (cells.next().unwrap(), cells.next().unwrap())
        })
        .collect();
    let calls = calls(&people).with_subscriber(subscriber).await;

    let text = String::from_utf8(lines.0.lock().unwrap().clone()).unwrap();
    let events: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let told: Vec<&Value> = events.iter().filter(|event| event["message"] == "call").collect();
    assert_eq!(told.len(), calls, "one call is one line");
    for event in &told {
        let names: BTreeSet<&str> = event.as_object().unwrap().keys().map(String::as_str).collect();
        let known = ["timestamp", "level", "message", "method", "route", "status", "ms", "request", "fault", "target"];
        assert!(names.iter().all(|name| known.contains(name)), "{event}");
    }
    assert!(told.iter().any(|event| event["route"] == "/v1/gyms/{gym}/athletes/{athlete}"));
    let mut secrets = vec![PASSWORD.to_owned(), "Bearer".into(), "203.0.113.9".into(), "rowan@".into()];
    secrets.extend(["Rowan Marlfield", "Quayside", "shoulder", "knee"].map(str::to_owned));
    for (id, name) in &people {
        secrets.extend([format!("/{id}"), format!("\"{id}\""), format!(":{id}"), name.clone()]);
        secrets.extend(name.split(' ').map(str::to_owned));
    }
    for secret in secrets {
        let line = text.lines().find(|line| line.contains(&secret));
        assert_eq!(line, None, "the log holds `{secret}`");
    }
}

/// Calls of all kinds, right ones and wrong ones; answers with how many.
async fn calls(people: &[(String, String)]) -> usize {
    let hall = Hall::empty(Settings::default()).await;
    let mut calls = 0;
    let import = Call::post("/v1/gyms/quayside/import").json(json!({ "files": files() }));
    import.of(&hall.inside).await.is(201);
    calls += 1;
    let (_, link) = hall.invite("quayside", "owner", "rowan@hall.example", None).await;
    Call::post(&link).form(&[("password", PASSWORD), ("again", PASSWORD)]).of(&hall.outside).await.is(200);
    let owner = hall.log_in("quayside", "rowan@hall.example").await;
    hall.try_login("quayside", "rowan@hall.example", "wrong wrong wrong").await.is(401);
    calls += 4;
    let base = "/v1/gyms/quayside";
    for (id, name) in people {
        let from = |call: Call| call.header("x-forwarded-for", "203.0.113.9");
        for path in [
            format!("{base}/athletes/{id}"),
            format!("{base}/athletes/{id}/limitations"),
            format!("{base}/athletes?after={id}&limit=1"),
            format!("{base}/nowhere/{id}"),
        ] {
            from(owner.get(&path)).of(&hall.outside).await;
            calls += 1;
        }
        let wrong = json!({ "id": id, "name": name, "column": "shoulder" });
        from(owner.signs(Call::post(&format!("{base}/athletes")).json(wrong))).of(&hall.outside).await.is(422);
        let foreign = format!("/v1/gyms/{id}/athletes/{id}");
        from(owner.get(&foreign)).of(&hall.outside).await.is(403);
        calls += 2;
    }
    let class = json!({ "athletes": [people[0].0] });
    owner.signs(Call::post(&format!("{base}/classes/monday/check-in")).json(class)).of(&hall.outside).await.is(200);
    hall.app.service().db().close().await;
    owner.get(&format!("{base}/athletes/{}", people[0].0)).of(&hall.outside).await.is(503);
    calls + 2
}
