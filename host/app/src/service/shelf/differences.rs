//! Where two JSON values differ: for what a newer component says of itself, and for the schema of its settings.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// One difference.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DifferenceDoc {
    /// Where: `version`, `properties.mild.default`.
    pub place: String,
    /// What is there now; absent where there is nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Value>,
    /// What would be there; absent where there would be nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Value>,
}

/// Every difference, in the order of the places; of what is there on one side only, the whole of it.
pub(super) fn differences(from: &Value, to: &Value) -> Vec<DifferenceDoc> {
    let mut found = Vec::new();
    compare("", Some(from), Some(to), &mut found);
    found
}

fn compare(place: &str, from: Option<&Value>, to: Option<&Value>, found: &mut Vec<DifferenceDoc>) {
    match (from, to) {
        (Some(Value::Object(from)), Some(Value::Object(to))) => {
            let mut keys: Vec<&String> = from.keys().chain(to.keys()).collect();
            keys.sort();
            keys.dedup();
            for key in keys {
                let place = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
                compare(&place, from.get(key), to.get(key), found);
            }
        }
        (from, to) if from == to => {}
        (from, to) => found.push(DifferenceDoc { place: place.to_owned(), from: from.cloned(), to: to.cloned() }),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_came_went_and_changed_is_found_and_nothing_else() {
        let from = json!({ "version": "1.0.0", "settings": { "a": 1, "b": [1], "c": true } });
        let to = json!({ "version": "1.1.0", "settings": { "a": 1, "b": [2], "d": null } });
        let found = differences(&from, &to);
        let places: Vec<_> = found.iter().map(|one| one.place.as_str()).collect();
        assert_eq!(places, ["settings.b", "settings.c", "settings.d", "version"]);
        assert_eq!(found[1], DifferenceDoc { place: "settings.c".into(), from: Some(json!(true)), to: None });
        assert_eq!((&found[2].from, &found[2].to), (&None, &Some(Value::Null)));
        assert_eq!(differences(&from, &from), []);
    }
}
