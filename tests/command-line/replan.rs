//! `classwright replan`: what has happened stays, the rest bends, and bad input is told.

use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::support::{Ran, classwright, json};

/// A plan in a file of its own.
struct Planned {
    folder: tempfile::TempDir,
    doc: Value,
}

impl Planned {
    fn of(day: &str) -> Planned {
        let folder = tempfile::tempdir().expect("a folder");
        let doc = json(&["plan", "--gym", "demo-gym", "--class", day, "--json"]);
        let planned = Planned { folder, doc };
        planned.write("plan.json", planned.doc.to_string().as_bytes());
        planned
    }

    fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.folder.path().join(name);
        fs::write(&path, bytes).expect("written");
        path
    }

    fn replan(&self, args: &[&str]) -> Ran {
        self.replan_file("plan.json", args)
    }

    fn replan_file(&self, name: &str, args: &[&str]) -> Ran {
        let path = self.folder.path().join(name);
        classwright(&[&["replan", path.to_str().expect("plain")], args].concat())
    }

    fn json(&self, args: &[&str]) -> Value {
        let ran = self.replan(&[args, &["--json"]].concat());
        assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
        serde_json::from_str(&ran.out).expect("JSON on standard output")
    }
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key}"))
}

fn second(value: &Value) -> u64 {
    value.as_u64().expect("a second")
}

fn texts(doc: &Value) -> Vec<&str> {
    list(doc, "changes").iter().filter_map(|change| change["text"].as_str()).collect()
}

/// Who did what before a second: starts by athlete, whatever heat they go on in, and uses by bar.
fn past(doc: &Value, now: u64) -> Vec<Value> {
    let bouts = list(&doc["floor"]["asked"], "bouts");
    let mut started: Vec<String> = Vec::new();
    for heat in list(&doc["floor"], "heats") {
        for start in list(heat, "starts").iter().filter(|start| second(&start["start_s"]) < now) {
            let own = |bout: &&Value| {
                (&bout["part"], &bout["set"]) == (&start["part"], &start["set"])
                    && list(heat, "athletes").contains(&bout["athlete"])
            };
            let told = |bout: &Value| json!([bout["athlete"], bout["part"], bout["set"], start["start_s"]]).to_string();
            started.extend(bouts.iter().filter(own).map(told));
        }
    }
    started.sort();
    let bars = list(&doc["floor"], "bars").iter().flat_map(|bar| {
        let id = bar["bar"].clone();
        let uses = list(bar, "uses").iter().filter(move |used| second(&used["start_s"]) < now);
        uses.map(move |used| json!([id, used["athlete"], used["part"], used["set"], used["start_s"], used["side_kg"]]))
    });
    started.into_iter().map(Value::from).chain(bars).collect()
}

#[test]
fn what_has_happened_stays_and_the_new_plan_is_a_plan() {
    let schema = json(&["schema", "plan"]);
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    for day in ["monday", "thursday"] {
        let planned = Planned::of(day);
        let finish = second(&planned.doc["session"]["finish_s"]);
        // Some seconds into a start: at the very second, the bar that was being loaded for who goes would be in the way.
        let now = finish / 3 + 10;
        let at = format!("+{}:{:02}", now / 60, now % 60);
        let gone = list(&planned.doc["floor"]["heats"][0], "athletes")[0].as_str().expect("an id").to_owned();
        let doc = planned.json(&["--at", &at, "--gone", &gone]);
        let errors: Vec<String> = schema.iter_errors(&doc).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{day}: {errors:?}");
        assert_eq!(past(&doc, now), past(&planned.doc, now), "{day}");
        let later = |doc: &Value| -> usize {
            let uses = list(&doc["floor"], "bars").iter().flat_map(|bar| list(bar, "uses"));
            uses.filter(|used| second(&used["start_s"]) >= now && used["athlete"] == gone.as_str()).count()
        };
        assert_eq!(later(&doc), 0, "{day}");
        assert_eq!(doc["floor"]["asked"]["now_s"], now);
        assert!(texts(&doc).iter().any(|text| text.contains(" stops after ")), "{:?}", texts(&doc));
        assert!(texts(&doc).last().is_some_and(|text| text.starts_with("Ends at ")), "{:?}", texts(&doc));
        assert!(doc["cautions"].to_string().contains("Planned anew"));
    }
}

#[test]
fn who_is_gone_before_the_start_is_off_the_plan_and_nobody_need_move() {
    let planned = Planned::of("monday");
    let doc = planned.json(&["--gone", "Ama Tidewell"]);
    assert!(!doc["cards"].to_string().contains("\"ama\"") && !doc["floor"].to_string().contains("\"ama\""));
    assert!(texts(&doc)[0].contains("loses Ama Tidewell"), "{:?}", texts(&doc));
    let part = &doc["session"]["parts"][0];
    assert!(part["quickest"]["athlete"] != "ama" && part["slowest"]["athlete"] != "ama", "{part}");
}

#[test]
fn a_new_plan_can_be_planned_anew_and_a_bar_that_went_stays_gone() {
    let planned = Planned::of("monday");
    let finish = second(&planned.doc["session"]["finish_s"]);
    let bars = |doc: &Value| -> usize {
        let asked = list(&doc["floor"]["asked"], "bars").iter();
        asked.filter(|bar| bar["kind"] == "20 kg bar" && bar["out_of_service"] != true).count()
    };
    let there = bars(&planned.doc);
    let kit = format!("20 kg bar={}", there - 1);
    // As soon as the first of them is not needed any more.
    let own = list(&planned.doc["floor"], "bars").iter().filter(|bar| bar["kind"] == "20 kg bar");
    let last = own.map(|bar| list(bar, "uses").last().map_or(0, |used| second(&used["end_s"])));
    let idle = last.min().expect("a bar").max(60);
    assert!(idle < finish);
    let at = format!("+{}:{:02}", idle / 60, idle % 60);
    let first = planned.json(&["--at", &at, "--kit", &kit]);
    assert_eq!(bars(&first), there - 1);
    planned.write("first.json", first.to_string().as_bytes());
    let ran = planned.replan_file("first.json", &["--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let second: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(bars(&second), there - 1);
    assert!(
        second["session"]["finish_s"].as_u64() <= first["session"]["finish_s"].as_u64(),
        "nothing has happened since"
    );
    let earlier = planned.replan_file("first.json", &["--at", "+0:30"]);
    assert_eq!((earlier.code, earlier.out.as_str()), (2, ""), "{}", earlier.err);
    assert!(earlier.err.contains("say a later time"), "{}", earlier.err);
    let shown = planned.replan_file("first.json", &[]);
    assert!(shown.out.starts_with("Changes\n-------\n"), "{}", shown.out);
}

#[test]
fn more_kit_than_there_was_is_brought_from_the_store() {
    let planned = Planned::of("monday");
    let doc = planned.json(&["--kit", "20 kg bars=7", "--kit", "racks=12"]);
    let asked = &doc["floor"]["asked"];
    assert_eq!(list(asked, "bars").iter().filter(|bar| bar["kind"] == "20 kg bar").count(), 7);
    assert!(list(asked, "stock").contains(&json!({"kit": "rack", "count": 12})));
    assert!(doc["session"]["finish_s"].as_u64() <= planned.doc["session"]["finish_s"].as_u64());
}

#[test]
fn where_no_plan_is_left_the_smallest_set_of_causes_is_told_and_nothing_printed() {
    let planned = Planned::of("monday");
    let ran = planned.replan(&["--gone", "emre", "--kit", "20 kg bar=0", "--kit", "chair=9", "--json"]);
    assert_eq!((ran.code, ran.out.as_str()), (6, ""), "{}", ran.err);
    assert!(ran.err.contains("no floor plan is possible with 20 kg bar=0\n"), "{}", ran.err);
    assert!(ran.err.contains("needs a 20 kg bar, and there is none"), "{}", ran.err);
    assert!(!ran.err.contains("athlete ") && !ran.err.contains("chair"), "{}", ran.err);
}

#[test]
fn why_says_what_is_used_up_and_what_more_of_it_gives() {
    let planned = Planned::of("monday");
    let doc = planned.json(&["--why", "--effort", "20000"]);
    let from = second(&doc["why"]["from_s"]);
    assert!(from <= second(&doc["session"]["finish_s"]));
    let (binds, gives) = (list(&doc["why"], "binds"), list(&doc["why"], "gives"));
    assert!(!binds.is_empty() && gives.len() > 2, "{}", doc["why"]);
    let asked = &doc["floor"]["asked"];
    for bind in binds {
        let what = bind["what"].as_str().expect("a text").replace(' ', "-");
        let stock = list(asked, "stock").iter().find(|row| row["kit"] == what.as_str());
        let claimed = |row: &Value| asked["bouts"].to_string().contains(&format!("\"kit\":{}", row["kit"]));
        assert!(stock.is_none_or(claimed) && what != "heats", "{bind}");
    }
    for bind in binds {
        let spans = list(bind, "spans_s").iter().map(|span| second(&span[1]) - second(&span[0]));
        assert_eq!(spans.sum::<u64>(), second(&bind["total_s"]), "{bind}");
    }
    for give in gives {
        assert_eq!(second(&give["finish_s"]) + second(&give["gives_s"]), from, "{give}");
        assert!(give.get("lower_bound_s").is_none_or(|bound| second(bound) < second(&give["finish_s"])), "{give}");
    }
    let most: Vec<u64> = gives.iter().map(|give| second(&give["gives_s"])).collect();
    assert!(most.is_sorted_by(|a, b| a >= b), "{most:?}");
    for change in ["one more heat", "one more in the coach's span", "two minutes less of every least rest"] {
        assert!(gives.iter().any(|give| give["change"] == change), "no {change}: {gives:?}");
    }
    let shown = planned.replan(&["--why", "--effort", "20000"]);
    for heading in ["Changes", "What holds the class up", "What more would give", "Floor plan", "Bar sheet"] {
        assert!(shown.out.lines().any(|line| line == heading), "no {heading}:\n{}", shown.out);
    }
}

#[test]
fn a_gyms_own_policies_are_asked_where_it_is_named() {
    let planned = Planned::of("monday");
    let without = planned.json(&["--gone", "ama"]);
    let with = planned.json(&["--gone", "ama", "--gym", "demo-gym"]);
    assert_eq!(with["floor"], without["floor"], "the gym's heat policy is the house's");
    assert_eq!(planned.replan(&["--gym", "no-gym"]).code, 2);
}

#[test]
fn names_times_and_counts_that_make_no_sense_are_refused() {
    let planned = Planned::of("monday");
    let over = format!("+{}:00", second(&planned.doc["session"]["finish_s"]) / 60 + 1);
    let cases: [(&[&str], &str); 18] = [
        (&["--gone", "Ama Tidewel"], "did you mean `Ama Tidewell`?"),
        (&["--gone", "Nobody Known"], "there are Ama Tidewell, "),
        (&["--late", "emree=+6:00"], "did you mean `emre`?"),
        (&["--late", "emre=6:00"], "as in `emre=+6:00`"),
        (&["--late", "emre=+6:00", "--at", "18:10"], "it is 10:00 already"),
        (&["--late", "emre=+6:00", "--gone", "Emre Saltgate"], "named twice"),
        (&["--kit", "20 kg baar=4"], "did you mean `20 kg bar`?"),
        (&["--kit", "anvil=4"], "it uses 20 kg bar, "),
        (&["--kit", "20 kg bar=10000"], "write at most 200"),
        (&["--late", "emre=+60:00"], "the class ends at 60:00: say --gone"),
        (&["--kit", "20 kg bar=-1"], "write 0 or more"),
        (&["--kit", "20 kg bar"], "20 kg bar=5"),
        (&["--kit", "20 kg bar=4", "--kit", "20kg bars=3"], "counted twice"),
        (&["--at", "17:59"], "at 17:59 nothing has happened yet, for the class starts at 18:00"),
        (&["--at", "quarter past"], "no time"),
        (&["--at=-5:00"], "no time"),
        (&["--at", &over], "the class is over at"),
        (&["--effort=-1"], "--effort"),
    ];
    for (args, words) in cases {
        let ran = planned.replan(args);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
}

#[test]
fn what_is_in_hand_cannot_go() {
    let planned = Planned::of("monday");
    let bars = list(&planned.doc["floor"], "bars").iter().filter(|bar| bar["kind"] == "20 kg bar");
    let first = bars.flat_map(|bar| list(bar, "uses")).map(|used| second(&used["start_s"])).min().expect("a use");
    let at = format!("+{}:{:02}", (first + 1) / 60, (first + 1) % 60);
    let ran = planned.replan(&["--at", &at, "--kit", "20 kg bar=0"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.err);
    assert!(ran.err.contains("are in use at") && ran.err.contains("leave at least"), "{}", ran.err);
}

#[test]
fn whoever_has_begun_may_go_on_in_another_heat_where_kit_goes() {
    let planned = Planned::of("monday");
    for kit in ["20 kg bar=4", "15 kg bar=2"] {
        let doc = planned.json(&["--at", "18:05", "--kit", kit]);
        assert_eq!(past(&doc, 300), past(&planned.doc, 300), "{kit}");
    }
}

#[test]
fn who_is_gone_is_heard_and_said_even_where_nothing_is_left_to_take_off() {
    let planned = Planned::of("monday");
    let late = planned.json(&["--at", "18:41", "--gone", "ama"]);
    assert!(texts(&late)[0].starts_with("Ama Tidewell has started the last of their work"), "{:?}", texts(&late));
    let early = planned.replan(&["--at", "18:05", "--gone", "ama"]);
    assert!(early.out.contains("Ama Tidewell (until 4:26)"), "{}", early.out);
}

#[test]
fn a_plan_is_read_from_standard_input_too() {
    let planned = Planned::of("monday");
    let path = planned.folder.path().join("plan.json");
    let from_file = planned.replan(&["--gone", "ama"]);
    for (command, code) in [("replan - --gone ama", 0), ("picture -", 0), ("replan no-such-file", 3)] {
        let line = format!("\"$0\" {command} < \"$1\"");
        let binary = env!("CARGO_BIN_EXE_classwright");
        let output = std::process::Command::new("sh").args(["-c", &line, binary]).arg(&path).output().expect("sh runs");
        let ran = crate::support::ran(&output);
        assert_eq!(ran.code, code, "{command}: {}", ran.err);
        if command.contains("gone") {
            assert_eq!(ran.out, from_file.out);
        }
    }
}

#[test]
fn a_plan_that_steers_the_terminal_or_would_keep_it_busy_for_hours_is_refused_by_all_who_read_plans() {
    let planned = Planned::of("monday");
    let kit = planned.doc["floor"]["asked"]["stock"][0]["kit"].clone();
    let taken = json!({ "kit": kit, "count": 100_000, "from_s": 0, "to_s": 60 });
    let cases: [(&str, Value, &str); 4] = [
        ("/cards/3/name", "Dagny\u{1b}[2J".into(), "cards[3].name: has the control sign U+001B"),
        ("/floor/asked/taken", vec![taken; 50_000].into(), "floor.asked.taken: has 50000 entries"),
        ("/floor/asked/effort", u64::MAX.into(), "floor.asked.effort: is 18446744073709551615"),
        ("/floor/heats/0/starts/1/start_s", 10.into(), " before it ends, at least "),
    ];
    for (pointer, value, words) in cases {
        let mut doc = planned.doc.clone();
        *doc.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
        let path = planned.write("edited.json", doc.to_string().as_bytes());
        for command in ["replan", "picture"] {
            let ran = classwright(&[command, path.to_str().expect("plain")]);
            assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{command}, {pointer}: {}", ran.err);
            assert!(ran.err.contains(words) && !ran.err.contains("athlete "), "{command}, {pointer}: {}", ran.err);
        }
    }
}

#[test]
fn what_is_no_plan_is_told_with_file_and_place() {
    let planned = Planned::of("monday");
    let changed = |change: &dyn Fn(&mut Value)| {
        let mut doc = planned.doc.clone();
        change(&mut doc);
        serde_json::to_vec_pretty(&doc).expect("JSON")
    };
    let whole = planned.doc.to_string();
    let cases: [(&str, Vec<u8>, &str); 14] = [
        ("empty.json", Vec::new(), "no JSON"),
        ("session.md", b"# Monday\n- length: 60 min\n".to_vec(), "line 1, column 1: no JSON"),
        ("binary.json", vec![0, 159, 146, 150], "no JSON"),
        ("half.json", whole.as_bytes()[..whole.len() / 2].to_vec(), "no JSON"),
        ("other.json", b"{\"heats\": []}".to_vec(), "JSON, and no plan"),
        ("deep.json", b"[".repeat(100_000), "no JSON"),
        (
            "older.json",
            changed(&|doc| _ = doc["floor"].as_object_mut().expect("a floor").remove("asked")),
            "another version",
        ),
        ("newer.json", changed(&|doc| doc["floor"]["colour"] = "red".into()), "`colour`"),
        (
            "name.json",
            changed(&|doc| doc["floor"]["asked"]["bouts"][7]["athlete"] = "x".into()),
            "floor.asked.bouts[7].athlete",
        ),
        ("starts.json", changed(&|doc| doc["floor"]["heats"][0]["starts"][1]["start_s"] = 1.into()), "cannot be run"),
        (
            "late.json",
            changed(&|doc| doc["floor"]["heats"][0]["starts"][1]["start_s"] = u32::MAX.into()),
            "beyond any class",
        ),
        ("part.json", changed(&|doc| doc["floor"]["asked"]["bouts"][0]["part"] = 99.into()), "part 99"),
        ("bar.json", changed(&|doc| doc["floor"]["asked"]["bars"][0]["side_kg"] = vec![20.0; 101].into()), "no sleeve"),
        ("sum.json", changed(&|doc| doc["floor"]["plate_pairs_moved"] = 0.into()), "do not agree"),
    ];
    for (name, bytes, words) in cases {
        planned.write(name, &bytes);
        let ran = planned.replan_file(name, &[]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{name}: {}", ran.err);
        assert!(ran.err.contains(words) && ran.err.contains(name), "{name}: {}", ran.err);
        assert!(ran.err.len() < 2000, "{name}: {}", ran.err);
    }
    let missing = planned.replan_file("missing.json", &[]);
    assert_eq!(missing.code, 3, "{}", missing.err);
    assert!(missing.err.contains("missing.json"), "{}", missing.err);
}
