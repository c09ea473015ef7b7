//! Running the command from the top of the repository.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// What a run of the command gave.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// The top of the repository.
pub(crate) fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().expect("the repository is there")
}

/// Runs `classwright` with these arguments. Compiled policies are kept between the tests of a run.
pub(crate) fn classwright(args: &[&str]) -> Ran {
    let cache = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cache");
    let output = Command::new(env!("CARGO_BIN_EXE_classwright"))
        .args(args)
        .current_dir(top())
        .env("XDG_CACHE_HOME", cache)
        .output()
        .expect("the command runs");
    ran(&output)
}

/// A process's output as text.
pub(crate) fn ran(output: &Output) -> Ran {
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout.clone()).expect("standard output is UTF-8"),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// Runs it, expects success, and reads standard output as JSON.
pub(crate) fn json(args: &[&str]) -> serde_json::Value {
    let ran = classwright(args);
    assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON on standard output")
}

/// A copy of the demo gym in a folder of its own, with the shelf's paths still good.
pub(crate) fn gym_copy() -> tempfile::TempDir {
    let copy = tempfile::tempdir().expect("a temporary folder");
    copy_dir(&top().join("demo-gym"), &copy.path().join("demo-gym"));
    copy_dir(&top().join("plugins"), &copy.path().join("plugins"));
    copy
}

fn copy_dir(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("a readable folder") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy_dir(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).expect("a copy");
        }
    }
}
