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
    assert!(
        installed.contains("built-in questions: passed") && installed.contains("at the end of the shelf"),
        "{installed}"
    );
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
    let today = jiff::Timestamp::now().strftime("%Y-%m-%d").to_string();
    data.well(&["class", "change", "monday", "--date", &today]);
    data.well(&["class", "plan", "monday"]);
    let before = data.well(&["class", "plans", "monday"]);
    let same = data.well(&["policy", "try", "house-scaling"]);
    assert!(same.contains("monday: the same\n1 class tried; of these 0 would differ"), "{same}");
    // Whoever is back from a break does a tenth instead of half.
    let file = data.beside("settings.json");
    std::fs::write(&file, r#"{ "return-conditioning-cut-percent": [90], "return-lifting-cut-percent": [90] }"#)
        .expect("written");
    let other = data.well(&["policy", "try", "house-scaling", "--classes", "last-2-days", "--settings", &file]);
    assert!(other.contains("of these 1 would differ") && other.contains(" -> "), "{other}");
    assert!(other.contains("Nothing was written"), "{other}");
    assert_eq!(data.well(&["class", "plans", "monday"]), before);
    let wrong = data.run(&["policy", "try", "house-scaling", "--classes", "always"]);
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
