//! The floors of `tests/data/heats`: two checkers agree, and no figure contradicts what is known.

use classwright_planning::floor::objective;
use serde_json::Value;

use crate::asked::{House, floor_file, json_file};
use crate::checker::Checker;
use crate::known::KNOWN;

/// A small part of what the policy does by itself.
const EFFORT: u64 = 50_000;

#[test]
fn two_checkers_agree_and_no_figure_contradicts_what_is_known() {
    let (house, checker) = (House::new(), Checker::new());
    println!("floor: finish, heats, pairs; bound; best known");
    for (name, known_end, known_bound) in KNOWN {
        let json = json_file(&format!("{name}.json"));
        let file = floor_file(&json);
        let answer = house.solve(&file.floor, EFFORT).expect("every one of them has a plan");
        let worth = objective(&file.floor, &answer.plan);
        let document = serde_json::to_value(file.solution(&answer)).expect("JSON");
        let verdict = checker.check(&json, &document, None);
        assert_eq!(verdict.faults, Vec::<String>::new(), "{name}");
        assert_eq!(verdict.worth, [worth.0, worth.1, worth.2].map(u64::from), "{name}");
        assert_eq!([&document["finish"], &document["plate_moves"]], [worth.0, worth.2], "{name}");
        println!("{name}: {worth:?}; {}; {known_end} >= {known_bound}", answer.lower_bound_s);
        assert!(answer.lower_bound_s <= known_end, "{name}: a plan that ends at {known_end} is known");
        assert!(worth.0 >= known_bound, "{name}: no plan ends before {known_bound}");
        if let Some(best) = proven(name) {
            assert!(worth >= best, "{name}: {worth:?} is better than what an exact solver proved to be best, {best:?}");
            assert!(!answer.optimal || worth == best, "{name}: {worth:?} is not the best, {best:?}");
        }
    }
}

#[test]
fn what_an_exact_solver_proved_is_held_against_the_floors_of_eight() {
    assert_eq!(["c08a", "c08c", "c16a", "c24c"].map(proven), [Some((927, 5, 42)), Some((977, 5, 43)), None, None]);
}

#[test]
fn a_plan_of_the_exact_solver_passes_the_hosts_checks() {
    let mut seen = 0;
    for (name, ..) in KNOWN {
        let reference = json_file(&format!("{name}.ref.json"));
        if reference["solution"].is_null() {
            continue;
        }
        let file = floor_file(&json_file(&format!("{name}.json")));
        let before = file.read_before(reference.to_string().as_bytes()).expect("a plan");
        assert_eq!(classwright_planning::floor::check(&file.floor, &before.layout), [], "{name}");
        let worth = objective(&file.floor, &before.layout);
        let said = &reference["solution"];
        assert_eq!([&said["finish"], &said["plate_moves"]], [worth.0, worth.2], "{name}");
        seen += 1;
    }
    assert_eq!(seen, 8);
}

/// Finish, heats and plate pairs moved of the reference, where all three are proven.
fn proven(name: &str) -> Option<(u32, u32, u32)> {
    let reference = json_file(&format!("{name}.ref.json"));
    let stages = reference["stages"].as_array().expect("stages");
    let value = |stage: &Value| stage["value"].as_u64().filter(|_| stage["proven"] == true).map(|value| value as u32);
    let values: Vec<u32> = stages.iter().filter_map(value).collect();
    if let [finish, heats, pairs] = values[..] { Some((finish, heats, pairs)) } else { None }
}
