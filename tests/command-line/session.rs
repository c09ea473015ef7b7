//! `classwright session check` and `format`.

use std::fs;

use crate::support::{classwright, top};

#[test]
fn every_session_of_the_week_has_nothing_to_mend() {
    for entry in fs::read_dir(top().join("demo-gym/sessions")).expect("sessions") {
        let path = entry.expect("an entry").path();
        let ran = classwright(&["session", "check", path.to_str().expect("plain"), "--gym", "demo-gym"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.out.contains("nothing to mend"));
    }
}

#[test]
fn all_errors_come_at_once_each_with_a_caret() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("wrong.md");
    fs::write(
        &file,
        "# W\n- length: 60 min\n\n## Strength: every 2:00 x 5\n- 5 bakc squat @ 60 kg\n- -3 deadlift\n- 5 deadlift @ 900 kg\n",
    )
    .expect("written");
    let ran = classwright(&["session", "check", file.to_str().expect("plain")]);
    assert_eq!(ran.code, 2);
    for words in ["bakc squat", "did you mean `back squat`?", ":5:", ":6:", ":7:", "^", "3 places to mend"] {
        assert!(ran.err.contains(words), "no `{words}` in:\n{}", ran.err);
    }
}

#[test]
fn format_writes_the_canonical_form_once_and_for_all() {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in fs::read_dir(top().join("demo-gym/sessions")).expect("sessions") {
        let from = entry.expect("an entry").path();
        let file = folder.path().join(from.file_name().expect("a name"));
        fs::copy(&from, &file).expect("a copy");
        let file_name = file.to_str().expect("plain");
        let first = classwright(&["session", "format", file_name, "--gym", "demo-gym"]);
        assert_eq!(first.code, 0, "{}", first.err);
        let written = fs::read_to_string(&file).expect("text");
        let printed = classwright(&["session", "format", file_name, "--print", "--gym", "demo-gym"]);
        assert_eq!(printed.out, written, "{}", from.display());
    }
}

#[test]
fn a_session_with_errors_is_not_rewritten() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("wrong.md");
    fs::write(&file, "# W\n- length: never\n").expect("written");
    let ran = classwright(&["session", "format", file.to_str().expect("plain")]);
    assert_eq!(ran.code, 2);
    assert_eq!(fs::read_to_string(&file).expect("text"), "# W\n- length: never\n");
}
