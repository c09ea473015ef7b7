//! Policies that misbehave: each is stopped with the right kind of failure, and the class is planned as if it were not
//! there, with every card marked.
//!
//! `hostile/*.wat` is a policy a file; the table below says what must come of each. To add one, add the file and a row.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use std::collections::BTreeSet;
use std::time::Duration;

use classwright_planning::{OnShelf, Plan};
use classwright_policies::{Kind, Limits, PolicyFailure, Runtime};
use classwright_tests::{Answer, Build, FREE, Fixture, HOME, items, runtime, shelve, told};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/hostile");
const WORLDS: &str = include_str!("../hostile/frame/worlds.wit");

/// What must come of a policy.
struct Case {
    /// Its file, without the ending.
    file: &'static str,
    /// Its world; one of `frame/worlds.wit` where it has an import or no rule.
    world: &'static str,
    /// The contract it is built for.
    contract: &'static str,
    /// What it is called for when it fails.
    call: &'static str,
    /// Id of the kind of failure and its exit code.
    kind: (&'static str, u8),
    /// What the sentences for coach and author say among other things.
    says: &'static [&'static str],
}

const fn scale(file: &'static str, kind: (&'static str, u8), says: &'static [&'static str]) -> Case {
    Case { file, world: "scaling", contract: "1.0.0", call: "scale", kind, says }
}

const INCOMPATIBLE: (&str, u8) = ("incompatible", 20);
const IMPORT: (&str, u8) = ("import-refused", 21);
const FUEL: (&str, u8) = ("out-of-fuel", 22);
const DEADLINE: (&str, u8) = ("past-deadline", 23);
const MEMORY: (&str, u8) = ("memory", 24);
const TRAPPED: (&str, u8) = ("trapped", 25);
const MALFORMED: (&str, u8) = ("answer-malformed", 26);
const TOO_LARGE: (&str, u8) = ("answer-too-large", 27);
const DECLINED: (&str, u8) = ("declined", 29);

const CASES: &[Case] = &[
    scale("endless-loop", FUEL, &["worked for too long", "5000000 units of fuel"]),
    Case { call: "describe", ..scale("endless-start", FUEL, &["worked for too long"]) },
    scale("endless-allocator", FUEL, &["worked for too long"]),
    scale("endless-words", FUEL, &["worked for too long"]),
    scale("slow-loop", DEADLINE, &["too long by the clock", "60 ms"]),
    scale("memory-grower", MEMORY, &["too much memory", "bytes of memory", "2097152"]),
    scale("table-grower", MEMORY, &["too much memory", "table elements", "10000"]),
    scale("last-words", TRAPPED, &["broke down", "unreachable", "rules.rs:12: a set without a loading"]),
    scale("deep-recursion", TRAPPED, &["broke down", "stack", "without last words"]),
    scale("outside-the-library", TRAPPED, &["facts: there is no movement number 4000000000"]),
    scale("clean-up-trap", TRAPPED, &["broke down", "unreachable"]),
    Case {
        world: "clock-reader",
        call: "load",
        ..scale("reads-the-clock", IMPORT, &["wasi:clocks/monotonic-clock@0.2.0", "more than a policy may have"])
    },
    Case {
        contract: "2.0.0",
        call: "load",
        ..scale(
            "next-contract",
            INCOMPATIBLE,
            &["another version", "classwright:policy 2.0.0", "classwright:policy 1.0"],
        )
    },
    Case {
        contract: "1.1.0",
        call: "load",
        ..scale(
            "next-contract",
            INCOMPATIBLE,
            &["another version", "classwright:policy 1.1.0", "classwright:policy 1.0"],
        )
    },
    Case {
        world: "only-about",
        call: "load",
        ..scale("only-about", INCOMPATIBLE, &["exports only classwright:policy/about@1.0.0", "a rule of"])
    },
    Case { call: "describe", ..scale("misdescribed", MALFORMED, &["the name `Trust Me !`"]) },
    scale("wild-allocator", MALFORMED, &["realloc"]),
    scale("list-beyond-memory", MALFORMED, &["out of bounds"]),
    scale("answer-beyond-memory", MALFORMED, &["out of bounds"]),
    scale("neither-answer-nor-sentence", MALFORMED, &["discriminant"]),
    scale("no-such-measure", MALFORMED, &["discriminant"]),
    scale("no-such-piece", MALFORMED, &["there is no piece 4294967295; the question has 12"]),
    scale("no-such-reason", MALFORMED, &["there is no reason 7; the answer has 1"]),
    scale("piece-twice", MALFORMED, &["piece 1 is changed twice"]),
    scale("control-characters", MALFORMED, &["text of reason 0 has a control character"]),
    scale("long-reason", MALFORMED, &["text of reason 0 is longer than 300 characters"]),
    scale("not-text", MALFORMED, &["utf-8"]),
    scale("too-large", TOO_LARGE, &["too long to be read", "20000 bytes"]),
    scale("too-many-changes", TOO_LARGE, &["13 changes", "the limit is 12"]),
    scale("declines", DECLINED, &["This policy does not answer: Nobody has told me what a light day means."]),
    Case { world: "substitution", call: "substitute", ..scale("substitution-loop", FUEL, &["worked for too long"]) },
    Case { world: "heats", call: "plan-heats", ..scale("heats-loop", FUEL, &["worked for too long"]) },
    Case {
        world: "heats",
        call: "plan-heats",
        ..scale("heats-declines", DECLINED, &["Two lanes are asked for, not there"])
    },
];

impl Case {
    fn bytes(&self) -> Vec<u8> {
        let core = std::fs::read_to_string(format!("{FOLDER}/{}.wat", self.file)).unwrap();
        let own = self.world == "clock-reader" || self.world == "only-about";
        let more = own.then_some(WORLDS);
        Build { contract: self.contract, more, ..Build::of(self.world) }.component(&core)
    }

    /// Small enough that a test is quick; the clock only where it is what must stop the call.
    fn limits(&self) -> Limits {
        let usual = Limits { fuel: 5_000_000, memory_bytes: 2 << 20, answer_bytes: 20_000, ..Limits::default() };
        match self.kind {
            DEADLINE => Limits { fuel: u64::MAX, wall: Duration::from_millis(60), ..usual },
            _ => usual,
        }
    }

    /// The plan with this policy between two honest ones, and its failure to load if it had one.
    fn plan(&self, runtime: &Runtime, fixture: &Fixture) -> (Plan, Option<PolicyFailure>) {
        let mut shelf = honest(runtime, fixture);
        let (unloaded, found) = match shelve(runtime, &self.bytes(), self.limits()) {
            Ok(policy) => {
                shelf.insert(1, policy);
                (vec![], None)
            }
            Err(failure) => (vec![failure.clone()], Some(failure)),
        };
        (classwright_planning::plan(&fixture.class(&shelf, &unloaded)), found)
    }
}

/// A scaling policy that eases the squat of one athlete, one that takes off a rowing piece, and a substitution policy
/// that has something else for the athlete at home.
fn honest(runtime: &Runtime, fixture: &Fixture) -> Vec<OnShelf> {
    let squat = classwright_tests::Change { load_g: [50_000, 60_000], ..fixture.change(FREE, items::SQUAT) };
    let row = classwright_tests::Change { off: 1, ..fixture.change(FREE, items::ROW) };
    let goblet = classwright_tests::Change {
        movement: fixture.movement("goblet-squat"),
        load_g: [15_000, 15_000],
        ..fixture.change(HOME, items::SQUAT)
    };
    // Later policies are not sent what is off: the row is taken off last, and the home squat's place moves by one.
    let moved = classwright_tests::Change { piece: goblet.piece - 1, ..goblet };
    let policies = [
        Answer::cards(Kind::Scaling, &[squat], &[("ease", "A lighter day.")]).policy("eases"),
        Answer::cards(Kind::Scaling, &[row], &[("rest", "No rowing today.")]).policy("rests"),
        Answer::cards(Kind::Substitution, &[moved], &[("no-bar", "A dumbbell for the bar.")]).policy("replaces"),
    ];
    policies.map(|bytes| shelve(runtime, &bytes, Limits::default()).unwrap()).to_vec()
}

#[test]
fn every_hostile_policy_fails_as_it_must_and_changes_nothing() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let without = fixture.plan(&honest(&runtime, &fixture));
    assert!(without.faults.is_empty(), "{:?}", without.faults);
    for case in CASES {
        let name = format!("{} ({})", case.file, case.contract);
        let (plan, unloaded) = case.plan(&runtime, &fixture);
        let [fault] = &plan.faults[..] else { panic!("{name}: {:?}", plan.faults) };
        let failure = &fault.failure;
        assert_eq!((failure.kind.id(), failure.kind.exit_code()), case.kind, "{name}: {failure}");
        assert_eq!(failure.call, case.call, "{name}");
        assert_eq!(unloaded.is_some(), ["load", "describe"].contains(&case.call), "{name}");
        let sentences = format!("{}\n{}", failure.kind.for_coach(), failure.kind.for_author());
        for part in case.says {
            assert!(sentences.contains(part), "{name}: no `{part}` in\n{sentences}");
        }
        assert_eq!(told(&plan), told(&without), "{name}");
        marked(case, &plan, failure, &name);
        honest_ones_ran(&plan, &name);
    }
}

/// Every card names the policy, what it was called for and, once it has said it, its version. A floor plan is no card:
/// there the coach is told once.
fn marked(case: &Case, plan: &Plan, failure: &PolicyFailure, name: &str) {
    let who = if failure.version.is_empty() { format!("{} ", failure.policy) } else { "hostile 6.6.6".to_owned() };
    assert_eq!(failure.version.is_empty(), ["load", "describe"].contains(&case.call), "{name}: {failure}");
    let names = |sentence: &String| sentence.contains(&who) && sentence.contains(case.call);
    if case.world == "heats" {
        assert!(plan.notices.iter().any(names), "{name}: {:?}", plan.notices);
        assert!(plan.notices.iter().any(|notice| notice.contains("in turn")), "{name}: {:?}", plan.notices);
        assert!(plan.faults[0].athletes.is_empty(), "{name}");
        return;
    }
    assert_eq!(plan.faults[0].athletes.len(), plan.cards.len(), "{name}");
    for card in &plan.cards {
        let sentence = card.needs_coach.iter().find(|why| names(why));
        let sentence = sentence.unwrap_or_else(|| panic!("{name}: no `{who}` in {:?}", card.needs_coach));
        assert!(sentence.contains("This card stands as it was before."), "{name}: {sentence}");
        assert!(!sentence.contains("  "), "{name}: {sentence}");
    }
}

fn honest_ones_ran(plan: &Plan, name: &str) {
    let rules: BTreeSet<&str> =
        plan.cards.iter().flat_map(|card| &card.trace).map(|change| change.rule.as_str()).collect();
    for rule in ["ease", "rest", "no-bar"] {
        assert!(rules.contains(rule), "{name}: {rules:?}");
    }
}

#[test]
fn the_same_again_gives_the_same_fault() {
    let fixture = Fixture::default();
    for case in CASES {
        let once = |runtime: &Runtime| case.plan(runtime, &fixture).0.faults.into_iter().map(|fault| fault.failure);
        let first: Vec<PolicyFailure> = once(&runtime()).collect();
        let again: Vec<PolicyFailure> = once(&runtime()).collect();
        assert_eq!(first, again, "{}", case.file);
    }
}

#[test]
fn what_is_no_component_is_not_let_in() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let without = fixture.plan(&[]);
    let module = wat::parse_str("(module (memory 1))").unwrap();
    let half = &CASES[0].bytes()[..200];
    let cases: [(&[u8], &str); 4] = [
        (b"\x7fELF and nothing that runs here", "not a WebAssembly component"),
        (b"", "not a WebAssembly component"),
        (&module, "core WebAssembly module"),
        (half, "cannot be compiled"),
    ];
    for (bytes, says) in cases {
        let failure = shelve(&runtime, bytes, Limits::default()).err().unwrap();
        assert_eq!((failure.kind.id(), failure.kind.exit_code()), INCOMPATIBLE);
        assert!(failure.kind.for_author().contains(says), "{failure}");
        let unloaded = [failure.clone()];
        let plan = classwright_planning::plan(&fixture.class(&[], &unloaded));
        assert_eq!(told(&plan), told(&without));
        let named = |why: &String| why.contains(&failure.policy);
        assert!(plan.cards.iter().all(|card| card.needs_coach.iter().any(named)), "{says}");
    }
}

/// The folder and the table name the same policies, and each file says in its first line what must come of it.
#[test]
fn every_file_has_a_row_and_says_what_must_come_of_it() {
    let files = std::fs::read_dir(FOLDER).unwrap().map(|entry| entry.unwrap().path());
    let files = files.filter(|path| path.extension().is_some_and(|ending| ending == "wat"));
    let files: BTreeSet<String> = files.map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned()).collect();
    let rows: BTreeSet<String> = CASES.iter().map(|case| case.file.to_owned()).collect();
    assert_eq!(files, rows);
    for case in CASES {
        let text = std::fs::read_to_string(format!("{FOLDER}/{}.wat", case.file)).unwrap();
        let comment: String = text.lines().take_while(|line| line.starts_with(";; ")).collect();
        assert!(comment.contains(case.kind.0), "{}: {comment}", case.file);
    }
}
