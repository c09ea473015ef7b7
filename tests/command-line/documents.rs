//! README.md, DEVELOPERS.md and demo-gym/README.md are true: every command in them is run, and prints what they show.
//!
//! A block that starts with ```console holds commands after `$ ` and what they print. `...` alone on a line stands for
//! any lines. A command that ends in `# exit N` must end with that code; its standard error counts as printed. One that
//! ends in `&` goes on running until the document is through, and has to print at once what is shown.
//!
//! Files in /tmp are in a folder of the test's own, and port 8080 is one that is free.

use std::fs;
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::Path;
use std::process::{Child, Command, Stdio};

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

/// Where the commands of a document run.
struct Place {
    home: tempfile::TempDir,
    port: u16,
    running: Vec<Child>,
}

impl Place {
    fn new() -> Place {
        let free = TcpListener::bind("127.0.0.1:0").expect("a port").local_addr().expect("an address");
        Place { home: tempfile::tempdir().expect("a folder"), port: free.port(), running: Vec::new() }
    }

    /// A command line from the top of the repository. `classwright` is the one under test, and so is `cargo run --`: the
    /// same program built the same way.
    fn command(&self, line: &str) -> Command {
        let line = line.replacen("cargo run -q --", "classwright", 1).replace(":8080", &format!(":{}", self.port));
        let line = line.replace("/tmp/", &format!("{}/", self.home.path().display()));
        let folder = Path::new(env!("CARGO_BIN_EXE_classwright")).parent().expect("a folder");
        let path = format!("{}:{}", folder.display(), std::env::var("PATH").unwrap_or_default());
        let mut command = Command::new("bash");
        command.args(["-c", &line]).current_dir(top()).env("PATH", path).env("XDG_CACHE_HOME", self.home.path());
        command.env("NO_PROXY", "127.0.0.1");
        command
    }

    /// What was printed, as the documents would show it.
    fn shown(&self, printed: &str) -> String {
        let printed = printed.replace(&format!("{}/", self.home.path().display()), "/tmp/");
        printed.replace(&format!(":{}", self.port), ":8080")
    }

    fn run(&self, line: &str) -> Ran {
        let ran = ran(&self.command(line).output().expect("bash runs"));
        Ran { code: ran.code, out: self.shown(&ran.out), err: self.shown(&ran.err) }
    }

    /// Starts what goes on running, and gives as many lines of it as are shown.
    fn start(&mut self, line: &str, lines: usize) -> String {
        let line = format!("exec {line}");
        let mut child = self.command(&line).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("bash runs");
        let printed = BufReader::new(child.stdout.take().expect("piped")).lines().take(lines);
        let printed: Vec<String> = printed.map(|line| line.expect("text")).collect();
        self.running.push(child);
        self.shown(&printed.join("\n"))
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        for child in &mut self.running {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
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
    let mut place = Place::new();
    for Shown { command, code, lines } in commands {
        // The two that build or test everything are what runs this test.
        if command == "tests/run" || command == ".ci/run" {
            assert!(top().join(&command).is_file(), "{document}: there is no {command}");
            continue;
        }
        if let Some(command) = command.strip_suffix('&') {
            let printed = place.start(command.trim(), lines.len());
            assert_eq!(printed, lines.join("\n"), "{document}: {command}");
            continue;
        }
        let ran = place.run(&command);
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
