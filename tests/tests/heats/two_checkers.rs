//! The host's checker and `check.py`, which was written from the statement and not from this code, say the same of
//! the component's answers and of these answers damaged.

use std::cell::Cell;

use classwright_planning::floor::{check, impossible, objective};
use classwright_training::floor::HeatsAnswer;
use proptest::collection::vec;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::asked::{House, floor_file};
use crate::checker::Checker;
use crate::damage::damage;
use crate::random::floor;

const EFFORT: u64 = 3_000;
const CASES: u32 = 400;

#[test]
fn both_say_the_same_of_answers_and_of_damaged_answers() {
    let (house, checker) = (House::new(), Checker::new());
    let (answered, impossibles, right, wrong) = (Cell::new(0), Cell::new(0), Cell::new(0), Cell::new(0));
    let add = |to: &Cell<u32>| to.set(to.get() + 1);
    let config = Config { cases: CASES, failure_persistence: None, ..Config::default() };
    // The same floors on every run: what fails here fails for everybody.
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let cases = (floor(6), vec(vec(damage(), 1..3), 6));
    let outcome = runner.run(&cases, |(json, damages)| {
        let file = floor_file(&json);
        if !impossible(&file.floor).is_empty() {
            add(&impossibles);
            assert_eq!(house.solve(&file.floor, EFFORT), None, "the host says that there is no plan: {json}");
            return Ok(());
        }
        let Some(answer) = house.solve(&file.floor, EFFORT) else { return Ok(()) };
        add(&answered);
        let said = |plan: &HeatsAnswer| {
            let document = serde_json::to_value(file.solution(plan)).expect("JSON");
            (checker.check(&json, &document, None), document)
        };
        let (verdict, document) = said(&answer);
        let worth = objective(&file.floor, &answer.plan);
        assert!(verdict.faults.is_empty(), "{:?}\n{json}\n{document}", verdict.faults);
        assert_eq!(verdict.worth, [worth.0, worth.1, worth.2].map(u64::from), "{json}\n{document}");
        for damages in &damages {
            let mut damaged = answer.clone();
            damages.iter().for_each(|damage| damage.put(&file.floor, &mut damaged.plan));
            let faults = check(&file.floor, &damaged.plan);
            let (verdict, document) = said(&damaged);
            add(if faults.is_empty() { &right } else { &wrong });
            assert_eq!(
                faults.is_empty(),
                verdict.faults.is_empty(),
                "the host: {faults:?}\ncheck.py: {:?}\n{json}\n{document}",
                verdict.faults
            );
            if faults.is_empty() {
                let worth = objective(&file.floor, &damaged.plan);
                assert_eq!(verdict.worth, [worth.0, worth.1, worth.2].map(u64::from), "{json}\n{document}");
            }
        }
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    let counts = [&answered, &impossibles, &right, &wrong].map(Cell::get);
    println!("answered, impossible; damaged and still right, wrong: {counts:?}");
    assert!(counts.iter().all(|count| *count >= CASES / 20), "the draw does not reach everything: {counts:?}");
}
