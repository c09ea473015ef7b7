//! `classwright day` and `plan --beside`: several classes in one room, none with kit that another holds.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::support::{classwright, gym_copy, json, top};

const SUNDAY: &str = "2026-12-13";

fn number(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("a whole number, not {value}"))
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("a text, not {value}"))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("a list, not {value}"))
}

/// Seconds from midnight to the start of a plan's class.
fn start_s(plan: &Value) -> i64 {
    let (hours, minutes) = text(&plan["session"]["starts"]).split_once(':').expect("hours and minutes");
    hours.parse::<i64>().expect("hours") * 3600 + minutes.parse::<i64>().expect("minutes") * 60
}

/// What a plan holds, from its document alone: name, from, to (seconds of the day), count. Plates count one by one,
/// wherever they are; a bar is held from its first change of plates to the end of its last use.
fn holds(plan: &Value) -> Vec<(String, i64, i64, i64)> {
    let midnight = start_s(plan);
    let mut holds = Vec::new();
    let mut starts: BTreeMap<(&str, i64, i64), i64> = BTreeMap::new();
    for heat in list(&plan["floor"]["heats"]) {
        for athlete in list(&heat["athletes"]) {
            for start in list(&heat["starts"]) {
                let key = (text(athlete), number(&start["part"]), number(&start["set"]));
                starts.insert(key, number(&start["start_s"]));
            }
        }
    }
    for bout in list(&plan["floor"]["asked"]["bouts"]) {
        let key = (text(&bout["athlete"]), number(&bout["part"]), number(&bout["set"]));
        let from = midnight + starts[&key];
        for kit in bout["kit"].as_array().into_iter().flatten() {
            holds.push((text(&kit["kit"]).to_owned(), from, from + number(&bout["duration_s"]), number(&kit["count"])));
        }
    }
    for bar in list(&plan["floor"]["bars"]) {
        let uses = list(&bar["uses"]);
        let Some((first, last)) = uses.first().zip(uses.last()) else { continue };
        let (from, to) = (midnight + number(&first["setup_from_s"]), midnight + number(&last["end_s"]));
        holds.push((format!("bar {}", text(&bar["bar"])), from, to, 1));
        for (at, turn) in uses.iter().enumerate() {
            let until = uses.get(at + 1).map_or(&turn["end_s"], |next| &next["setup_from_s"]);
            for plate in list(&turn["side_kg"]) {
                let name = format!("plate {} kg", plate.as_f64().expect("kilograms"));
                holds.push((name, midnight + number(&turn["setup_from_s"]), midnight + number(until), 2));
            }
        }
    }
    holds
}

/// How many there are, from the gym's kit file.
fn there() -> BTreeMap<String, i64> {
    let kit: toml::Table = fs::read_to_string(top().join("demo-gym/kit.toml")).expect("a file").parse().expect("TOML");
    let rows = |key: &str| kit[key].as_array().expect("tables").clone();
    let whole = |row: &toml::Value, key: &str| row.get(key).and_then(toml::Value::as_integer).unwrap_or(0);
    let mut there = BTreeMap::new();
    for row in rows("plate") {
        let mass = row["mass"].as_str().expect("a mass");
        there.insert(format!("plate {mass}"), 2 * (whole(&row, "pairs") - whole(&row, "out-of-service")));
    }
    for row in rows("kit") {
        let mass = row.get("mass").and_then(toml::Value::as_str).map_or(String::new(), |mass| format!(" {mass}"));
        let name = format!("{}{mass}", row["kind"].as_str().expect("a kind"));
        there.insert(name, whole(&row, "count") - whole(&row, "out-of-service"));
    }
    there
}

/// The first thing of which the plans hold more than there is.
fn over_claimed(plans: &[Value]) -> Option<String> {
    let there = there();
    let holds: Vec<_> = plans.iter().flat_map(holds).collect();
    let moments: std::collections::BTreeSet<i64> = holds.iter().map(|hold| hold.1).collect();
    for moment in moments {
        let mut sums: BTreeMap<&str, i64> = BTreeMap::new();
        for (name, from, to, count) in &holds {
            if (*from..*to).contains(&moment) {
                *sums.entry(name).or_insert(0) += count;
            }
        }
        let over = sums.iter().find(|(name, held)| {
            let most = if name.starts_with("bar ") { 1 } else { there[**name] };
            **held > most
        });
        if let Some((name, held)) = over {
            return Some(format!("{held} of {name} at second {moment}"));
        }
    }
    None
}

fn plans_of(day: &Value) -> Vec<Value> {
    list(&day["classes"]).iter().map(|class| class["plan"].clone()).collect()
}

#[test]
fn three_classes_share_a_room_and_no_kit_is_held_twice() {
    let day = json(&["day", SUNDAY, "--gym", "demo-gym", "--json"]);
    let plans = plans_of(&day);
    assert_eq!(plans.len(), 3);
    assert_eq!(over_claimed(&plans), None);
    // Each as if it were alone in the room: that would not do.
    let alone = ["sunday-lift", "sunday-pull", "sunday-row"];
    let alone = alone.map(|class| json(&["plan", "--gym", "demo-gym", "--class", class, "--json"]));
    assert!(over_claimed(&alone).is_some());
    // What was taken stands in the document of those who came later.
    let taken = |plan: &Value| list(&plan["floor"]["asked"]["taken"]).len();
    assert_eq!(taken(&plans[0]), 0);
    assert!(taken(&plans[1]) > 0 && taken(&plans[2]) > 0);
}

#[test]
fn a_day_is_what_the_schema_says_and_the_same_each_time() {
    let schema = json(&["schema", "day"]);
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    let day = json(&["day", SUNDAY, "--gym", "demo-gym", "--json"]);
    let errors: Vec<String> = schema.iter_errors(&day).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(day, json(&["day", SUNDAY, "--gym", "demo-gym", "--json"]));
    assert!(!schema.is_valid(&json(&["plan", "--gym", "demo-gym", "--class", "monday", "--json"])));
}

#[test]
fn a_coach_reads_a_block_a_class_with_its_end_and_its_waits() {
    let ran = classwright(&["day", SUNDAY, "--gym", "demo-gym"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let blocks: Vec<&str> = ran.out.lines().filter(|line| line.contains(" - 1")).collect();
    assert_eq!(blocks.len(), 3, "{}", ran.out);
    for words in ["10:00 - 11:00  sunday-lift", "Floor done at 10:", "Waits ", "Kit held by sunday-lift until 10:"] {
        assert!(ran.out.contains(words), "no {words}:\n{}", ran.out);
    }
}

#[test]
fn plans_written_for_a_day_are_the_plans_made_beside_each_other() {
    let copy = gym_copy();
    let out = copy.path().join("sunday");
    let folder = out.to_str().expect("a plain path");
    let ran = classwright(&["day", SUNDAY, "--gym", "demo-gym", "--out", folder]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let mut names: Vec<String> =
        fs::read_dir(&out).expect("a folder").map(|e| file_name(&e.expect("an entry").path())).collect();
    names.sort_unstable();
    assert_eq!(names, ["sunday-lift.json", "sunday-pull.json", "sunday-row.json"]);
    let (lift, pull) = (format!("{folder}/sunday-lift.json"), format!("{folder}/sunday-pull.json"));
    let args = ["plan", "--gym", "demo-gym", "--class", "sunday-row", "--json", "--beside", &lift, "--beside", &pull];
    let written: Value =
        serde_json::from_str(&fs::read_to_string(out.join("sunday-row.json")).expect("a file")).expect("JSON");
    assert_eq!(json(&args), written);
    // A second time the folder is not empty: nothing is written over, nothing is left beside it.
    let again = classwright(&["day", SUNDAY, "--gym", "demo-gym", "--out", folder]);
    assert_eq!(again.code, 3);
    assert!(again.err.contains("not empty"), "{}", again.err);
    assert_eq!(fs::read_dir(copy.path()).expect("a folder").count(), 3);
    assert_eq!(fs::read_dir(&out).expect("a folder").count(), 3);
}

fn file_name(path: &Path) -> String {
    path.file_name().expect("a name").to_string_lossy().into_owned()
}

/// A copy of the demo gym with these class sheets beside its own, and where it is.
fn gym_with(sheets: &[(&str, &str)]) -> (tempfile::TempDir, String) {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    for (name, sheet) in sheets {
        fs::write(gym.join(format!("classes/{name}.toml")), sheet).expect("written");
    }
    let path = gym.to_str().expect("a plain path").to_owned();
    (copy, path)
}

fn sheet(date: &str, time: &str, zone: &str, coach: &str, present: &str) -> String {
    let session = "sessions/sunday-row.md";
    format!(
        "date = {date}\ntime = \"{time}\"\nzone = \"{zone}\"\nsession = \"{session}\"\ncoach = \"{coach}\"\npresent = {present}\n"
    )
}

#[test]
fn the_same_coach_and_the_same_people_in_two_classes_are_told() {
    let a = sheet("2026-12-20", "10:00", "UTC", "Io Fell", r#"["ama", "bram", "chidi"]"#);
    let b = sheet("2026-12-20", "10:20", "UTC", "Io Fell", r#"["bram", "chidi", "emre"]"#);
    let c = sheet("2026-12-20", "12:00", "UTC", "Io Fell", r#"["bram"]"#);
    let (_copy, gym) = gym_with(&[("a", &a), ("b", &b), ("c", &c)]);
    let day = json(&["day", "2026-12-20", "--gym", &gym, "--json"]);
    let told = |at: usize| day["classes"][at]["plan"]["cautions"].to_string();
    assert!(told(1).contains("Io Fell also coaches a from 10:00 to 10:45"), "{}", told(1));
    assert!(told(1).contains("Bram Oakhollow and Chidi Marlowen are checked in to a too (10:00 to 10:45)"));
    assert!(!told(0).contains("checked in to") && !told(2).contains("checked in to"));
}

#[test]
fn classes_meet_over_midnight() {
    let late = sheet(
        "2026-12-20",
        "23:50",
        "UTC",
        "Io Fell",
        r#"["ama", "bram", "chidi", "dagny", "emre", "farah", "goran", "hana"]"#,
    );
    let early = sheet("2026-12-21", "00:00", "UTC", "Sol Fell", r#"["jaya", "kofi", "lena", "milo", "noor", "idris"]"#);
    let (copy, gym) = gym_with(&[("late", &late), ("early", &early)]);
    let day = json(&["day", "2026-12-21", "--gym", &gym, "--json"]);
    assert_eq!(list(&day["classes"]).len(), 1, "the day before is planned, and not shown");
    let early = &day["classes"][0]["plan"];
    assert!(early["cautions"].to_string().contains("Kit held by late until 00:"), "{}", early["cautions"]);
    let late = json(&["plan", "--gym", &gym, "--class", "late", "--json"]);
    let file = copy.path().join("late.json");
    fs::write(&file, late.to_string()).expect("written");
    let file = file.to_str().expect("plain");
    assert_eq!(json(&["plan", "--gym", &gym, "--class", "early", "--json", "--beside", file]), *early);
}

#[test]
fn what_cannot_be_held_against_a_class_is_refused_with_a_sentence() {
    let here = sheet("2026-12-20", "10:00", "UTC", "Io Fell", r#"["ama", "bram"]"#);
    let there = sheet("2026-12-20", "10:20", "Europe/Paris", "Sol Fell", r#"["emre"]"#);
    let after = sheet("2026-12-21", "10:00", "UTC", "Io Fell", r#"["emre"]"#);
    let (copy, gym) = gym_with(&[("here", &here), ("there", &there), ("after", &after)]);
    let plan = |class: &str| json(&["plan", "--gym", &gym, "--class", class, "--json"]);
    let file = |name: &str, text: String| {
        let path = copy.path().join(name);
        fs::write(&path, text).expect("written");
        path.to_str().expect("plain").to_owned()
    };
    let own = plan("here");
    let mut other_gym = plan("after");
    other_gym["session"]["gym"] = "Elsewhere".into();
    let mut broken = own.clone();
    broken["session"]["class"] = "third".into();
    broken["floor"]["heats"][0]["starts"][0]["start_s"] = 3.into();
    let by_itself = json(&["plan", "demo-gym/sessions/monday.md", "--gym", &gym, "--json", "--present", "ama"]);
    let cases = [
        (file("own.json", own.to_string()), "very class"),
        (file("gym.json", other_gym.to_string()), "is a plan of Elsewhere, and this class is in Quayside"),
        (file("after.json", plan("after").to_string()), "is of 2026-12-21, and this class is on 2026-12-20"),
        (file("there.json", plan("there").to_string()), "a room has one clock"),
        (file("alone.json", by_itself.to_string()), "does not say when it starts"),
        (file("broken.json", broken.to_string()), "this plan cannot be run"),
        (file("none.json", "{}".into()), "JSON, and no plan"),
        (file("empty.json", String::new()), "no JSON"),
    ];
    for (path, words) in &cases {
        let ran = classwright(&["plan", "--gym", &gym, "--class", "here", "--beside", path]);
        assert_eq!(ran.code, 2, "{path}: {}", ran.err);
        assert!(ran.err.contains(words), "{path}: {}", ran.err);
        assert_eq!(ran.out, "", "{path}");
    }
    let ran = |args: &[&str]| (classwright(args).code, classwright(args).err);
    let twice = file("twice.json", plan("sunday-row").to_string());
    let args = ["plan", "--gym", &gym, "--class", "sunday-lift", "--beside", &twice, "--beside", &twice];
    let (code, err) = ran(&args);
    assert!(code == 2 && err.contains("second plan of sunday-row"), "{err}");
    let (code, err) = ran(&["day", "2026-12-20", "--gym", &gym]);
    assert!(code == 2 && err.contains("here goes by the clock of UTC, and there by that of Europe/Paris"), "{err}");
    let (code, err) = ran(&["day", "2026-12-24", "--gym", &gym]);
    assert!(code == 2 && err.contains("no class on 2026-12-24; the nearest day with one is 2026-12-21"), "{err}");
    let (code, err) = ran(&["day", "2026-12-25", "--gym", "demo-gym"]);
    assert!(code == 2 && err.contains("no class on 2026-12-25; the nearest day with one is 2026-12-13"), "{err}");
    let (code, err) = ran(&["day", "tomorrow", "--gym", &gym]);
    assert!(code == 2 && err.contains("`tomorrow` is no day"), "{err}");
    let (code, err) = ran(&["plan", "--gym", &gym, "demo-gym/sessions/monday.md", "--beside", &twice]);
    assert!(code == 2 && err.contains("--class"), "{err}");
    let (code, err) = ran(&["plan", "--gym", &gym, "--class", "here", "--beside", "no/such.json"]);
    assert!(code == 3 && err.contains("no/such.json"), "{err}");
}

#[test]
fn a_class_that_runs_over_is_planned_around_bars_that_another_needs_by_then() {
    let short = "# Short\n- length: 10 min\n\n## Strength: 6 sets, rest 2:00-3:00\n- 5 back squat @ 60/40 kg\n";
    let after = "# After\n- length: 30 min\n\n## Strength: 4 sets, rest 1:00-3:00\n- 5 deadlift @ 70/50 kg\n";
    let sheet = |time: &str, session: &str, coach: &str, present: &str| {
        format!(
            "date = 2026-12-20\ntime = \"{time}\"\nzone = \"UTC\"\nsession = \"sessions/{session}.md\"\ncoach = \"{coach}\"\npresent = {present}\n"
        )
    };
    let first = sheet("10:00", "short", "Io Fell", r#"["bram", "chidi", "emre", "ama", "farah", "hana"]"#);
    let second = sheet("10:11", "after", "Sol Fell", r#"["goran", "kofi", "milo", "wen", "noor", "lena"]"#);
    let (copy, gym) = gym_with(&[("first", &first), ("second", &second)]);
    fs::write(copy.path().join("demo-gym/sessions/short.md"), short).expect("written");
    fs::write(copy.path().join("demo-gym/sessions/after.md"), after).expect("written");
    let alone = |class: &str| json(&["plan", "--gym", &gym, "--class", class, "--json"]);
    let (first, second) = (alone("first"), alone("second"));
    assert!(over_claimed(&[first, second.clone()]).is_some(), "the first runs into the second");
    let file = copy.path().join("second.json");
    fs::write(&file, second.to_string()).expect("written");
    let file = file.to_str().expect("plain");
    let around = json(&["plan", "--gym", &gym, "--class", "first", "--beside", file, "--json"]);
    assert_eq!(over_claimed(&[around.clone(), second]), None);
    let bars = list(&around["floor"]["asked"]["bars"]);
    let later = bars.iter().filter(|bar| number(&bar["free_from_s"]) > 0).count();
    assert!((1..bars.len()).contains(&later), "some bars are the second's, and some are free: {later}");
}
