//! `classwright plan`: every session of the demo gym, and what bad input gets.

use std::fs;

use serde_json::Value;

use crate::support::{classwright, gym_copy, json, top};

/// The classes of the demo gym's week.
const DAYS: [&str; 6] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];

fn plan_of(day: &str) -> Value {
    json(&["plan", "--gym", "demo-gym", "--class", day, "--json"])
}

#[test]
fn every_plan_of_the_week_is_what_the_schema_says() {
    let schema = json(&["schema", "plan"]);
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    for day in DAYS {
        let plan = plan_of(day);
        let errors: Vec<String> = schema.iter_errors(&plan).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{day}: {errors:?}");
        assert_eq!(keys(&plan), ["cards", "cautions", "components", "faults", "floor", "session"]);
        assert_eq!(plan["faults"], Value::Array(Vec::new()), "{day}");
    }
}

#[test]
fn every_session_of_the_week_can_be_planned_for_the_whole_roster() {
    for day in DAYS {
        let plan = json(&["plan", &format!("demo-gym/sessions/{day}.md"), "--gym", "demo-gym", "--json"]);
        assert_eq!(plan["floor"]["laid_out_by"], "policy", "{day}");
    }
}

#[test]
fn the_schema_refuses_what_is_no_plan() {
    let schema = json(&["schema", "plan"]);
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    let mut plan = plan_of(DAYS[0]);
    plan["cards"][0]["items"][0]["item"] = Value::String("first".into());
    assert!(!schema.is_valid(&plan));
}

#[test]
fn everybody_has_a_card_with_every_item_and_a_reason_for_each_change() {
    for day in DAYS {
        let plan = plan_of(day);
        let cards = plan["cards"].as_array().expect("cards");
        let sheet = fs::read_to_string(top().join(format!("demo-gym/classes/{day}.toml"))).expect("a class");
        let named = |list: &str| -> Option<usize> {
            let from = sheet.split_once(&format!("{list} = ["))?.1;
            Some(from.split(']').next()?.matches('"').count() / 2)
        };
        let roster = fs::read_to_string(top().join("demo-gym/roster.csv")).expect("a roster");
        let all = roster.lines().filter(|line| !line.trim().is_empty()).count() - 1;
        let expected = named("present").or_else(|| Some(all - named("absent")?)).unwrap_or(all);
        assert_eq!(cards.len(), expected, "{day}");
        let items = cards[0]["items"].as_array().expect("items").len();
        for card in cards {
            assert_eq!(card["items"].as_array().expect("items").len(), items, "{day}: {}", card["athlete"]);
            for item in card["items"].as_array().expect("items") {
                let told = card["trace"].as_array().expect("trace").iter().any(|change| change["item"] == item["item"]);
                assert!(item["state"] == "kept" || told, "{day}: {} item {}", card["athlete"], item["item"]);
            }
            for change in card["trace"].as_array().expect("trace") {
                assert!(change["why"].as_str().is_some_and(|why| why.len() > 10), "{change}");
            }
        }
    }
}

#[test]
fn loads_add_up_on_every_bar() {
    for day in DAYS {
        let plan = plan_of(day);
        let items = plan["cards"].as_array().expect("cards").iter().flat_map(|card| card["items"].as_array());
        let loads = items.flatten().filter_map(|item| item.get("load")).filter(|load| load.get("bar_kg").is_some());
        for load in loads {
            let side: f64 = load["side_kg"].as_array().expect("a list").iter().filter_map(Value::as_f64).sum();
            let total = load["bar_kg"].as_f64().expect("a number") + 2.0 * side;
            assert!((total - load["total_kg"].as_f64().expect("a number")).abs() < 1e-9, "{day}: {load}");
        }
    }
}

#[test]
fn a_coach_reads_times_cards_floor_bars_changes_and_cautions() {
    let ran = classwright(&["plan", "--gym", "demo-gym", "--class", "monday"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for heading in ["Times", "Floor plan", "Bar sheet", "Cards (", "Changed, and why (*)", "Cautions", "Policies asked"]
    {
        assert!(ran.out.lines().any(|line| line.starts_with(heading)), "no {heading}:\n{}", ran.out);
    }
    for words in ["Stop on pain", "licensed clinician", "Local rules"] {
        assert!(ran.out.contains(words), "no caution with `{words}`");
    }
}

#[test]
fn a_class_brings_its_session_and_who_comes() {
    let plan = json(&["plan", "--gym", "demo-gym", "--class", "monday", "--json"]);
    let ids: Vec<&str> =
        plan["cards"].as_array().expect("cards").iter().filter_map(|c| c["athlete"].as_str()).collect();
    assert!(ids.contains(&"ama") && !ids.contains(&"wen"), "{ids:?}");
    assert_eq!(plan["session"]["date"], "2026-12-07");
}

#[test]
fn without_a_heat_policy_every_class_of_the_week_can_be_run_in_turn() {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    let shelf = fs::read_to_string(gym.join("shelf.toml")).expect("a shelf");
    let (before, heats) = shelf.split_at(shelf.find("../plugins/heats").expect("the heat policy"));
    let disabled = heats.replacen("enabled = true", "enabled = false", 1);
    fs::write(gym.join("shelf.toml"), format!("{before}{disabled}")).expect("written");
    for day in DAYS {
        let plan = json(&["plan", "--gym", gym.to_str().expect("plain"), "--class", day, "--json"]);
        assert_eq!(plan["floor"]["laid_out_by"], "host", "{day}");
        assert!(plan["floor"]["heats"].as_array().is_some_and(|heats| !heats.is_empty()), "{day}");
    }
}

#[test]
fn a_class_without_a_floor_plan_prints_its_cards_and_says_why() {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    let rules = fs::read_to_string(gym.join("gym.toml")).expect("rules");
    fs::write(gym.join("gym.toml"), rules.replace("coach-span = 12", "coach-span = 1")).expect("written");
    let session = copy.path().join("pairs.md");
    fs::write(&session, "# P\n- length: 60 min\n\n## Conditioning: 2 rounds for time, in pairs\n- 10 burpee\n")
        .expect("written");
    let ran = classwright(&["plan", session.to_str().expect("plain"), "--gym", gym.to_str().expect("plain")]);
    assert!(ran.out.contains("No floor plan: see what is said about this class."), "{}", ran.out);
    assert!(ran.out.contains("No floor plan is possible"), "{}", ran.out);
    assert_eq!(ran.code, 6, "{}", ran.err);
}

#[test]
fn the_most_that_can_be_written_is_planned_and_does_not_fit() {
    let copy = gym_copy();
    let session = copy.path().join("most.md");
    let item = "- 1000/side reverse lunge (120 s a rep)\n".repeat(100);
    let part = format!("## Conditioning: 100 rounds for time, rest 120:00\n{item}\n");
    fs::write(&session, format!("# Most\n- length: 240 min\n\n{}", part.repeat(10))).expect("written");
    let session = session.to_str().expect("plain");
    let plan = json(&["plan", session, "--gym", "demo-gym", "--json", "--present", "ama,bram"]);
    assert_eq!(plan["session"]["fits"], Value::Bool(false));
}

#[test]
fn an_empty_roster_is_told_and_planned() {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    let roster = fs::read_to_string(gym.join("roster.csv")).expect("a roster");
    fs::write(gym.join("roster.csv"), format!("{}\n", roster.lines().next().expect("a header"))).expect("written");
    for file in ["bests.csv", "limitations.csv"] {
        let text = fs::read_to_string(gym.join(file)).expect("a file");
        fs::write(gym.join(file), format!("{}\n", text.lines().next().expect("a header"))).expect("written");
    }
    let _ = fs::remove_dir_all(gym.join("classes"));
    let gym = gym.to_str().expect("a plain path");
    let plan = json(&["plan", "demo-gym/sessions/monday.md", "--gym", gym, "--json"]);
    assert_eq!(plan["cards"], Value::Array(Vec::new()));
    assert!(plan["cautions"].to_string().contains("Nobody is checked in"));
}

#[test]
fn a_class_that_cannot_fit_its_hour_says_by_how_much() {
    let copy = gym_copy();
    let session = copy.path().join("long.md");
    fs::write(
        &session,
        "# Long\n- date: 2026-12-07\n- length: 10 min\n\n## Strength: every 3:00 x 6\n- 5 back squat @ 60 kg\n",
    )
    .expect("written");
    let plan = json(&["plan", session.to_str().expect("a plain path"), "--gym", "demo-gym", "--json"]);
    assert_eq!(plan["session"]["fits"], Value::Bool(false));
    assert!(plan["cautions"].to_string().contains("over its 10:00"), "{}", plan["cautions"]);
}

#[test]
fn a_missing_best_is_asked_for_and_the_class_still_planned() {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    let bests = fs::read_to_string(gym.join("bests.csv")).expect("bests");
    fs::write(gym.join("bests.csv"), format!("{}\n", bests.lines().next().expect("a header"))).expect("written");
    let session = copy.path().join("percent.md");
    fs::write(&session, "# P\n- length: 60 min\n\n## Strength: 3 sets, rest 2:00\n- 3 deadlift @ 70% of deadlift\n")
        .expect("written");
    let (session, gym) = (session.to_str().expect("plain"), gym.to_str().expect("plain"));
    let plan = json(&["plan", session, "--gym", gym, "--json"]);
    let asked = plan["cards"]
        .as_array()
        .expect("cards")
        .iter()
        .filter(|card| card["needs_coach"].to_string().contains("no best for deadlift"));
    assert!(asked.count() > 5);
}

#[test]
fn bad_input_has_its_message_and_exit_code() {
    let copy = gym_copy();
    let file = |name: &str, bytes: &[u8]| {
        let path = copy.path().join(name);
        fs::write(&path, bytes).expect("written");
        path.to_str().expect("a plain path").to_owned()
    };
    let not_text = file("latin1.md", b"# Caf\xe9\n- length: 60 min\n");
    let huge = file("huge.md", &b"# Long\n- 5 bodyweight squat\n".repeat(500_000));
    let unknown = file("unknown.md", b"# U\n- length: 60 min\n\n## Strength: 3 sets\n- 5 bakc squat @ -20 kg\n");
    let cases: [(&[&str], i32, &str); 9] = [
        (&["plan", &not_text, "--gym", "demo-gym"], 2, "UTF-8"),
        (&["plan", &huge, "--gym", "demo-gym"], 2, "at most 262144 bytes"),
        (&["plan", &unknown, "--gym", "demo-gym"], 2, "back squat"),
        (&["plan", "no/such.md", "--gym", "demo-gym"], 3, "no/such.md"),
        (&["plan", &unknown, "--gym", "no-gym"], 2, "no-gym"),
        (&["plan", "demo-gym/sessions/monday.md", "--gym", "demo-gym", "--absent", "nobody-here"], 2, "nobody-here"),
        (&["plan", "--gym", "demo-gym", "--class", "mondya"], 2, "did you mean `monday`?"),
        (&["plan", "--gym", "demo-gym"], 2, "--class"),
        (&["plan"], 2, "Usage"),
    ];
    for (args, code, words) in cases {
        let ran = classwright(args);
        assert_eq!(ran.code, code, "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{args:?}");
    }
}

#[test]
fn a_policy_that_is_no_component_leaves_the_class_planned_and_sets_the_exit_code() {
    let copy = gym_copy();
    fs::write(copy.path().join("plugins/scaling/scaling.wasm"), b"not wasm").expect("written");
    let gym = copy.path().join("demo-gym");
    let ran = classwright(&["plan", "demo-gym/sessions/monday.md", "--gym", gym.to_str().expect("plain"), "--json"]);
    assert_eq!(ran.code, 20, "{}", ran.err);
    let plan: Value = serde_json::from_str(&ran.out).expect("a whole plan all the same");
    assert_eq!(plan["faults"][0]["kind"], "incompatible");
    let cards = plan["cards"].as_array().expect("cards");
    assert!(cards.iter().all(|card| card["needs_coach"].as_array().is_some_and(|why| !why.is_empty())));
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().expect("an object").keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}
