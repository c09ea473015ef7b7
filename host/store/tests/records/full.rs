//! A gym in which every field of every record says something.

use classwright_store::record::GymRecords;
use serde_json::{Value, json};

pub(crate) fn full() -> GymRecords {
    serde_json::from_value(value()).expect("it is a gym's records")
}

fn value() -> Value {
    let rules = json!({
        "coach-span": 9,
        "max-heats": 3,
        "heats-start-every": "0:20",
        "plate-change": { "fixed": "12 s", "a-pair": "4" },
        "between-parts": "1:30",
        "effort": 2_000_000,
    });
    let kit = json!({
        "collars-counted": true,
        "collar": "2.5 kg",
        "collars": 6,
        "bar": [{
            "type": "bar-20", "name": "20 kg bar", "mass": "20 kg", "count": 3,
            "ids": ["red", "blue", "old"], "out-of-service": ["old"],
        }],
        "plate": [{ "mass": "10 kg", "pairs": 6, "out-of-service": 1 }],
        "kit": [
            { "kind": "kettlebell", "mass": "35 lb", "count": 5, "out-of-service": 2 },
            { "kind": "crate", "count": 4 },
            { "kind": "mat", "count": 12 },
        ],
    });
    json!({
        "name": "Hall \"by the \u{e9}cluse\", 2nd floor",
        "rules": rules.clone(),
        "kit-kinds": [{ "id": "crate", "name": "plank crate", "aliases": ["crates"] }],
        "movements": [{
            "id": "crate-lift", "name": "crate lift", "aliases": ["lift of the crate"],
            "patterns": ["hinge", "carry"], "demand": { "lower-back": 2, "knee": 1 },
            "kit": { "crate": 1 }, "load": "none", "sides": "both",
            "seconds": {
                "rep": [4.0, 2.5, 6.0], "metre": [1.5, 1.0, 2.0], "calorie": [3.0, 2.0, 4.0], "second": [1.0, 1.0, 1.0],
            },
            "skill": 2, "progressed-from": ["bodyweight-squat"], "regressed-to": ["bodyweight-squat"],
            "cues": ["Near the shins."], "faults": ["Far from the shins."],
        }],
        "floor-kit": kit.clone(),
        "homes": [{ "id": "loft", "kit": kit }],
        "athletes": [
            {
                "record": {
                    "id": "ann", "name": "Ann, of the loft", "column": 2, "skill": 4, "place": "loft", "bar": "bar-20",
                    "training-share": "90 %", "return-week": 3, "age": 44, "mass": "61.5 kg", "tags": ["new", "early bird"],
                },
                "bests": [
                    { "movement": "back squat", "load": "80 kg", "how": "tested" },
                    { "movement": "back squat", "load": "75 kg", "how": "5 reps by epley", "since": "2026-03-01" },
                ],
                "limitations": [
                    { "region": "knee", "side": "left", "severity": "mild", "since": "2026-01-05", "until": "2026-02-01" },
                    { "region": "neck", "severity": "severe" },
                ],
            },
            { "record": { "id": "bo", "name": "Bo", "column": 1, "skill": 1, "place": "floor" } },
            { "record": { "id": "cy", "name": "Cy", "column": 1, "skill": 2, "place": "floor" } },
        ],
        "sessions": { "one": "# One\n- length: 60 min\n\n## Preparation\n- 10 push-up\n" },
        "classes": [
            {
                "id": "early", "date": "2026-12-07", "time": "06:30", "zone": "Europe/London", "session": "one",
                "coach": "Dee", "present": ["ann", "bo", "cy"], "together": [["ann", "bo"]], "apart": [["bo", "cy"]],
                "floor": rules,
                "out-of-service": {
                    "bars": ["red"], "collars": 2, "plate": [{ "mass": "10 kg", "pairs": 2 }],
                    "kit": [{ "kind": "kettlebell", "mass": "35 lb", "count": 1 }],
                },
            },
            {
                "id": "late", "date": "2026-12-07", "time": "19:00", "zone": "UTC", "session": "one", "coach": "Dee",
                "absent": ["cy"],
            },
        ],
        "shelf": [
            {
                "file": "policies/a.wasm", "enabled": false,
                "settings": { "percent": 25, "share": 0.5, "names": ["a", "b"], "deep": { "yes": true } },
                "limits": { "fuel": 20_000_000_000_u64, "wall-ms": 20_000, "memory-mib": 64, "answer-mib": 8 },
            },
            { "file": "b.wasm", "settings": { "nothing": null, "large": u64::MAX } },
        ],
    })
}

/// Every property of the records' schema stands in that gym, so that a field that is added has to be added there too.
#[test]
fn every_field_says_something() {
    let schema = schemars::schema_for!(GymRecords).to_value();
    let mut missing = Vec::new();
    walk(&schema, &schema, &[&value()], "gym", &mut missing);
    assert!(missing.is_empty(), "{missing:?}");
}

/// The schema of a place against all values that stand there.
fn walk(root: &Value, schema: &Value, values: &[&Value], path: &str, missing: &mut Vec<String>) {
    if let Some(name) = schema["$ref"].as_str().and_then(|name| name.strip_prefix("#/$defs/")) {
        return walk(root, &root["$defs"][name], values, path, missing);
    }
    for schema in schema["anyOf"].as_array().into_iter().flatten().filter(|one| one["type"] != "null") {
        walk(root, schema, values, path, missing);
    }
    if let Some(items) = schema.get("items") {
        let items_of: Vec<&Value> = values.iter().filter_map(|value| value.as_array()).flatten().collect();
        walk(root, items, &items_of, path, missing);
    }
    for (key, schema) in schema["properties"].as_object().into_iter().flatten() {
        let path = format!("{path}.{key}");
        let there: Vec<&Value> = values.iter().filter_map(|value| value.get(key)).collect();
        if there.is_empty() {
            missing.push(path);
        } else {
            walk(root, schema, &there, &path, missing);
        }
    }
}
