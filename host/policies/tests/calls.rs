//! Calls that go well: what is asked arrives, what is answered comes back.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

mod class;
mod guest;

use class::{Class, floor, library};
use classwright_policies::{CardChange, FailureKind, Kind, Limits, NewPiece, Policy, Runtime, RuntimeOptions};
use classwright_training::{Amount, Mass, Measure, MovementIx, Sides};
use guest::{Change, Guest, NONE};

fn load(guest: Guest) -> Policy {
    Runtime::new(RuntimeOptions::default()).unwrap().load(&guest.bytes()).unwrap()
}

#[test]
fn a_policy_says_what_it_is() {
    let policy = load(Guest::scaling().answers(&[], &[]));
    assert_eq!(policy.inspection().kinds, [Kind::Scaling]);
    assert_eq!(policy.inspection().contract.to_string(), "1.0.0");
    assert_eq!(policy.inspection().digest.len(), 64);
    let description = policy.describe(&Limits::default()).unwrap();
    assert_eq!((&*description.name, &*description.version), ("test-guest", "0.1.0"));
    assert_eq!(description.kinds, [Kind::Scaling]);
    assert_eq!(description.settings_schema, "{}");
}

#[test]
fn a_description_that_contradicts_the_exports_is_refused() {
    let failure = load(Guest::scaling().claims_to_be("heats")).describe(&Limits::default()).unwrap_err();
    assert_eq!(failure.kind.id(), "answer-malformed");
    assert!(failure.kind.for_author().contains("kinds"), "{failure}");
}

#[test]
fn no_change_is_an_answer() {
    let (class, library) = (Class::new(30, 10), library());
    let scaling = load(Guest::scaling().answers(&[], &[]));
    let (answer, usage) = scaling.scale(&class.question(), &library, &Limits::default()).unwrap();
    assert_eq!(answer, Default::default());
    assert!(usage.fuel > 0 && usage.memory_bytes >= 4 << 16, "{usage:?}");
    let substitution = load(Guest::substitution().answers(&[], &[]));
    substitution.substitute(&class.question(), &library, &Limits::default()).unwrap();
}

#[test]
fn changes_go_back_to_the_cards_they_came_from() {
    let mut class = Class::new(2, 3);
    class.cards[0].pieces[0].off = true; // Not sent: piece 2 of the question is the first of the second athlete.
    let new = Change { measure_and_sides: 0x0201, amount: [30, 40], ..Change::of(2) };
    let off = Change { off: 1, reason: 1, ..Change::of(0) };
    let guest = Guest::scaling().answers(&[new, off], &[("ease", "Eased for today."), ("rest", "Left out today.")]);
    let (answer, _) = load(guest).scale(&class.question(), &library(), &Limits::default()).unwrap();
    let becomes = NewPiece {
        movement: MovementIx(0),
        times: 3,
        amount: Amount { low: 30, high: 40, measure: Measure::Seconds, sides: Sides::Alternating },
        first: Mass::from_kg(20.0),
        top: Mass::from_kg(20.0),
        effort_tenths: 0,
        range_percent: 100,
    };
    let changed = CardChange { athlete: 1, piece: 0, becomes: Some(becomes), reason: 0 };
    let taken_off = CardChange { athlete: 0, piece: 1, becomes: None, reason: 1 };
    assert_eq!(answer.changes, [changed, taken_off]);
    assert_eq!(answer.reasons[1].rule, "rest");
}

#[test]
fn a_question_arrives_as_the_contract_lays_it_out() {
    let mut class = Class::new(3, 2);
    let piece = &mut class.cards[0].pieces[1];
    piece.amount = Amount { low: 10, high: 12, measure: Measure::Seconds, sides: Sides::Alternating };
    (piece.effort_tenths, piece.range_percent, piece.rep_ms) = (80, 90, Some(3_000));
    // Words of the question: texts 0-1, settings 2-3, facts 4-7, athletes 8-9, limitations 10-11, and so on.
    let load_word = |word: u32| format!("(i32.load offset={} (local.get $question))", word * 4);
    for (word, expected) in [(4, 3600), (9, 3), (11, 3), (13, 3), (15, 3), (17, 1), (19, 6), (21, 1)] {
        assert!(guest_finds(&class, &load_word(word), expected), "word {word}");
    }
    // Row 1 of a list: the list's first word, then the row's words.
    let row = |list: u32, row_words: u32, word: u32| {
        format!("(i32.load offset={} {})", (row_words + word) * 4, load_word(list))
    };
    let athlete = [0, 3, 0, 0, 35, 75_000, 2, 2];
    let limitation = [1, 7, 0x0001]; // Knee; left, mild.
    let best = [1, 1, 100_000, 1];
    let tag = [1, 2];
    let piece = [0, 0, 1, 0, 1, 3, 0x0201, 10, 12, 60_000, 70_000, 700, 80, 90, 3_000];
    let lists: [(u32, &[u32]); 5] = [(8, &athlete), (10, &limitation), (12, &best), (14, &tag), (18, &piece)];
    for (list, words) in lists {
        for (&expected, word) in words.iter().zip(0..) {
            let found = guest_finds(&class, &row(list, words.len() as u32, word), expected);
            assert!(found, "list at word {list}, word {word} of row 1");
        }
    }
}

/// Whether a guest that is asked about a class sees this number.
fn guest_finds(class: &Class, expression: &str, expected: u32) -> bool {
    let guest = Guest::scaling().body(&format!(
        "(i32.store (i32.const 4096) (i32.const 1))
         (i32.store (i32.const 4100) (i32.const 5000))
         (i32.store (i32.const 4104) (i32.const 1))
         (i32.store8 (i32.const 5000)
           (select (i32.const 121) (i32.const 110) (i32.eq {expression} (i32.const {expected}))))
         (i32.const 4096)"
    ));
    let failure = load(guest).scale(&class.question(), &library(), &Limits::default()).unwrap_err();
    failure.kind == FailureKind::Declined { sentence: "y".into() }
}

#[test]
fn a_floor_plan_comes_back() {
    let guest = Guest::heats().plans(2, &[0, 1], &[0, 300], &[NONE, NONE], 600, 1);
    let (answer, _) = load(guest).plan_heats(&floor(), "{}", 100, &Limits::default()).unwrap();
    assert_eq!(answer.plan.starts, [[Some(0)], [Some(300)]]);
    assert_eq!(answer.plan.bar_of, [None, None]);
    assert_eq!((answer.lower_bound_s, answer.optimal), (600, true));
}

#[test]
fn a_policy_may_decline() {
    let guest = Guest::heats().declines("There is no bar for the second heat.");
    let failure = load(guest).plan_heats(&floor(), "{}", 100, &Limits::default()).unwrap_err();
    assert_eq!(failure.kind.for_coach(), "This policy does not answer: There is no bar for the second heat.");
    assert_eq!(failure.kind.exit_code(), 29);
}

#[test]
fn every_call_starts_afresh_and_costs_the_same() {
    // Declines with `n` if its counter has moved, else moves it.
    let guest = Guest::scaling().extra("(global $calls (mut i32) (i32.const 0))").body(
        "(global.set $calls (i32.add (global.get $calls) (i32.const 1)))
         (if (i32.ne (global.get $calls) (i32.const 1)) (then unreachable))
         (if (i32.load (i32.const 60000)) (then unreachable))
         (i32.store (i32.const 60000) (i32.const 1))
         (i32.const 8192)",
    );
    let (policy, class, library) = (load(guest), Class::new(5, 5), library());
    let first = policy.scale(&class.question(), &library, &Limits::default()).unwrap().1;
    for _ in 0..20 {
        let again = policy.scale(&class.question(), &library, &Limits::default()).unwrap().1;
        assert_eq!((again.fuel, again.memory_bytes), (first.fuel, first.memory_bytes));
    }
}

#[test]
fn more_threads_than_places_all_get_their_turn() {
    let options = RuntimeOptions { calls_at_once: 2, ..RuntimeOptions::default() };
    let policy = Runtime::new(options).unwrap().load(&Guest::scaling().answers(&[], &[]).bytes()).unwrap();
    let (class, library) = (Class::new(10, 5), library());
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for _ in 0..50 {
                    policy.scale(&class.question(), &library, &Limits::default()).unwrap();
                }
            });
        }
    });
}

#[test]
fn compiled_code_is_kept_and_a_spoilt_file_is_replaced() {
    let dir = tempfile::tempdir().unwrap();
    let options = RuntimeOptions { cache_dir: Some(dir.path().into()), ..RuntimeOptions::default() };
    let bytes = Guest::scaling().answers(&[], &[]).bytes();
    let load = || {
        let policy = Runtime::new(options.clone()).unwrap().load(&bytes).unwrap();
        policy.describe(&Limits::default()).unwrap();
        policy.inspection().digest.clone()
    };
    let digest = load();
    let home = std::fs::read_dir(dir.path()).unwrap().next().unwrap().unwrap().path();
    let file = home.join(format!("{digest}.cwasm"));
    let whole = std::fs::read(&file).unwrap();
    load();
    std::fs::write(&file, &whole[..whole.len() / 2]).unwrap();
    load();
    assert_eq!(std::fs::read(&file).unwrap().len(), whole.len());
}
