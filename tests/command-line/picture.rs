//! `classwright picture`: the plans of the demo week drawn, and what bad input gets.

use std::fs;

use serde_json::Value;

use crate::support::{Ran, classwright, json, top};

/// A plan of the demo week in a file of its own.
fn plan_file(folder: &tempfile::TempDir, day: &str) -> String {
    let ran = classwright(&["plan", "--gym", "demo-gym", "--class", day, "--json"]);
    assert_eq!(ran.code, 0, "{day}: {}", ran.err);
    let path = folder.path().join(format!("{day}.json"));
    fs::write(&path, ran.out).expect("written");
    path.to_str().expect("a plain path").to_owned()
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

#[test]
fn every_class_of_the_week_is_drawn_on_one_page() {
    let folder = folder();
    for day in ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday"] {
        let plan = plan_file(&folder, day);
        let read: Value = serde_json::from_str(&fs::read_to_string(&plan).expect("a plan")).expect("JSON");
        let bars = read["floor"]["bars"].as_array().expect("bars");
        let lifted = bars.iter().any(|bar| bar["uses"].as_array().is_some_and(|uses| !uses.is_empty()));
        for by in ["heat", "bar"] {
            let ran = classwright(&["picture", &plan, "--by", by, "--svg", "-"]);
            if by == "bar" && !lifted {
                assert_eq!((ran.code, ran.out.as_str()), (6, ""), "{day}");
                assert!(ran.err.contains("nobody uses a bar"), "{}", ran.err);
                continue;
            }
            assert_eq!(ran.code, 0, "{day} by {by}: {}", ran.err);
            assert!(ran.out.contains("viewBox=\"0 0 842 595\""), "{day} by {by} is longer than a page");
        }
    }
}

#[test]
fn the_text_names_every_heat_and_everybody_in_it() {
    let folder = folder();
    let plan = plan_file(&folder, "monday");
    let ran = classwright(&["picture", &plan]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 100), "{}", ran.out);
    let read: Value = serde_json::from_str(&fs::read_to_string(&plan).expect("a plan")).expect("JSON");
    for heat in read["floor"]["heats"].as_array().expect("heats") {
        assert!(ran.out.contains(&format!("Heat {}:", heat["heat"])), "{}", ran.out);
        for id in heat["athletes"].as_array().expect("athletes") {
            let card = read["cards"].as_array().expect("cards").iter().find(|card| card["athlete"] == *id);
            let name = card.and_then(|card| card["name"].as_str()).expect("a name");
            assert!(ran.out.replace("\n  ", " ").contains(name), "{name}");
        }
    }
    let ascii = classwright(&["picture", &plan, "--by", "bar", "--ascii", "--width", "40"]);
    assert!(ascii.out.is_ascii() && ascii.out.lines().all(|line| line.len() <= 40), "{}", ascii.out);
}

#[test]
fn the_document_is_what_the_schema_says() {
    let folder = folder();
    let plan = plan_file(&folder, "monday");
    let schema = json(&["schema", "picture"]);
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    for by in ["heat", "bar"] {
        let picture = json(&["picture", &plan, "--by", by, "--json"]);
        let errors: Vec<String> = schema.iter_errors(&picture).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
    assert!(!schema.is_valid(&json(&["schema", "plan"])));
}

#[test]
fn a_file_is_written_whole_in_place_of_the_old_one_or_not_at_all() {
    let folder = folder();
    let plan = plan_file(&folder, "monday");
    let file = folder.path().join("monday.svg");
    let path = file.to_str().expect("a plain path");
    let written = |ran: &Ran| {
        assert_eq!(ran.code, 0, "{}", ran.err);
        fs::read_to_string(&file).expect("a picture")
    };
    let first = written(&classwright(&["picture", &plan, "--svg", path]));
    fs::write(&file, "something else").expect("written");
    assert_eq!(written(&classwright(&["picture", &plan, "--svg", path])), first);
    let bad = folder.path().join("bad.json");
    fs::write(&bad, "{}").expect("written");
    let ran = classwright(&["picture", bad.to_str().expect("plain"), "--svg", path]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert_eq!(fs::read_to_string(&file).expect("a picture"), first);
    let ran = classwright(&["picture", &plan, "--svg", folder.path().join("no/such.svg").to_str().expect("plain")]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    let no = format!("there is no folder {}\n", folder.path().join("no").display());
    assert!(ran.err.ends_with(&no), "{}", ran.err);
    let ran = classwright(&["picture", &plan, "--svg", folder.path().to_str().expect("plain")]);
    assert!(ran.code == 3 && ran.err.contains("not a file"), "{}", ran.err);
}

#[test]
fn bad_input_has_its_message_and_exit_code() {
    let folder = folder();
    let plan = plan_file(&folder, "wednesday");
    let mut read: Value = serde_json::from_str(&fs::read_to_string(&plan).expect("a plan")).expect("JSON");
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("written");
        path.to_str().expect("a plain path").to_owned()
    };
    read["floor"]["heats"] = Value::Array(Vec::new());
    let unplanned = file("unplanned.json", &read.to_string());
    let not_json = file("session.md", &fs::read_to_string(top().join("demo-gym/sessions/monday.md")).expect("there"));
    let cases: [(&[&str], i32, &str); 7] = [
        (&["picture", &unplanned], 6, "no floor plan to draw"),
        (&["picture", &plan, "--by", "bar"], 6, "--by heat"),
        (&["picture", &not_json], 2, "classwright plan --json"),
        (&["picture", "no/such.json"], 3, "no/such.json"),
        (&["picture", &plan, "--width", "39"], 2, "40"),
        (&["picture", &plan, "--svg", "-", "--width", "80"], 2, "cannot be used with"),
        (&["picture"], 2, "Usage"),
    ];
    for (args, code, words) in cases {
        let ran = classwright(args);
        assert_eq!(ran.code, code, "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{args:?}");
    }
}
