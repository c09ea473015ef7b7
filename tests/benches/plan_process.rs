//! The whole `classwright plan` as a process: 30 athletes, from the gym's files to the printed plan.
//!
//! Beside it, in the same run, the start of the process alone (`classwright --version`). The search for a floor plan
//! takes what effort the gym gives it; it is measured at the least effort, where it stops at its first plan, and at the
//! demo gym's own. Goal: at most 50 ms with compiled policies at hand and the least effort.

use std::path::Path;
use std::process::{Command, Stdio};

use divan::Bencher;

fn main() {
    divan::main();
}

/// The demo gym with one athlete more, so that they are 30.
struct Gym {
    folder: tempfile::TempDir,
}

impl Gym {
    /// With this effort for the search, or with the demo gym's own.
    fn new(effort: Option<u64>) -> Self {
        let gym = Gym { folder: tempfile::tempdir().expect("a temporary folder") };
        let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        for part in ["demo-gym", "plugins/scaling", "plugins/substitution", "plugins/heats"] {
            copy(&top.join(part), &gym.folder.path().join(part));
        }
        gym.edit("roster.csv", |roster| {
            let rows = format!("{}\numa,Uma Brackwater,2,3,floor,bar-15,,,28,64 kg,\n", roster.trim_end());
            assert_eq!(rows.lines().count(), 1 + 30, "30 athletes and the names of the columns");
            rows
        });
        gym.edit("gym.toml", |text| {
            let own = text.lines().find(|line| line.starts_with("effort = ")).expect("the gym says its effort");
            effort.map_or(text.to_owned(), |effort| text.replace(own, &format!("effort = {effort}")))
        });
        gym
    }

    fn edit(&self, file: &str, change: impl Fn(&str) -> String) {
        let file = self.folder.path().join("demo-gym").join(file);
        let text = std::fs::read_to_string(&file).expect("it is there");
        std::fs::write(&file, change(&text)).expect("it can be written");
    }

    /// The command with its answer thrown away.
    fn plan(&self, cache: &[&str]) -> Command {
        let mut command = classwright();
        command.args(["plan", "demo-gym/sessions/monday.md", "--gym", "demo-gym"]).args(cache);
        command.current_dir(self.folder.path());
        command
    }
}

/// All files of a folder and of those within it.
fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("a readable folder").map(|entry| entry.expect("an entry").path()) {
        let name = entry.file_name().expect("it has a name");
        match entry.is_dir() {
            true => copy(&entry, &to.join(name)),
            false => drop(std::fs::copy(&entry, to.join(name)).expect("a copy")),
        }
    }
}

fn classwright() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_classwright"));
    command.stdout(Stdio::null());
    command
}

fn run(mut command: Command) {
    assert!(command.status().expect("it starts").success());
}

#[divan::bench]
fn version() {
    let mut command = classwright();
    command.arg("--version");
    run(command);
}

fn warm(bencher: Bencher<'_, '_>, effort: Option<u64>) {
    let gym = Gym::new(effort);
    run(gym.plan(&["--cache", "cache"]));
    bencher.bench_local(|| run(gym.plan(&["--cache", "cache"])));
}

#[divan::bench]
fn plan_with_compiled_policies(bencher: Bencher<'_, '_>) {
    warm(bencher, Some(1));
}

#[divan::bench(sample_count = 5)]
fn plan_with_compiled_policies_and_the_whole_search(bencher: Bencher<'_, '_>) {
    warm(bencher, None);
}

#[divan::bench(sample_count = 5)]
fn plan_that_compiles_its_policies(bencher: Bencher<'_, '_>) {
    let gym = Gym::new(Some(1));
    bencher.bench_local(|| run(gym.plan(&["--no-cache"])));
}
