//! Class sheets that say who stays together and when heats start, and classes that cannot be: told with names.

use std::fs;

use serde_json::Value;

use crate::support::{classwright, gym_copy, json};

const SQUATS: &str = "# Try\n- length: 40 min\n\n## Strength: 3 sets, rest 1:30-3:00\n- 5 back squat @ 60 kg\n";

/// A gym with one more class: eight men who squat, with these lines in the sheet.
fn gym(session: &str, lines: &str) -> (tempfile::TempDir, String) {
    let copy = gym_copy();
    let gym = copy.path().join("demo-gym");
    fs::write(gym.join("sessions/try.md"), session).expect("written");
    let present = r#"present = ["bram", "chidi", "emre", "goran", "kofi", "milo", "wen", "yusuf"]"#;
    let head =
        "date = 2026-12-20\ntime = \"10:00\"\nzone = \"UTC\"\nsession = \"sessions/try.md\"\ncoach = \"Io Fell\"";
    fs::write(gym.join("classes/try.toml"), format!("{head}\n{present}\n{lines}\n")).expect("written");
    let path = gym.to_str().expect("a plain path").to_owned();
    (copy, path)
}

fn planned(session: &str, lines: &str) -> Value {
    let (_copy, gym) = gym(session, lines);
    json(&["plan", "--gym", &gym, "--class", "try", "--json"])
}

/// The heat of somebody.
fn heat(plan: &Value, id: &str) -> u64 {
    let heats = plan["floor"]["heats"].as_array().expect("heats");
    let own = heats.iter().find(|heat| heat["athletes"].as_array().expect("ids").iter().any(|athlete| athlete == id));
    own.expect("everybody has a heat")["heat"].as_u64().expect("a number")
}

#[test]
fn a_class_sheet_keeps_people_together_and_apart_and_on_the_minute() {
    let lines = "together = [[\"bram\", \"yusuf\"], [\"chidi\", \"wen\"]]\napart = [[\"emre\", \"goran\"], [\"bram\", \"chidi\"]]\n\n[floor]\nheats-start-every = \"1:00\"";
    let plan = planned(SQUATS, lines);
    let of = |id: &str| heat(&plan, id);
    assert!(
        of("bram") == of("yusuf") && of("chidi") == of("wen") && of("emre") != of("goran") && of("bram") != of("chidi")
    );
    let starts = plan["floor"]["heats"].as_array().expect("heats").iter().flat_map(|heat| heat["starts"].as_array());
    let starts: Vec<u64> = starts.flatten().map(|start| start["start_s"].as_u64().expect("seconds")).collect();
    assert!(starts.len() >= 6 && starts.iter().all(|start| start % 60 == 0), "{starts:?}");
    assert_eq!(plan["floor"]["asked"]["together"].as_array().expect("pairs").len(), 2);
    // Somebody of a pair who does not come after all leaves the other free.
    let (_copy, gym) = gym(SQUATS, lines);
    let plan = json(&["plan", "--gym", &gym, "--class", "try", "--absent", "yusuf", "--json"]);
    assert_eq!(plan["floor"]["asked"]["together"].as_array().expect("pairs").len(), 1);
}

#[test]
fn what_cannot_be_is_told_with_names_and_the_fewest_of_them() {
    let lines = "together = [[\"bram\", \"emre\"], [\"emre\", \"chidi\"], [\"kofi\", \"milo\"]]\napart = [[\"chidi\", \"bram\"]]";
    let (_copy, gym) = gym(SQUATS, lines);
    let ran = classwright(&["plan", "--gym", &gym, "--class", "try"]);
    assert_eq!(ran.code, 6, "{}", ran.err);
    let told = "No floor plan is possible: Chidi Marlowen and Bram Oakhollow have to be together through Emre Saltgate and are kept apart.";
    let lines: Vec<&str> = ran.out.lines().filter(|line| line.contains("No floor plan is possible")).collect();
    assert_eq!(lines, [told]);
    // Six people in one heat, five men's bars.
    let six = "together = [[\"bram\", \"emre\"], [\"emre\", \"chidi\"], [\"chidi\", \"milo\"], [\"milo\", \"wen\"], [\"wen\", \"yusuf\"]]";
    let (_copy, gym) = self::gym(SQUATS, six);
    let ran = classwright(&["plan", "--gym", &gym, "--class", "try"]);
    assert_eq!(ran.code, 6, "{}", ran.err);
    assert!(
        ran.out.contains("start together and need 6 of 20 kg bar at set 1 of strength, and there are 5."),
        "{}",
        ran.out
    );
}

#[test]
fn a_class_that_is_too_tight_is_planned_and_told_why() {
    let long = "# Try\n- length: 20 min\n\n## Strength: 2 sets, rest 25:00-26:00\n- 5 back squat @ 60 kg\n";
    let plan = planned(long, "");
    assert_eq!(
        (&plan["session"]["fits"], plan["floor"]["heats"].as_array().map(Vec::is_empty)),
        (&Value::Bool(false), Some(false))
    );
    let told = plan["cautions"].to_string();
    assert!(told.contains("No plan is done in time: Bram Oakhollow, set 1 of strength: the rest of 25:00 after it is longer than the class of 20:00, and 7 more."), "{told}");
    let plan = planned(SQUATS, "[floor]\nmax-heats = 1");
    let told = plan["cautions"].to_string();
    assert!(told.contains("The plan takes more heats than the gym's rules allow: 7 people need 7 of 20 kg bar at set 1 of strength, and there are 5 at once: 2 heats at least, 1 allowed."), "{told}");
    assert_eq!(plan["floor"]["laid_out_by"], "policy");
    assert_eq!(plan["faults"], Value::Array(vec![]));
}

#[test]
fn collars_are_counted_where_the_gym_counts_them() {
    let most_at_once = |collars: &str| {
        let (copy, gym) = gym(SQUATS, "");
        let file = copy.path().join("demo-gym/kit.toml");
        let kit = fs::read_to_string(&file).expect("a file");
        fs::write(&file, format!("{collars}\n{kit}")).expect("written");
        let plan = json(&["plan", "--gym", &gym, "--class", "try", "--json"]);
        let bars = plan["floor"]["bars"].as_array().expect("bars").clone();
        let uses: Vec<(i64, i64)> = bars
            .iter()
            .flat_map(|bar| bar["uses"].as_array().expect("uses"))
            .map(|turn| (turn["start_s"].as_i64().expect("seconds"), turn["end_s"].as_i64().expect("seconds")))
            .collect();
        uses.iter().map(|(at, _)| uses.iter().filter(|(from, to)| (*from..*to).contains(at)).count()).max()
    };
    assert!(most_at_once("") > Some(2));
    assert_eq!(most_at_once("collars = 2  # pairs"), Some(2));
}
