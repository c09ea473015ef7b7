//! `classwright policy` on the shelf of data in hand.

use super::host::Data;

#[test]
fn a_policy_is_installed_enabled_set_and_taken_off() {
    let data = Data::demo();
    let shelf = data.well(&["policy", "list"]);
    assert_eq!(shelf.lines().count(), 4, "three policies and the headings:\n{shelf}");
    let names: Vec<String> =
        shelf.lines().skip(1).filter_map(|line| line.split_whitespace().next()).map(str::to_owned).collect();
    let [scaling, substitution, heats] = names.as_slice() else { panic!("{shelf}") };
    data.well(&["policy", "remove", scaling]);
    let installed = data.well(&["policy", "install", "plugins/scaling"]);
    assert!(installed.contains("built-in questions: passed") && installed.contains("at the end of the shelf"), "{installed}");
    data.well(&["policy", "enable", scaling]);
    data.well(&["policy", "order", scaling, substitution, heats]);
    let left_out = data.run(&["policy", "order", scaling]);
    assert_eq!((left_out.code, left_out.err.contains("leaves out")), (2, true), "{}", left_out.err);
    let shown = data.well(&["policy", "show", substitution]);
    assert!(shown.contains("keep-count-within-percent: 25"), "{shown}");
    let file = data.beside("settings.json");
    std::fs::write(&file, r#"{ "keep-count-within-percent": 10 }"#).expect("written");
    data.well(&["policy", "settings", substitution, "--set", &file]);
    assert!(data.well(&["policy", "settings", substitution]).contains("keep-count-within-percent: 10"));
    std::fs::write(&file, r#"{ "keep-count-within-percent": "many" }"#).expect("written");
    let wrong = data.run(&["policy", "settings", substitution, "--set", &file]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("keep-count-within-percent"), "{}", wrong.err);
    let limits = data.well(&["policy", "limits", heats, "--fuel", "30000000000", "--wall-ms", "20000"]);
    assert!(limits.contains("30000000000"), "{limits}");
    data.well(&["policy", "disable", scaling]);
    assert!(data.well(&["policy", "list"]).contains("not asked"));
}

#[test]
fn a_policy_is_tried_on_past_classes_and_nothing_is_written() {
    let data = Data::demo();
    data.well(&["class", "plan", "monday"]);
    let heats = "quayside-heats";
    let names = data.well(&["policy", "list"]);
    let name = names.lines().nth(2).and_then(|line| line.split_whitespace().next()).unwrap_or(heats).to_owned();
    let before = data.well(&["class", "plans", "monday"]);
    let tried = data.well(&["policy", "try", &name, "--classes", "last-366-days"]);
    assert!(tried.contains("classes tried") && tried.contains("Nothing was written"), "{tried}");
    assert_eq!(data.well(&["class", "plans", "monday"]), before);
    let wrong = data.run(&["policy", "try", &name, "--classes", "always"]);
    assert_eq!((wrong.code, wrong.err.contains("last-30-days")), (2, true), "{}", wrong.err);
}

#[test]
fn what_is_no_component_is_refused_with_its_kind() {
    let data = Data::demo();
    let file = data.beside("core.wasm");
    std::fs::write(&file, wat::parse_str("(module)").expect("a module")).expect("written");
    let ran = data.run(&["policy", "install", &file]);
    assert_eq!(ran.code, 20, "{}", ran.err);
    assert!(ran.err.contains("incompatible") && ran.err.contains("author:"), "{}", ran.err);
    let same = super::host::classwright(&["policy", "show", &file]);
    assert_eq!((same.code, same.err), (20, ran.err), "the words are those of a file that is looked into");
}
