//! `classwright gym`, `backup`, `restore`, `verify` and `ledger`, on data in hand.

use std::path::Path;

use super::host::{Data, classwright};

#[test]
fn a_gym_is_made_named_and_its_rules_are_set() {
    let data = Data::empty();
    assert_eq!(data.well(&["gym", "make", "hall", "The Hall"]), "hall: made\n");
    data.well(&["gym", "rename", "The New Hall"]);
    let shown = data.well(&["gym", "show"]);
    assert!(shown.contains("The New Hall"), "{shown}");
    data.well(&["gym", "rules", "--coach-span", "8", "--plate-change", "12 s"]);
    let rules = data.well(&["gym", "rules", "--plate-change-a-pair", "4 s"]);
    for words in ["coach-span", "8", "12 s", "4 s"] {
        assert!(rules.contains(words), "no `{words}` in\n{rules}");
    }
    let wrong = data.run(&["gym", "rules", "--heats-start-every", "soon"]);
    assert_eq!((wrong.code, wrong.err.contains("soon")), (2, true), "{}", wrong.err);
    let again = data.run(&["gym", "make", "hall", "The Hall"]);
    assert_eq!((again.code, again.err.contains("already")), (2, true), "{}", again.err);
}

#[test]
fn where_there_are_two_gyms_one_has_to_be_named() {
    let data = Data::empty();
    data.well(&["gym", "make", "hall", "The Hall"]);
    data.well(&["gym", "make", "yard", "The Yard"]);
    let which = data.run(&["athlete", "list"]);
    assert_eq!(which.code, 2);
    assert!(which.err.contains("--gym: hall, yard"), "{}", which.err);
    assert_eq!(data.well(&["athlete", "list", "--gym", "yard"]), "none\n");
    let none = data.run(&["athlete", "list", "--gym", "barn"]);
    assert_eq!((none.code, none.err.contains("barn")), (2, true), "{}", none.err);
}

#[test]
fn a_folder_goes_in_and_out_and_plans_the_same() {
    let data = Data::demo();
    let folder = data.beside("out");
    data.well(&["gym", "export", &folder]);
    let plan = |gym: &str| classwright(&["plan", "--gym", gym, "--class", "monday", "--json"]);
    let (there, here) = (plan("demo-gym"), plan(&folder));
    assert_eq!((there.code, here.code), (0, 0), "{}", here.err);
    assert_eq!(there.out, here.out);
    let full = data.run(&["gym", "export", &folder]);
    assert_eq!(full.code, 3, "the folder is not empty: {}", full.err);
    let twice = data.run(&["gym", "import", "demo-gym", "--as", "quayside"]);
    assert_eq!((twice.code, twice.err.contains("already")), (2, true), "{}", twice.err);
}

#[test]
fn a_folder_with_faults_is_not_taken_in() {
    let copy = crate::support::gym_copy();
    let gym = copy.path().join("demo-gym");
    let roster = std::fs::read_to_string(gym.join("roster.csv")).expect("a roster").replace(",2,4,", ",2,9,");
    std::fs::write(gym.join("roster.csv"), roster).expect("written");
    let data = Data::empty();
    let ran = data.run(&["gym", "import", gym.to_str().expect("plain")]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("roster.csv:2") && ran.err.contains("skill"), "{}", ran.err);
    assert!(!Path::new(&data.file()).exists(), "nothing was made");
}

#[test]
fn a_backup_is_restored_and_plans_the_same_bytes() {
    let data = Data::demo();
    data.well(&["class", "plan", "monday"]);
    let plan = data.well(&["class", "plan-text", "monday-1", "--json"]);
    let file = data.beside("backup.db");
    data.well(&["backup", &file]);
    assert!(classwright(&["verify", &file]).out.contains("whole"));
    let other = Data::empty();
    other.well(&["restore", &file]);
    assert!(other.well(&["verify"]).contains("whole"));
    assert_eq!(other.well(&["class", "plan-text", "monday-1", "--json"]), plan);
    assert!(other.well(&["class", "replay", "monday-1"]).contains("the same to the byte"));
    let twice = other.run(&["restore", &file]);
    assert_ne!(twice.code, 0, "there is a gym already");
    let mut bytes = std::fs::read(&file).expect("a backup");
    let middle = bytes.len() / 2;
    bytes[middle..middle + 64].fill(0x5a);
    std::fs::write(&file, bytes).expect("written");
    let broken = classwright(&["verify", &file]);
    assert_eq!(broken.code, 3, "{}", broken.out);
}

#[test]
fn the_ledger_says_what_was_done_and_holds() {
    let data = Data::demo();
    data.well(&["athlete", "change", "ama", "--skill", "5"]);
    data.well(&["athlete", "limitation", "ama", "knee", "severe", "--since", "2026-11-20"]);
    let ledger = data.well(&["ledger", "list"]);
    for words in ["gym.imported", "athlete.changed", "limitation.added", "console"] {
        assert!(ledger.contains(words), "no `{words}` in\n{ledger}");
    }
    for never in ["knee", "severe", "Ama"] {
        assert!(!ledger.contains(never), "`{never}` stands in\n{ledger}");
    }
    assert!(data.well(&["ledger", "verify"]).contains("whole"));
}
