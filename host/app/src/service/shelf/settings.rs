//! The owner's settings for a policy: held against its schema, and shown with the schema's own words.

use classwright_store::db::shelf;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::{Shelved, ShelvedDoc};
use crate::AppError;
use crate::service::{Service, Stored, Who};
use crate::shelf::settings_errors;

/// A schema may refer to itself; what is nested deeper than this is shown as a whole.
const DEEPEST: u32 = 6;

/// One thing that can be set.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SettingDoc {
    /// Where in the settings: `keep-count-within-percent`, `mild.load-percent`.
    pub name: String,
    /// What it does, in the policy's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub description: Option<String>,
    /// What the policy takes where nothing is set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub default: Option<Value>,
    /// What the owner has set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<Value>,
    /// What may be set: its JSON Schema.
    pub schema: Value,
}

/// A setting that the policy's schema refuses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SettingFaultDoc {
    /// Where in the settings; empty for the whole of them.
    pub place: String,
    /// What is wrong.
    pub problem: String,
}

impl Service {
    /// Sets a policy's settings, all of them. What its schema refuses is told with its place.
    pub async fn set_settings(
        &self,
        who: &Who,
        policy: &str,
        expected: Option<i64>,
        settings: &Map<String, Value>,
    ) -> Result<Stored<ShelvedDoc>, AppError> {
        let text = Value::Object(settings.clone()).to_string();
        let mut change = self.change(who).await?;
        let Shelved { about, .. } = super::entry(change.conn(), &who.gym, policy).await?;
        let entry = shelf::edit(&mut change, policy, expected, |entry| entry.settings = text).await?;
        super::must_hold(&entry.settings, &about.policy.settings_schema)?;
        change.note("policy.settings", &format!("policy:{policy}"), json!({ "settings": settings })).await?;
        change.commit().await?;
        Shelved { entry, about }.doc()
    }
}

/// Everything that a schema lets be set, with what is set.
pub(super) fn listed(schema: &Value, settings: &str) -> Vec<SettingDoc> {
    let set: Value = serde_json::from_str(settings).unwrap_or_default();
    let mut found = Vec::new();
    let own = Own { schema, default: schema.get("default"), set: Some(&set) };
    list(schema, &own, "", DEEPEST, &mut found);
    found
}

/// A setting, or the group of settings that an object is.
struct Own<'a> {
    schema: &'a Value,
    default: Option<&'a Value>,
    set: Option<&'a Value>,
}

fn list(root: &Value, group: &Own<'_>, path: &str, deeper: u32, found: &mut Vec<SettingDoc>) {
    let Some(properties) = resolved(root, group.schema).get("properties").and_then(Value::as_object) else { return };
    for (name, schema) in properties {
        let whole = resolved(root, schema);
        let said = |key: &str| schema.get(key).or_else(|| whole.get(key));
        let of = |value: Option<&'_ Value>| value.and_then(|value| value.get(name)).cloned();
        let (default, set) = (said("default").cloned().or_else(|| of(group.default)), of(group.set));
        let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
        if deeper > 0 && whole.get("properties").is_some() {
            let own = Own { schema: whole, default: default.as_ref(), set: set.as_ref() };
            list(root, &own, &path, deeper - 1, found);
            continue;
        }
        let description = said("description").and_then(Value::as_str).map(str::to_owned);
        found.push(SettingDoc { name: path, description, default, value: set, schema: whole.clone() });
    }
}

/// A schema, or the one that it refers to within the same document.
fn resolved<'a>(root: &'a Value, at: &'a Value) -> &'a Value {
    let target = at.get("$ref").and_then(Value::as_str).and_then(|path| path.strip_prefix('#'));
    target.and_then(|path| root.pointer(path)).unwrap_or(at)
}

/// What a schema says against settings.
pub(super) fn faults(settings: &str, schema: &Value) -> Vec<SettingFaultDoc> {
    let found = settings_errors(settings, &schema.to_string()).into_iter();
    let place = |place: String| place.trim_start_matches('.').to_owned();
    found.map(|(at, problem)| SettingFaultDoc { place: place(at), problem }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn schema() -> Value {
        json!({
            "$defs": { "How": { "type": "object", "properties": {
                "percent": { "type": "integer", "maximum": 100, "description": "How much is left." } } } },
            "type": "object",
            "properties": {
                "mild": { "$ref": "#/$defs/How", "default": { "percent": 90 } },
                "names": { "type": "array", "items": { "type": "string" }, "default": [] }
            },
            "additionalProperties": false
        })
    }

    #[test]
    fn settings_are_shown_with_the_words_and_defaults_of_the_schema() {
        let shown = listed(&schema(), r#"{"mild":{"percent":70}}"#);
        let rows: Vec<_> = shown.iter().map(|one| (one.name.as_str(), &one.default, &one.value)).collect();
        assert_eq!(rows, [("mild.percent", &Some(json!(90)), &Some(json!(70))), ("names", &Some(json!([])), &None),]);
        assert_eq!(shown[0].description.as_deref(), Some("How much is left."));
    }

    #[test]
    fn a_schema_that_refers_to_itself_ends() {
        let schema = json!({ "properties": { "again": { "$ref": "#" }, "n": { "type": "integer" } } });
        let shown = listed(&schema, "{}");
        assert_eq!(shown.iter().filter(|one| one.name.ends_with('n')).count(), DEEPEST as usize + 2);
    }

    #[test]
    fn what_a_schema_refuses_has_its_place() {
        let found = faults(r#"{"mild":{"percent":170},"other":1}"#, &schema());
        let places: Vec<_> = found.iter().map(|fault| fault.place.as_str()).collect();
        assert!(places.contains(&"mild.percent") && places.contains(&""), "{found:?}");
        assert!(found.iter().any(|fault| fault.problem.contains("other")), "{found:?}");
        assert_eq!(faults("{}", &schema()), []);
    }
}
