//! The editable records of a gym through the API: each route's good way, and what it says where something is not as
//! asked.

mod classes;
mod kit;
mod people;
mod sessions;

use serde_json::{Value, json};

use crate::call::{Call, Reply};
use crate::hall::Hall;

/// A session that the gym of these tests can read.
const LIFT: &str = "# Lift\n- length: 60 min\n\n## Strength: 5 sets, rest 2:00\n- 5 back squat @ 60 kg\n";

fn path(rest: &str) -> String {
    format!("/v1/gyms/hall/{rest}")
}

impl Hall {
    async fn look(&self, rest: &str) -> Reply {
        Call::get(&path(rest)).of(&self.inside).await
    }

    async fn make(&self, rest: &str, body: Value) -> Reply {
        Call::post(&path(rest)).json(body).of(&self.inside).await
    }

    async fn set(&self, rest: &str, revision: &str, body: Value) -> Reply {
        Call::new("PUT", &path(rest)).header("if-match", revision).json(body).of(&self.inside).await
    }

    async fn remove(&self, rest: &str, revision: &str) -> Reply {
        Call::new("DELETE", &path(rest)).header("if-match", revision).of(&self.inside).await
    }

    /// Everything in a list, read page by page.
    async fn whole_list(&self, rest: &str, at_once: usize) -> Vec<Value> {
        let mut items = Vec::new();
        let mut after = String::new();
        let start =
            if rest.contains('?') { format!("{rest}&limit={at_once}") } else { format!("{rest}?limit={at_once}") };
        loop {
            let page = self.look(&format!("{start}{after}")).await.is(200).json();
            let found = page["items"].as_array().unwrap();
            assert!(found.len() <= at_once);
            items.extend(found.iter().cloned());
            match page["next"].as_str() {
                Some(next) => after = format!("&after={}", escaped(next)),
                None => return items,
            }
        }
    }

    async fn add_lift(&self) {
        self.make("sessions", json!({ "id": "lift", "text": LIFT })).await.is(201);
    }
}

/// A text as it stands in a query.
fn escaped(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

/// Fields of the faults of a problem, in its order.
fn fields(problem: &Value) -> Vec<&str> {
    let faults = problem["faults"].as_array().unwrap_or_else(|| panic!("no faults: {problem}"));
    faults.iter().map(|fault| fault["field"].as_str().unwrap_or_default()).collect()
}

/// An edit of something is refused without a revision, and with another than it is at.
async fn is_held(hall: &Hall, rest: &str, body: &Value) {
    for method in ["PUT", "DELETE"] {
        let call = || Call::new(method, &path(rest)).json(body.clone());
        assert_eq!(call().of(&hall.inside).await.is(428).problem(), "revision-needed", "{method} {rest}");
        let stale = call().header("if-match", "\"77\"").of(&hall.inside).await.is(412);
        assert_eq!(stale.problem(), "stale", "{method} {rest}");
        assert!(stale.json()["revision"].is_i64(), "{method} {rest}: {}", stale.text());
    }
}
