//! `classwright heats solve`: floors in files of their own, held against `check.py`, and what bad input gets.

use std::process::Command;

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::support::{Ran, classwright, top};

const FLOOR: &str = "tests/data/heats/c08a.json";
const REFERENCE: &str = "tests/data/heats/c08a.ref.json";

fn read(file: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(top().join(file)).expect("it is there")).expect("JSON")
}

/// Two athletes with two bouts each, one bar.
fn small() -> Value {
    let bout = |bar: Value, kit: Value| json!({ "dur": 60, "rest_min": 30, "rest_max": null, "bar": bar, "use": kit });
    let bouts = |config: Value| {
        json!([
            bout(json!({ "type": 20, "load": 60, "config": config }), json!({})),
            bout(Value::Null, json!({ "rower": 1 }))
        ])
    };
    json!({
        "format": "heats-1", "name": "small", "coach_limit": 2, "max_heats": 2, "setup_fixed_s": 5, "setup_pair_s": 6,
        "resources": { "rower": 1 }, "bars": [{ "id": "b1", "type": 20 }], "plates": { "20": 2, "2.5": 2 },
        "athletes": [
            { "id": "ama", "ready": 0, "bouts": bouts(json!([20])) },
            { "id": "bo", "ready": 0, "bouts": bouts(json!([20, 2.5])) },
        ],
    })
}

struct Files(TempDir);

impl Files {
    fn new() -> Self {
        Files(tempfile::tempdir().expect("a folder"))
    }

    fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        let path = self.0.path().join(name);
        std::fs::write(&path, bytes).expect("written");
        path.to_str().expect("plain").to_owned()
    }
}

fn check(floor: &str, answer: &str, previous: Option<&str>) -> Value {
    let output = Command::new("python3")
        .arg(top().join("tests/data/heats/check.py"))
        .args([Some(floor), Some(answer), previous].into_iter().flatten())
        .current_dir(top())
        .output()
        .expect("python3 runs");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_str(&said).expect("JSON")
}

/// Solves a floor made of [`small`] that is not right.
fn refused(change: impl FnOnce(&mut Value)) -> Ran {
    let (files, mut floor) = (Files::new(), small());
    change(&mut floor);
    let ran = classwright(&["heats", "solve", &files.write("floor.json", floor.to_string()), "--json"]);
    assert_eq!(ran.out, "", "nothing is printed where there is no plan");
    ran
}

#[test]
fn the_answer_is_one_document_that_the_independent_checker_accepts() {
    let files = Files::new();
    let ran = classwright(&["heats", "solve", FLOOR, "--effort", "20000", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let answer: Value = serde_json::from_str(&ran.out).expect("one JSON document");
    let file = files.write("answer.json", &ran.out);
    let verdict = check(FLOOR, &file, None);
    assert_eq!(
        verdict["objective"],
        json!([answer["finish"], answer["heats"].as_array().map(Vec::len), answer["plate_moves"]])
    );
    assert!(answer["lower_bound"].as_u64() <= answer["finish"].as_u64());
    let schema = classwright(&["schema", "heats-solution"]);
    let schema: Value = serde_json::from_str(&schema.out).expect("a schema");
    assert!(jsonschema::draft202012::is_valid(&schema, &answer));
    assert_eq!(classwright(&["heats", "solve", FLOOR, "--effort", "20000", "--json"]).out, ran.out, "the same again");
}

#[test]
fn a_plan_before_is_changed_little_and_the_figures_agree() {
    let files = Files::new();
    let ran = classwright(&["heats", "solve", FLOOR, "--previous", REFERENCE, "--effort", "100000", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let verdict = check(FLOOR, &files.write("answer.json", &ran.out), Some(REFERENCE));
    let figures =
        json!([answer["finish"], answer["changed"], answer["heats"].as_array().map(Vec::len), answer["plate_moves"]]);
    assert_eq!(verdict["objective"], figures);
    // The plan before is the best there is, so nothing needs to change.
    assert_eq!(figures, json!([927, 0, 5, 42]));
}

#[test]
fn somebody_new_and_a_bar_less_are_counted_as_the_checker_counts() {
    let (files, mut floor, mut before) = (Files::new(), read(FLOOR), read(REFERENCE)["solution"].clone());
    let first = before["heats"][0]["athletes"].as_array_mut().expect("a heat").remove(0);
    before["heats"][1]["athletes"].as_array_mut().expect("a heat").push(json!("who went home"));
    let own = before["bars"].as_object_mut().expect("bars");
    own.remove(first.as_str().expect("an id"));
    own.insert("who went home".into(), json!([null]));
    floor["max_heats"] = json!(8);
    floor["bars"].as_array_mut().expect("bars").remove(0);
    let (floor, before) = (files.write("f.json", floor.to_string()), files.write("before.json", before.to_string()));
    let ran = classwright(&["heats", "solve", &floor, "--previous", &before, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let verdict = check(&floor, &files.write("answer.json", &ran.out), Some(&before));
    assert_eq!(verdict["objective"][1], answer["changed"]);
    assert!(answer["changed"].as_u64() >= Some(1), "somebody is new");
}

#[test]
fn people_read_finish_bound_heats_and_bars() {
    let files = Files::new();
    let ran = classwright(&["heats", "solve", &files.write("floor.json", small().to_string())]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for words in ["small\nDone at ", "2 heats, ", "Heats\n", "ama\n", "starts ", "Bars\n", "b1 (20 kg bar): "] {
        assert!(ran.out.contains(words), "no `{words}`:\n{}", ran.out);
    }
}

#[test]
fn a_floor_that_no_plan_fits_is_told_with_its_cause() {
    let ran = refused(|floor| floor["athletes"][1]["bouts"][1]["use"]["rower"] = json!(2));
    assert_eq!(ran.code, 6, "{}", ran.err);
    assert!(ran.err.contains("athlete bo, bout 2: needs 2 of rower, and there is 1"), "{}", ran.err);
    let ran = refused(|floor| floor["plates"]["20"] = json!(0));
    assert_eq!(ran.code, 6);
    assert!(
        ran.err.contains("athlete ama, bout 1: its bar needs a pair of 20 kg plates, and there is none"),
        "{}",
        ran.err
    );
    let ran = refused(|floor| floor["bars"][0]["type"] = json!(15));
    assert_eq!(ran.code, 6);
    assert!(ran.err.contains("needs a 20 kg bar, and there is none"), "{}", ran.err);
    let ran = refused(|floor| {
        floor["max_heats"] = json!(1);
        floor["bars"].as_array_mut().expect("bars").truncate(1);
    });
    assert_eq!(ran.code, 6);
    assert!(ran.err.contains("2 people need 2 of 20 kg bar at stage 1, and there is 1 at once"), "{}", ran.err);
    assert_eq!(refused(|floor| floor["coach_limit"] = json!(0)).code, 6);
    assert_eq!(refused(|floor| floor["max_heats"] = json!(0)).code, 6);
}

#[test]
fn everything_in_a_floor_that_does_not_fit_is_named_with_its_place() {
    /// What is put where, and what has to be said of it.
    type Case = (&'static str, fn(&mut Value), &'static [&'static str]);
    let cases: [Case; 22] = [
        ("another format", |f| f["format"] = json!("heats-2"), &["format: found \"heats-2\", expected \"heats-1\""]),
        ("a field too many", |f| f["rower"] = json!(1), &["rower: is no field that is known here"]),
        (
            "a slip",
            |f| f["athletes"][0]["bouts"][1]["rest_mn"] = json!(1),
            &["athletes[0].bouts[1].rest_mn: is no field"],
        ),
        ("a field too few", |f| drop(f.as_object_mut().map(|f| f.remove("plates"))), &["plates: is missing"]),
        ("no list", |f| f["athletes"] = json!({}), &["athletes: found an object, expected a list of athletes"]),
        ("no object", |f| f["bars"][0] = json!("b1"), &["bars[0]: found \"b1\", expected an object with id, type"]),
        (
            "below nothing",
            |f| f["athletes"][0]["ready"] = json!(-5),
            &["athletes[0].ready: found -5, expected seconds"],
        ),
        (
            "a part of a second",
            |f| f["athletes"][1]["bouts"][0]["dur"] = json!(60.5),
            &["athletes[1].bouts[0].dur: found 60.5"],
        ),
        ("no work", |f| f["athletes"][1]["bouts"][0]["dur"] = json!(0), &["dur: found 0", "from 1 to"]),
        ("a huge number", |f| f["setup_pair_s"] = json!(u64::MAX), &["setup_pair_s: found 18446744073709551615"]),
        (
            "a text",
            |f| f["coach_limit"] = json!("2"),
            &["coach_limit: found \"2\", expected most athletes at work at once"],
        ),
        (
            "a rest that ends before it may",
            |f| f["athletes"][0]["bouts"][0]["rest_max"] = json!(29),
            &["rest_max: found 29", "from 30 to"],
        ),
        (
            "an id twice",
            |f| f["athletes"][1]["id"] = json!("ama"),
            &["athletes[1].id: entry 0 has the id \"ama\" already"],
        ),
        ("an empty id", |f| f["bars"][0]["id"] = json!(""), &["bars[0].id: found \"\", expected the bar's name"]),
        ("a command for the terminal", |f| f["name"] = json!("\u{1b}[2J"), &["name: found \"\\u{1b}[2J\""]),
        (
            "a plate that is nowhere",
            |f| f["athletes"][0]["bouts"][0]["bar"]["config"] = json!([20, 10]),
            &["athletes[0].bouts[0].bar.config[1]: no plate of 10 kg stands in `plates`"],
        ),
        (
            "a plate of no mass",
            |f| f["plates"]["many"] = json!(1),
            &["plates.many: found \"many\", expected the kilograms of one plate"],
        ),
        (
            "a size twice",
            |f| f["plates"]["2.50"] = json!(1),
            &["plates.\"2.50\": there is another row for plates of 2.5 kg"],
        ),
        (
            "kit that is nowhere",
            |f| f["athletes"][0]["bouts"][1]["use"] = json!({ "rowr": 1 }),
            &["athletes[0].bouts[1].use.rowr: no such kit stands in `resources`; did you mean `rower`?"],
        ),
        (
            "a bar of no type",
            |f| f["bars"][0]["type"] = json!(null),
            &["bars[0].type: found null, expected the type of bar"],
        ),
        ("another unit", |f| f["time_unit"] = json!("min"), &["time_unit: found \"min\", expected \"s\""]),
        (
            "two at once",
            |f| {
                f["max_heats"] = json!(1.5);
                f["name"] = json!(7);
            },
            &["max_heats: found 1.5", "name: found 7", "2 places to mend"],
        ),
    ];
    for (what, change, said) in cases {
        let ran = refused(change);
        assert_eq!(ran.code, 2, "{what}: {}", ran.err);
        for words in said {
            assert!(ran.err.contains(words), "{what}: no `{words}` in\n{}", ran.err);
        }
        assert!(ran.err.contains("floor.json"), "{what}: {}", ran.err);
    }
}

#[test]
fn what_is_no_json_is_told_with_line_and_column() {
    let files = Files::new();
    let cases: [(&str, Vec<u8>, &str); 8] = [
        ("nothing", vec![], "line 1, column 0: is no right JSON: EOF"),
        ("half", b"{\n  \"format\": ".to_vec(), "line 2, column 12: is no right JSON"),
        ("a name twice", b"{\"name\": \"a\",\n\"name\": \"b\"}".to_vec(), "\"name\" stands twice in one object"),
        ("two documents", b"{} {}".to_vec(), "trailing characters"),
        ("not a number", b"{\"dur\": NaN}".to_vec(), "is no right JSON"),
        ("beyond numbers", b"{\"dur\": 1e999}".to_vec(), "number out of range"),
        ("other characters", b"{\"name\": \"\xff\"}".to_vec(), "byte 11: is not UTF-8"),
        ("too deep", "[".repeat(100_000).into_bytes(), "recursion limit exceeded"),
    ];
    for (what, bytes, said) in cases {
        let file = files.write("floor.json", bytes);
        let ran = classwright(&["heats", "solve", &file]);
        assert_eq!(ran.code, 2, "{what}: {}", ran.err);
        assert!(ran.err.contains(said) && ran.out.is_empty(), "{what}: no `{said}` in\n{}", ran.err);
    }
    let long = files.write("floor.json", " ".repeat((16 << 20) + 1));
    let ran = classwright(&["heats", "solve", &long]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("is longer than 16 MiB"), "{}", ran.err);
}

#[test]
fn a_plan_before_that_is_none_is_told_with_its_place() {
    let files = Files::new();
    let floor = files.write("floor.json", small().to_string());
    let cases = [
        (json!({}), "format: is missing"),
        (
            json!({ "format": "heats-1", "heats": [], "bars": {} }),
            "format: found \"heats-1\", expected \"heats-solution-1\"",
        ),
        (
            json!({ "format": "heats-solution-1", "bars": {}, "heats": [
                { "athletes": ["ama"], "starts": [0] }, { "athletes": ["ama"], "starts": [-1] },
            ] }),
            "heats[1].athletes[0]: ama is in heats[0] already",
        ),
        (
            json!({ "format": "heats-solution-1", "bars": { "ama": "b1" }, "heats": [] }),
            "bars.ama: found \"b1\", expected a list of bars",
        ),
        (json!({ "solution": { "format": "heats-solution-1", "heats": 3, "bars": {} } }), "solution.heats: found 3"),
        (
            json!({ "solution": { "format": "heats-solution-1", "instance": "large", "heats": [], "bars": {} } }),
            "solution.instance: is an answer to \"large\", and this floor is \"small\"",
        ),
    ];
    for (before, said) in cases {
        let before = files.write("before.json", before.to_string());
        let ran = classwright(&["heats", "solve", &floor, "--previous", &before]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.err);
        assert!(ran.err.contains(said), "no `{said}` in\n{}", ran.err);
    }
}

#[test]
fn files_and_policies_that_are_not_what_they_should_be() {
    let files = Files::new();
    let floor = files.write("floor.json", small().to_string());
    let ran = classwright(&["heats", "solve", "no-such-floor.json"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("no-such-floor.json"), "{}", ran.err);
    assert_eq!(classwright(&["heats", "solve", &floor, "--previous", "none.json"]).code, 3);
    assert_eq!(classwright(&["heats", "solve", &floor, "--policy", "none.wasm"]).code, 3);
    let ran = classwright(&["heats", "solve", &floor, "--policy", &floor]);
    assert!(ran.code == 2 && ran.err.contains("floor.json: is no WebAssembly component"), "{}", ran.err);
    let ran = classwright(&["heats", "solve", &floor, "--policy", "plugins/scaling/scaling.wasm"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("scaling.wasm: is a policy for scaling; name one for heats"), "{}", ran.err);
    assert_eq!(classwright(&["heats", "solve", &floor, "--policy", "plugins/heats/heats.wasm"]).code, 0);
    for bad in [&["heats"][..], &["heats", "solve"], &["heats", "solve", &floor, "--effort", "-1"]] {
        assert_eq!(classwright(bad).code, 2, "{bad:?}");
    }
}

#[test]
fn five_hundred_athletes_have_an_answer_with_a_gap() {
    let (files, mut floor) = (Files::new(), read("tests/data/heats/c60c.json"));
    let athletes = floor["athletes"].as_array().expect("athletes").clone();
    let many = (0..500).map(|number| {
        let mut athlete = athletes[number % athletes.len()].clone();
        athlete["id"] = json!(format!("n{number}"));
        athlete
    });
    floor["athletes"] = many.collect();
    floor["max_heats"] = json!(60);
    let file = files.write("floor.json", floor.to_string());
    let ran = classwright(&["heats", "solve", &file, "--effort", "100000", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let (bound, finish) = (answer["lower_bound"].as_u64(), answer["finish"].as_u64());
    assert!(bound > Some(0) && bound < finish && answer["optimal"] == false, "{bound:?} {finish:?}");
    check(&file, &files.write("answer.json", &ran.out), None);
}
