//! `check.py`, asked about many plans by one process.

use std::cell::RefCell;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use serde_json::{Value, json};

use crate::asked::data;

/// What it says of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Verdict {
    pub(crate) faults: Vec<String>,
    /// Finish, heats, plate pairs moved; with a plan before, the number of athletes changed after the finish.
    pub(crate) worth: Vec<u64>,
}

/// A process that lives as long as this.
pub(crate) struct Checker {
    child: Child,
    pipes: RefCell<(ChildStdin, BufReader<ChildStdout>)>,
}

/// One line in, one line out. What the checker cannot even read is a fault, too.
const LOOP: &str = "
import json, sys
sys.path.insert(0, sys.argv[1]); sys.dont_write_bytecode = True
from check import check
for line in sys.stdin:
    floor, answer, before = json.loads(line)
    try:
        faults, worth = check(floor, answer, before)
    except Exception as error:
        faults, worth = ['unreadable: ' + repr(error)], None
    print(json.dumps([faults, worth]), flush=True)
";

impl Checker {
    pub(crate) fn new() -> Self {
        let folder = data("");
        let mut child = Command::new("python3")
            .args(["-c", LOOP])
            .arg(folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("python3 runs");
        let (input, output) = (child.stdin.take(), child.stdout.take());
        let pipes = RefCell::new((input.expect("a pipe"), BufReader::new(output.expect("a pipe"))));
        Checker { child, pipes }
    }

    pub(crate) fn check(&self, floor: &Value, answer: &Value, before: Option<&Value>) -> Verdict {
        let (input, output) = &mut *self.pipes.borrow_mut();
        writeln!(input, "{}", json!([floor, answer, before])).expect("it listens");
        let mut line = String::new();
        output.read_line(&mut line).expect("it answers");
        let (faults, worth): (Vec<String>, Option<Vec<u64>>) = serde_json::from_str(&line).expect("a verdict");
        Verdict { faults, worth: worth.unwrap_or_default() }
    }
}

impl Drop for Checker {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
