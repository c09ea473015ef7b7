//! `classwright athlete`, `kit`, `movement` and `session`, on data in hand.

use super::host::Data;

#[test]
fn somebody_is_added_changed_shown_and_forgotten() {
    let data = Data::demo();
    data.well(&[
        "athlete",
        "add",
        "tamsin",
        "Tamsin Reefgold",
        "--column",
        "2",
        "--skill",
        "3",
        "--tag",
        "new",
        "--tag",
        "keen",
    ]);
    data.well(&["athlete", "change", "tamsin", "--skill", "4", "--mass", "61 kg"]);
    data.well(&["athlete", "change", "tamsin", "--without", "tags"]);
    data.well(&["athlete", "best", "tamsin", "back squat", "70 kg", "--since", "2026-11-01"]);
    data.well(&["athlete", "limitation", "tamsin", "knee", "mild", "--side", "left", "--since", "2026-11-20"]);
    data.well(&["athlete", "limitation-end", "tamsin", "1", "--until", "2026-11-30"]);
    let shown = data.well(&["athlete", "show", "tamsin"]);
    for words in ["Tamsin Reefgold", "61 kg", "back squat", "70 kg", "2026-11-01", "knee", "left", "2026-11-30"] {
        assert!(shown.contains(words), "no `{words}` in\n{shown}");
    }
    assert!(!shown.contains("keen"), "the tags are gone:\n{shown}");
    let record = data.well(&["athlete", "record", "tamsin"]);
    assert!(record.contains("Tamsin Reefgold") && record.contains("2026-11-20"), "{record}");
    let unsure = data.run(&["athlete", "erase", "tamsin"]);
    assert_eq!((unsure.code, unsure.err.contains("--yes")), (2, true), "{}", unsure.err);
    data.well(&["athlete", "erase", "tamsin", "--yes"]);
    let gone = data.run(&["athlete", "show", "tamsin"]);
    assert_eq!(gone.code, 2);
    assert!(gone.err.contains("there is no athlete `tamsin`"), "{}", gone.err);
    assert!(!data.well(&["athlete", "list"]).contains("Tamsin"));
}

#[test]
fn what_makes_no_sense_is_told_with_its_place_and_changes_nothing() {
    let data = Data::demo();
    let before = data.well(&["athlete", "show", "ama", "--json"]);
    for (args, words) in [
        (["athlete", "change", "ama", "--skill", "9"].as_slice(), "skill"),
        (&["athlete", "change", "ama", "--bar", "bar-99"], "bar-99"),
        (&["athlete", "best", "ama", "back squatt", "100 kg"], "back squatt"),
        (&["athlete", "limitation", "ama", "elbo", "mild"], "elbo"),
        (&["athlete", "limitation-end", "ama", "99"], "no limitation 99"),
        (&["athlete", "change", "ama"], "what changes?"),
        (&["athlete", "add", "ama", "Ama Again"], "already"),
    ] {
        let ran = data.run(args);
        assert_eq!(ran.code, 2, "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: no `{words}` in\n{}", ran.err);
        assert_eq!(ran.out, "", "{args:?}");
    }
    assert_eq!(data.well(&["athlete", "show", "ama", "--json"]), before);
}

#[test]
fn a_roster_is_tried_before_it_is_taken_in() {
    let data = Data::demo();
    let file = data.beside("roster.csv");
    let roster = std::fs::read_to_string(crate::support::top().join("demo-gym/roster.csv")).expect("the roster");
    let more =
        roster.replace("Ama Tidewell,2,4", "Ama Tidewell,2,5") + "tamsin,Tamsin Reefgold,2,3,floor,bar-15,,,,,\n";
    std::fs::write(&file, more).expect("written");
    let tried = data.well(&["athlete", "import", &file, "--dry-run"]);
    for words in ["+ tamsin: Tamsin Reefgold", "~ ama: skill 4 -> 5", "1 added, 1 changed", "nothing was changed"] {
        assert!(tried.contains(words), "no `{words}` in\n{tried}");
    }
    assert!(!data.well(&["athlete", "list"]).contains("Tamsin"));
    let taken = data.well(&["athlete", "import", &file]);
    assert!(taken.contains("1 added, 1 changed") && !taken.contains("nothing was changed"), "{taken}");
    assert!(data.well(&["athlete", "list"]).contains("Tamsin"));
    std::fs::write(&file, roster.replace("Ama Tidewell,2,4", "Ama Tidewell,2,9")).expect("written");
    let wrong = data.run(&["athlete", "import", &file]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("roster.csv:2") && wrong.err.contains("skill"), "{}", wrong.err);
}

#[test]
fn kit_goes_out_of_service_and_comes_back() {
    let data = Data::demo();
    let out = data.well(&["kit", "out-of-service", "A5", "20 kg plate=2", "row machine=1"]);
    assert!(out.contains("A5") && out.contains("A6"), "{out}");
    assert!(data.well(&["kit", "show"]).contains("A5"));
    let back = data.well(&["kit", "out-of-service", "--back", "A5"]);
    assert!(!back.contains("A5"), "{back}");
    let none = data.run(&["kit", "out-of-service", "Z9"]);
    assert_eq!((none.code, none.err.contains("floor has no `Z9`")), (2, true), "{}", none.err);
    let many = data.run(&["kit", "out-of-service", "row machine=99"]);
    assert_eq!(many.code, 2, "more than there are: {}", many.err);
    data.well(&["kit", "set", "floor", "demo-gym/kit.toml"]);
    assert!(data.well(&["kit", "list"]).contains("floor"));
}

#[test]
fn a_movement_of_the_gyms_own_is_set_and_removed() {
    let data = Data::demo();
    let file = data.beside("own.toml");
    let tyre = std::fs::read_to_string(crate::support::top().join("demo-gym/movements/tyre.toml")).expect("a file");
    let drag = tyre.replace("tyre-flip", "tyre-drag").replace("tyre flip", "tyre drag");
    std::fs::write(&file, &drag).expect("written");
    data.well(&["movement", "set", &file]);
    std::fs::write(&file, drag.replace("skill = 3", "skill = 2")).expect("written");
    let again = data.well(&["movement", "set", &file]);
    assert!(again.contains("tyre-drag") && again.contains('2'), "{again}");
    assert!(data.well(&["movement", "list"]).contains("tyre drag"));
    data.well(&["movement", "remove", "tyre-drag"]);
    assert!(!data.well(&["movement", "list"]).contains("tyre drag"));
}

#[test]
fn a_session_keeps_every_text_that_it_had() {
    let data = Data::demo();
    let file = data.beside("extra.md");
    let monday = std::fs::read_to_string(crate::support::top().join("demo-gym/sessions/monday.md")).expect("a file");
    std::fs::write(&file, &monday).expect("written");
    assert_eq!(data.well(&["session", "keep", &file]), "extra: kept as revision 1\n");
    let second = monday.replacen("Monday", "Another Monday", 1);
    std::fs::write(&file, &second).expect("written");
    assert_eq!(data.well(&["session", "keep", &file]), "extra: kept as revision 2\n");
    assert_eq!(data.well(&["session", "text", "extra"]), second);
    assert_eq!(data.well(&["session", "text", "extra", "--revision", "1"]), monday);
    assert_eq!(data.well(&["session", "revisions", "extra"]).lines().count(), 3);
    assert!(data.well(&["session", "kept"]).contains("Another Monday"));
    std::fs::write(&file, second.replace("back squat", "bakc squat")).expect("written");
    let wrong = data.run(&["session", "keep", &file]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("bakc squat") && wrong.err.contains("back squat"), "{}", wrong.err);
    assert_eq!(data.well(&["session", "text", "extra"]), second, "what cannot be read is not kept");
    data.well(&["session", "remove", "extra"]);
    let needed = data.run(&["session", "remove", "monday"]);
    assert_eq!(needed.code, 2, "a class has it: {}", needed.err);
}
