//! `classwright completions`, `man` and `config check`.

use std::process::Command;

use super::host::{Data, classwright, command};
use crate::support::ran;

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];

#[test]
fn every_shell_gets_its_completions_with_every_command() {
    for shell in SHELLS {
        let made = classwright(&["completions", shell]);
        assert_eq!(made.code, 0, "{shell}: {}", made.err);
        for word in ["athlete", "limitation-end", "dry-run", "completions"] {
            assert!(made.out.contains(word), "{shell} completes no {word}");
        }
    }
}

#[test]
fn bash_completes_a_command_by_them() {
    let data = Data::empty();
    let script = data.beside("classwright.bash");
    std::fs::write(&script, classwright(&["completions", "bash"]).out).expect("written");
    let ask = r#"
        source "$1" || exit 1
        COMP_WORDS=(classwright ath); COMP_CWORD=1; COMPREPLY=()
        _classwright classwright ath classwright
        echo "${COMPREPLY[@]}"
    "#;
    let output = Command::new("bash").args(["-c", ask, "bash", &script]).output().expect("bash runs");
    let completed = ran(&output);
    assert_eq!((completed.out.trim(), completed.code), ("athlete", 0), "{}", completed.err);
}

#[test]
fn every_command_has_a_page_that_man_shows() {
    let data = Data::empty();
    let folder = data.beside("man1");
    let made = classwright(&["man", &folder]);
    assert_eq!(made.code, 0, "{}", made.err);
    let page = format!("{folder}/classwright-athlete-limitation-end.1");
    for page in [page.as_str(), &format!("{folder}/classwright.1"), &format!("{folder}/classwright-policy-try.1")] {
        // Where there is no man, groff's source is all there is to look at.
        match Command::new("man")
            .args(["--warnings=all", "-l", page])
            .env("MANPAGER", "cat")
            .env("MANWIDTH", "100")
            .output()
        {
            Ok(output) => {
                let shown = ran(&output);
                assert_eq!(shown.code, 0, "{page}: {}", shown.err);
                assert!(shown.out.contains("SYNOPSIS"), "{page}: {}", shown.out);
                assert_eq!(shown.err, "", "{page}");
            }
            Err(_) => assert!(std::fs::read_to_string(page).expect("a page").contains(".SH SYNOPSIS")),
        }
    }
    let text = std::fs::read_to_string(format!("{folder}/classwright.1")).expect("a page");
    assert!(text.contains("Exit codes") && text.contains("in the meantime"), "the exit codes are on the page");
}

#[test]
fn settings_are_checked_all_at_once() {
    let data = Data::empty();
    let file = data.beside("host.toml");
    std::fs::write(&file, "[host]\nlisten = \"nowhere\"\ncolour = \"red\"\n").expect("written");
    let checked = classwright(&["config", "check", &file]);
    assert_eq!(checked.code, 2);
    for words in ["host.listen", "host.toml: host.colour", "2 settings to mend"] {
        assert!(checked.err.contains(words), "no `{words}` in\n{}", checked.err);
    }
    let wrong = command(&["config", "check"]).env("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "many").output();
    let wrong = ran(&wrong.expect("it runs"));
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER"), "{}", wrong.err);
}

#[test]
fn the_sample_of_settings_has_nothing_to_mend() {
    let data = Data::empty();
    let file = data.beside("host.toml");
    std::fs::write(&file, classwright(&["config", "sample"]).out).expect("written");
    let checked = classwright(&["config", "check", &file]);
    assert_eq!(checked.code, 0, "{}", checked.err);
    assert!(checked.out.contains("nothing to mend"), "{}", checked.out);
}
