//! What happens in a class, for whoever watches it.
//!
//! Athletes see what concerns all, as far as it names nobody, and what concerns themselves.

use classwright_store::db::{DbError, classes, events};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{Role, Service, Who};
use crate::AppError;

/// Kinds that concern all who come, and what athletes see of them: nothing else in them is for others.
const FOR_ALL: [(&str, &[&str]); 2] = [("planned", &["plan"]), ("class-changed", &["revision"])];

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct EventDoc {
    /// Its number: later ones have greater ones.
    pub n: i64,
    /// What, such as `planned` or `checked-in`.
    pub kind: String,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// More, by the kind.
    pub body: Map<String, Value>,
}

/// What happened behind an event.
#[derive(Clone, Debug, PartialEq)]
pub struct News {
    /// As far as whoever asks sees it, oldest first.
    pub events: Vec<EventDoc>,
    /// The number up to which everything was looked at.
    pub up_to: i64,
    /// Whether there is more already.
    pub more: bool,
}

impl Service {
    /// The number of the newest event of a class; 0 where nothing has happened yet.
    pub async fn newest_event(&self, who: &Who, class: &str) -> Result<i64, AppError> {
        let mut conn = self.db().read().await?;
        classes::get(&mut conn, &who.gym, class).await?;
        Ok(events::newest(&mut conn, &who.gym, class).await?)
    }

    /// What happened in a class behind an event.
    pub async fn news(&self, who: &Who, class: &str, after: i64, limit: usize) -> Result<News, AppError> {
        let mut conn = self.db().read().await?;
        let found = events::after(&mut conn, &who.gym, class, after, limit as i64).await?;
        let up_to = found.last().map_or(after, |event| event.n);
        let more = found.len() == limit;
        let mut shown = Vec::new();
        for event in found {
            let body: Map<String, Value> = serde_json::from_str(&event.body)
                .map_err(|error| DbError::Damaged(format!("event {}: {error}", event.n)))?;
            if let Some(body) = seen(who, &event.kind, body) {
                shown.push(EventDoc { n: event.n, kind: event.kind, at: event.at, body });
            }
        }
        Ok(News { events: shown, up_to, more })
    }
}

/// What somebody sees of an event, if anything.
fn seen(who: &Who, kind: &str, mut body: Map<String, Value>) -> Option<Map<String, Value>> {
    if who.role != Role::Athlete {
        return Some(body);
    }
    if let Some((_, open)) = FOR_ALL.iter().find(|(all, _)| *all == kind) {
        body.retain(|name, _| open.contains(&name.as_str()));
        return Some(body);
    }
    let own = who.athlete.as_deref()?;
    (body.get("athlete").and_then(Value::as_str) == Some(own)).then_some(body)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn an_athlete_sees_what_is_theirs_and_what_names_nobody() {
        let ama = Who { gym: "hall".into(), id: "u1".into(), role: Role::Athlete, athlete: Some("ama".into()) };
        let coach = Who { role: Role::Coach, athlete: None, ..ama.clone() };
        let map = |value: Value| value.as_object().unwrap().clone();
        let see = |who: &Who, kind: &str, value: Value| seen(who, kind, map(value)).map(Value::Object);
        let checked = json!({ "athlete": "bram" });
        assert_eq!(see(&coach, "checked-in", checked.clone()), Some(checked.clone()));
        assert_eq!(see(&ama, "checked-in", checked), None);
        assert_eq!(see(&ama, "checked-in", json!({ "athlete": "ama" })), Some(json!({ "athlete": "ama" })));
        let planned = json!({ "plan": "monday-1", "parent": null, "finish-s": 3000 });
        assert_eq!(see(&ama, "planned", planned), Some(json!({ "plan": "monday-1" })));
        assert_eq!(see(&ama, "policy-set-aside", json!({ "policy": "house" })), None);
        let nobody = Who { athlete: None, ..ama };
        assert_eq!(see(&nobody, "checked-in", json!({})), None);
    }
}
