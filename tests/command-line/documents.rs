//! README.md, DEVELOPERS.md and demo-gym/README.md are true: every command in them is run, and prints what they show.
//!
//! A block that starts with ```console holds commands after `$ ` and what they print. `...` alone on a line stands for
//! any lines. A command that ends in `# exit N` must end with that code; its standard error counts as printed.

use std::fs;
use std::process::Command;

use crate::support::{Ran, ran, top};

struct Shown {
    command: String,
    code: i32,
    lines: Vec<String>,
}

fn shown(document: &str) -> Vec<Shown> {
    let text = fs::read_to_string(top().join(document)).expect("the document is there");
    let mut commands: Vec<Shown> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            line if inside => match line.strip_prefix("$ ") {
                Some(command) => {
                    let (command, code) = match command.split_once("# exit ") {
                        Some((command, code)) => (command.trim(), code.trim().parse().expect("an exit code")),
                        None => (command, 0),
                    };
                    commands.push(Shown { command: command.into(), code, lines: Vec::new() });
                }
                None => commands.last_mut().expect("a command before its output").lines.push(line.into()),
            },
            _ => {}
        }
    }
    commands
}

/// Runs a command line of the documents from the top of the repository. `classwright` is the one under test, and so
/// is `cargo run --`: the same program built the same way.
fn run(command: &str, home: &std::path::Path) -> Ran {
    let command = command.replacen("cargo run -q --", "classwright", 1);
    let binary = env!("CARGO_BIN_EXE_classwright");
    let folder = std::path::Path::new(binary).parent().expect("a folder");
    let path = format!("{}:{}", folder.display(), std::env::var("PATH").unwrap_or_default());
    let output = Command::new("bash")
        .args(["-c", &command])
        .current_dir(top())
        .env("PATH", path)
        .env("XDG_CACHE_HOME", home)
        .output()
        .expect("bash runs");
    ran(&output)
}

/// The lines shown, in order, with `...` for any lines between.
fn matches(shown: &[String], printed: &[&str]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((first, rest)) if first == "..." => (0..=printed.len()).any(|from| matches(rest, &printed[from..])),
        Some((first, rest)) => printed
            .split_first()
            .is_some_and(|(line, printed)| line.trim_end() == first.trim_end() && matches(rest, printed)),
    }
}

fn check(document: &str, least: usize) {
    let commands = shown(document);
    assert!(commands.len() >= least, "{document} shows {} commands", commands.len());
    let home = tempfile::tempdir().expect("a folder");
    for Shown { command, code, lines } in commands {
        // The two that build or test everything are what runs this test.
        if command == "tests/run" || command == ".ci/run" {
            assert!(top().join(&command).is_file(), "{document}: there is no {command}");
            continue;
        }
        let ran = run(&command, home.path());
        assert_eq!(ran.code, code, "{document}: {command}\n{}", ran.err);
        let printed = if code == 0 { ran.out } else { ran.out + &ran.err };
        let printed: Vec<&str> = printed.lines().collect();
        assert!(
            lines.is_empty() || matches(&lines, &printed),
            "{document}: `{command}` prints\n{}\nand not\n{}",
            printed.join("\n"),
            lines.join("\n")
        );
    }
}

#[test]
fn the_readme_is_true() {
    check("README.md", 5);
}

#[test]
fn the_developers_page_is_true() {
    check("DEVELOPERS.md", 3);
}

#[test]
fn the_demo_gyms_page_is_true() {
    check("demo-gym/README.md", 1);
}

#[test]
fn a_line_that_is_not_printed_is_found_out() {
    let shown = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>();
    assert!(matches(&shown(&["a", "...", "c"]), &["a", "b", "b", "c"]));
    assert!(!matches(&shown(&["a", "...", "d"]), &["a", "b", "c"]));
    assert!(!matches(&shown(&["a"]), &["a", "b"]));
}
