//! `classwright class`, on data in hand.

use super::host::Data;

#[test]
fn a_class_is_added_checked_in_planned_and_planned_anew() {
    let data = Data::demo();
    let sheet = data.beside("extra.toml");
    let monday = std::fs::read_to_string(crate::support::top().join("demo-gym/classes/monday.toml")).expect("a sheet");
    std::fs::write(&sheet, monday.replace("18:00", "09:30")).expect("written");
    assert_eq!(data.well(&["class", "add", &sheet]), "extra: added\n");
    data.well(&["class", "change", "extra", "--coach", "Quill Harrowgate", "--present", "ama,bram,emre,farah"]);
    let listed = data.well(&["class", "list", "--from", "2026-12-07", "--to", "2026-12-07"]);
    assert!(listed.contains("extra") && listed.contains("09:30") && listed.contains("monday"), "{listed}");
    assert!(!listed.contains("tuesday"), "{listed}");
    data.well(&["class", "check-in", "extra", "ama", "bram", "emre"]);
    let there = data.well(&["class", "check-out", "extra", "farah"]);
    assert!(there.lines().any(|line| line.starts_with("farah") && line.contains("out")), "{there}");
    let planned = data.well(&["class", "plan", "extra"]);
    assert!(planned.starts_with("extra-1\n"), "{planned}");
    assert!(
        planned.contains("Floor plan") && planned.contains("Ama Tidewell") && !planned.contains("Farah"),
        "{planned}"
    );
    let anew = data.well(&["class", "replan", "extra", "--when", "+5:00", "--gone", "Bram Oakhollow"]);
    assert!(anew.starts_with("extra-2\n") && anew.contains("Changes"), "{anew}");
    let plans = data.well(&["class", "plans", "extra"]);
    assert!(plans.contains("extra-1") && plans.contains("extra-2"), "{plans}");
    for plan in ["extra-1", "extra-2"] {
        let replayed = data.well(&["class", "replay", plan]);
        assert!(replayed.contains("the same to the byte"), "{replayed}");
    }
    let needed = data.run(&["class", "remove", "extra"]);
    assert_eq!(needed.code, 2, "it was planned: {}", needed.err);
}

#[test]
fn a_kept_plan_is_a_plan_for_every_other_command() {
    let data = Data::demo();
    data.well(&["class", "plan", "monday"]);
    let text = data.well(&["class", "plan-text", "monday-1", "--json"]);
    let file = data.beside("plan.json");
    std::fs::write(&file, &text).expect("written");
    let picture = super::host::classwright(&["picture", &file]);
    assert_eq!(picture.code, 0, "{}", picture.err);
    let folder = super::host::classwright(&["plan", "--gym", "demo-gym", "--class", "monday"]);
    assert_eq!(folder.code, 0, "{}", folder.err);
    let kept = data.well(&["class", "plan-text", "monday-1"]);
    let cards =
        |text: &str| text.split_once("\nCards (").map(|(_, cards)| cards.split("Cautions").next().map(str::to_owned));
    assert_eq!(cards(&kept), cards(&folder.out), "the data plans what the folder plans");
}

#[test]
fn a_card_shows_what_was_set_by_hand() {
    let data = Data::demo();
    data.well(&["class", "plan", "monday"]);
    let card = data.well(&["class", "card", "monday", "ama"]);
    assert!(card.starts_with("Ama Tidewell\n"), "{card}");
    data.well(&["class", "override", "monday", "ama", "--item", "1", "--off", "--reason", "came late to warm up"]);
    let card = data.well(&["class", "card", "monday", "ama"]);
    assert!(card.contains("set by hand: item 1, left out (came late to warm up)"), "{card}");
    let listed = data.json(&["class", "overrides", "monday"]);
    let id = listed[0]["id"].as_str().expect("an id").to_owned();
    data.well(&["class", "override-remove", "monday", &id]);
    assert!(!data.well(&["class", "card", "monday", "ama"]).contains("set by hand"));
    let all = data.well(&["class", "cards", "monday"]);
    assert!(all.contains("Ama Tidewell") && all.contains("Bram Oakhollow"), "{all}");
    let raised = data.run(&["class", "override", "monday", "ama", "--item", "99", "--off", "--reason", "no such item"]);
    assert_eq!(raised.code, 2, "{}", raised.err);
}

#[test]
fn what_cannot_be_is_told() {
    let data = Data::demo();
    for (args, code, words) in [
        (["class", "show", "moonday"].as_slice(), 2, "there is no class `moonday`"),
        (&["class", "replan", "monday", "--gone", "ama"], 2, "has no plan yet"),
        (&["class", "card", "monday", "ama"], 2, "plan"),
        (&["class", "check-in", "monday", "nobody"], 2, "nobody"),
        (&["class", "change", "monday", "--time", "25:00"], 2, "25:00"),
        (&["class", "change", "monday"], 2, "what changes?"),
    ] {
        let ran = data.run(args);
        assert_eq!(ran.code, code, "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: no `{words}` in\n{}", ran.err);
    }
}
