//! Policies that misbehave: each is stopped, with the right kind of failure, and the host goes on.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

mod class;
mod guest;

use std::time::{Duration, Instant};

use class::{Class, floor, library};
use classwright_policies::{FailureKind, Limits, Policy, Runtime, RuntimeOptions};
use guest::{Change, Guest, NONE};

const FOREVER: &str = "(loop $again (br $again)) unreachable";

fn load(bytes: &[u8]) -> Result<Policy, FailureKind> {
    Runtime::new(RuntimeOptions::default()).unwrap().load(bytes).map_err(|failure| failure.kind)
}

/// How scaling a class of two athletes with three pieces each fails.
fn scaling_fails(guest: Guest, limits: Limits) -> FailureKind {
    let policy = load(&guest.bytes()).unwrap();
    let failure = policy.scale(&Class::new(2, 3).question(), &library(), &limits).unwrap_err();
    assert_eq!((failure.call, failure.digest.len()), ("scale", 64));
    failure.kind
}

fn malformed(guest: Guest) -> String {
    match scaling_fails(guest, Limits::default()) {
        FailureKind::AnswerMalformed { what } => what,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_no_policy_is_not_taken() {
    let module = wat::parse_str("(module)").unwrap();
    let empty = wat::parse_str("(component)").unwrap();
    let spoilt = [&empty[..], &[1, 2, 3]].concat();
    let cases = [
        (&b"not wasm at all"[..], "not a WebAssembly component"),
        (b"", "not a WebAssembly component"),
        (&module, "core WebAssembly module"),
        (&empty, "exports nothing"),
        (&spoilt, "cannot be compiled"),
    ];
    for (bytes, expected) in cases {
        match load(bytes).err().unwrap() {
            FailureKind::Incompatible { found, .. } => assert!(found.contains(expected), "{found}"),
            other => panic!("{expected}: {other:?}"),
        }
    }
}

#[test]
fn foreign_imports_are_refused_and_listed() {
    let component = wat::parse_str(
        r#"(component
            (import "wasi:cli/environment@0.2.0" (instance))
            (import "classwright:policy/last-words@1.0.0" (instance))
            (import "now" (func (result u64))))"#,
    );
    let expected = vec!["now".to_string(), "wasi:cli/environment@0.2.0".to_string()];
    assert_eq!(load(&component.unwrap()).err(), Some(FailureKind::ImportRefused { imports: expected }));
}

#[test]
fn another_version_of_the_contract_is_incompatible() {
    for version in ["2.0.0", "1.1.0"] {
        let component =
            wat::parse_str(format!(r#"(component (import "classwright:policy/last-words@{version}" (instance)))"#));
        let kind = load(&component.unwrap()).err().unwrap();
        let sentence = kind.for_author();
        assert_eq!(kind.id(), "incompatible");
        assert!(sentence.contains(version) && sentence.contains("policy 1.0"), "{sentence}");
    }
}

#[test]
fn another_type_under_the_right_name_is_incompatible() {
    let component = wat::parse_str(
        r#"(component
            (core module $m (func (export "f") (result i32) (i32.const 1)))
            (core instance $i (instantiate $m))
            (func $f (result u32) (canon lift (core func $i "f")))
            (instance $about (export "describe" (func $f)))
            (instance $rule (export "scale" (func $f)))
            (export "classwright:policy/about@1.0.0" (instance $about))
            (export "classwright:policy/scaling-rule@1.0.0" (instance $rule)))"#,
    );
    match load(&component.unwrap()).err().unwrap() {
        FailureKind::Incompatible { found, .. } => assert!(found.contains("`describe`"), "{found}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_loop_runs_out_of_fuel_at_the_same_place() {
    let limits = Limits { fuel: 5_000_000, ..Limits::default() };
    assert_eq!(scaling_fails(Guest::scaling().body(FOREVER), limits), FailureKind::OutOfFuel { fuel: 5_000_000 });
}

#[test]
fn a_loop_in_the_start_function_is_stopped_too() {
    let guest = Guest::scaling().extra("(func $begin (loop $again (br $again))) (start $begin)");
    let limits = Limits { fuel: 5_000_000, ..Limits::default() };
    assert_eq!(scaling_fails(guest, limits).id(), "out-of-fuel");
}

#[test]
fn the_clock_stops_what_fuel_does_not() {
    let limits = Limits { fuel: u64::MAX, wall: Duration::from_millis(50), ..Limits::default() };
    let started = Instant::now();
    let kind = scaling_fails(Guest::scaling().body(FOREVER), limits);
    assert_eq!(kind, FailureKind::PastDeadline { wall: Duration::from_millis(50) });
    assert!(started.elapsed() >= Duration::from_millis(50));
}

#[test]
fn the_host_is_asked_at_a_price() {
    // Asks for the facts of 16,384 movements over and over: few instructions, much work for the host.
    let ask =
        "(loop $again (call $facts (i32.const 65536) (i32.const 16384) (i32.const 8192)) (br $again)) unreachable";
    let limits = Limits { fuel: 2_000_000, memory_bytes: 1 << 30, ..Limits::default() };
    let kind = scaling_fails(Guest::scaling().pages(16).body(ask), limits);
    assert_eq!(kind.id(), "out-of-fuel", "{kind:?}");
}

#[test]
fn memory_is_bounded_when_it_grows_and_when_it_starts() {
    let grow = "(loop $again (drop (memory.grow (i32.const 16))) (br $again)) unreachable";
    let limits = Limits { memory_bytes: 4 << 20, ..Limits::default() };
    match scaling_fails(Guest::scaling().body(grow), limits) {
        FailureKind::Memory { wanted, limit } => {
            assert_eq!((&*wanted, &*limit), ("4456448 bytes of memory", "4194304"))
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(scaling_fails(Guest::scaling().pages(65), limits).id(), "memory");
    // More than any call can have: refused when it is loaded.
    assert_eq!(load(&Guest::scaling().pages(4096).bytes()).err().unwrap().id(), "memory");
}

#[test]
fn tables_are_bounded() {
    let table = "(table $t 10 funcref) (func $f)";
    let grow = "(loop $again (drop (table.grow $t (ref.null func) (i32.const 1000))) (br $again)) unreachable";
    let kind = scaling_fails(Guest::scaling().extra(table).body(grow), Limits::default());
    assert_eq!(kind.id(), "memory", "{kind:?}");
}

#[test]
fn a_panic_keeps_its_last_words() {
    let mut guest = Guest::scaling();
    let at = guest.put(b"index out of bounds: rules.rs:12\n");
    let kind = scaling_fails(
        guest.body(&format!("(call $say (i32.const {at}) (i32.const 33)) unreachable")),
        Limits::default(),
    );
    let FailureKind::Trapped { words, trap } = kind else { panic!("{kind:?}") };
    assert_eq!(words.as_deref(), Some("index out of bounds: rules.rs:12\n"));
    assert!(trap.contains("unreachable"), "{trap}");
}

#[test]
fn deep_recursion_and_bad_memory_trap() {
    let deep = Guest::scaling().extra("(func $deep (call $deep))").body("(call $deep) unreachable");
    let FailureKind::Trapped { words: None, trap } = scaling_fails(deep, Limits::default()) else { panic!() };
    assert!(trap.contains("stack"), "{trap}");
    let wild = Guest::scaling().body("(i32.load (i32.const -4))");
    assert_eq!(scaling_fails(wild, Limits::default()).id(), "trapped");
}

#[test]
fn a_number_outside_the_library_traps_with_a_sentence() {
    let ask = "(i32.store (i32.const 8192) (i32.const 99))
        (call $facts (i32.const 8192) (i32.const 1) (i32.const 8200)) unreachable";
    let FailureKind::Trapped { trap, .. } = scaling_fails(Guest::scaling().body(ask), Limits::default()) else {
        panic!()
    };
    assert_eq!(trap, "facts: there is no movement number 99");
}

#[test]
fn an_answer_over_its_limit_is_not_read() {
    let guest = || Guest::scaling().pages(20).leaves(&[0, 786_432, 1000, 786_432, 0]);
    let limits = Limits { answer_bytes: 20_000, ..Limits::default() };
    assert_eq!(scaling_fails(guest(), limits).id(), "answer-too-large");
    // Within the bytes, but more changes than there are pieces.
    match scaling_fails(guest(), Limits::default()) {
        FailureKind::AnswerTooLarge { found, limit } => assert_eq!((&*found, &*limit), ("1000 changes", "6")),
        other => panic!("{other:?}"),
    }
    let reasons = [("r", "t"); 66];
    assert_eq!(scaling_fails(Guest::scaling().answers(&[], &reasons), Limits::default()).id(), "answer-too-large");
}

#[test]
fn an_answer_that_points_nowhere_is_malformed() {
    let outside = Guest::scaling().leaves(&[0, 0x7fff_0000, 1000, 0, 0]);
    assert!(malformed(outside).contains("out of bounds"));
    assert!(malformed(Guest::scaling().leaves(&[2, 0, 0, 0, 0])).contains("discriminant"));
    assert!(malformed(Guest::scaling().body("(i32.const -8)")).contains("out of bounds"));
}

#[test]
fn each_field_of_a_change_is_checked() {
    let good = Change::of(0);
    let cases = [
        (Change { piece: 6, ..good }, "change 1: there is no piece 6; the question has 6"),
        (good, "change 1: piece 0 is changed twice"),
        (Change { reason: 1, ..Change::of(1) }, "change 1: there is no reason 1; the answer has 1"),
        (Change { off: 2, ..Change::of(1) }, "change 1: `off` is 2, not 0 or 1"),
        (Change { movement: 2, ..Change::of(1) }, "change 1: there is no movement 2; the library has 2"),
        (Change { movement: NONE, ..Change::of(1) }, "change 1: there is no movement 4294967295; the library has 2"),
        (Change { times: NONE, ..Change::of(1) }, "change 1: times is 4294967295, above 10000"),
        (Change { amount: [0, NONE], ..Change::of(1) }, "change 1: amount-high is 4294967295, above 1000000"),
        (Change { amount: [11, 10], ..Change::of(1) }, "change 1: amount-low 11 is above amount-high 10"),
        (Change { load_g: [0, NONE], ..Change::of(1) }, "change 1: load-top-g is 4294967295, above 10000000"),
        (Change { load_g: [2, 1], ..Change::of(1) }, "change 1: load-first-g 2 is above load-top-g 1, the heaviest"),
        (Change { effort_tenths: 101, ..Change::of(1) }, "change 1: effort-tenths is 101, above 100"),
        (Change { range_percent: 101, ..Change::of(1) }, "change 1: range-percent is 101, above 100"),
        (Change { range_percent: 0, ..Change::of(1) }, "change 1: range-percent is 0; `off` takes a piece off"),
    ];
    for (change, expected) in cases {
        assert_eq!(malformed(Guest::scaling().answers(&[good, change], &[("rule", "Text.")])), expected);
    }
    let measure = Change { measure_and_sides: 9, ..good };
    assert!(malformed(Guest::scaling().answers(&[measure], &[("rule", "Text.")])).contains("discriminant"));
}

#[test]
fn reasons_must_be_readable() {
    let long = "x".repeat(301);
    for (rule, text) in [("", "Text."), ("rule", ""), ("rule", "a\u{1b}[2Jb"), ("rule", &long), (&long[..65], "Text.")]
    {
        let what = malformed(Guest::scaling().answers(&[], &[("rule", "Text."), (rule, text)]));
        assert!(what.contains("reason 1"), "{what}");
    }
}

#[test]
fn each_list_of_a_floor_plan_is_checked() {
    let fails = |heats, heat_of: &[u32], starts: &[u32], bar_of: &[u32], optimal| {
        let guest = Guest::heats().plans(heats, heat_of, starts, bar_of, 0, optimal);
        let failure = load(&guest.bytes()).unwrap().plan_heats(&floor(), "{}", 1, &Limits::default()).unwrap_err();
        match failure.kind {
            FailureKind::AnswerMalformed { what } => what,
            other => panic!("{other:?}"),
        }
    };
    assert!(fails(1, &[0], &[0], &[NONE, NONE], 0).contains("`heat-of` has 1"));
    assert!(fails(1, &[0, 0], &[0], &[NONE], 0).contains("`bar-of` has 1"));
    assert!(fails(1, &[0, 0], &[0, 1], &[NONE, NONE], 0).contains("`starts` has 2"));
    assert!(fails(NONE, &[0, 0], &[0], &[NONE, NONE], 0).contains("heats for 2 athletes"));
    assert!(fails(1, &[0, 1], &[0], &[NONE, NONE], 0).contains("athlete 1 is in heat 1"));
    assert!(fails(2, &[1, 1], &[0, 0], &[NONE, NONE], 0).contains("nobody is in heat 0"));
    assert!(fails(1, &[0, 0], &[0], &[NONE, 0], 0).contains("bout 1 has bar 0"));
    assert!(fails(1, &[0, 0], &[NONE], &[NONE, NONE], 0).contains("bout 0 has no start"));
    assert!(fails(1, &[0, 0], &[0], &[NONE, NONE], 7).contains("`optimal` is 7"));
}

#[test]
fn the_host_goes_on_after_all_of_them() {
    let runtime = Runtime::new(RuntimeOptions::default()).unwrap();
    let bad = runtime.load(&Guest::scaling().body("unreachable").bytes()).unwrap();
    let good = runtime.load(&Guest::scaling().answers(&[], &[]).bytes()).unwrap();
    let (class, library) = (Class::new(2, 3), library());
    for _ in 0..50 {
        bad.scale(&class.question(), &library, &Limits::default()).unwrap_err();
        good.scale(&class.question(), &library, &Limits::default()).unwrap();
    }
}
