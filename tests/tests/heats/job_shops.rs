//! Published job shops and flow shops in the form of floors: a job is an athlete with a heat of their own, a machine
//! is kit of which there is one, an operation is a bout without rest before the next.
//!
//! The flow shops are published with the optimum over orders that are the same on every machine. A floor has no such
//! rule: one of the two has plans that end earlier than its published optimum, see `README.md` beside the instances.

use serde_json::Value;

use crate::asked::{House, floor_file, json_file};
use crate::checker::Checker;
use crate::shop_floor::floor;

/// Effort at which the four that are asked for are solved to the optimum.
const EFFORT_TO_SOLVE: u64 = 80_000_000;
/// Effort for the others.
const EFFORT: u64 = 200_000;

const SHOPS: [&str; 7] = ["ft06", "la02", "la16", "orb01", "ta01", "fs_ta001", "fs_ta003"];

#[test]
fn no_answer_is_better_than_a_proven_optimum_and_no_bound_is_above_one() {
    let (house, checker) = (House::new(), Checker::new());
    println!("instance: finish, bound, gap; published optimum");
    for name in SHOPS {
        let instance = json_file(&format!("published/{name}.json"));
        let optimum = instance["optimum"].as_u64().expect("a value");
        let (finish, bound) = solved(&house, &checker, &instance, EFFORT);
        let gap = 100.0 * (finish - bound) as f64 / finish as f64;
        println!(
            "{name}: {finish}, {bound}, {gap:.1} %; {optimum} ({})",
            instance["citation"].as_str().expect("a text")
        );
        assert!(bound <= least(&instance), "{name}: {bound} is above the optimum");
        assert!(finish >= least(&instance), "{name}: {finish} is better than the optimum");
    }
}

#[test]
fn two_job_shops_and_two_flow_shops_are_solved_to_the_optimum() {
    let (house, checker) = (House::new(), Checker::new());
    let solve = |name: &str| {
        let instance = json_file(&format!("published/{name}.json"));
        let (finish, _) = solved(&house, &checker, &instance, EFFORT_TO_SOLVE);
        (finish <= instance["optimum"].as_u64().expect("a value"), finish)
    };
    // The last may end before its published optimum, see above.
    let found = ["ft06", "la02", "fs_ta001", "fs_ta003"].map(solve);
    assert!(found.iter().all(|(as_good, _)| *as_good), "{found:?}");
}

#[test]
fn one_flow_shop_has_a_plan_that_ends_before_its_published_optimum() {
    let instance = json_file("published/fs_ta003.json");
    let (floor, plan) = (floor(&instance), json_file("published/fs_ta003.plan.json"));
    let verdict = Checker::new().check(&floor, &plan, None);
    assert_eq!((verdict.faults, verdict.worth), (vec![], vec![1073, 20, 0]));
    let file = floor_file(&floor);
    let layout = file.read_before(plan.to_string().as_bytes()).expect("a plan").layout;
    assert_eq!(classwright_planning::floor::check(&file.floor, &layout), []);
    assert_eq!(instance["optimum"], 1081);
}

/// No plan ends earlier.
fn least(instance: &Value) -> u64 {
    match instance["name"].as_str() {
        Some("fs_ta003") => 1073,
        _ => instance["optimum"].as_u64().expect("a value"),
    }
}

fn solved(house: &House, checker: &Checker, instance: &Value, effort: u64) -> (u64, u64) {
    let floor = floor(instance);
    let file = floor_file(&floor);
    let answer = house.solve(&file.floor, effort).expect("a shop always has a plan");
    let document = serde_json::to_value(file.solution(&answer)).expect("JSON");
    let verdict = checker.check(&floor, &document, None);
    assert_eq!(verdict.faults, Vec::<String>::new(), "{}", instance["name"]);
    (verdict.worth[0], answer.lower_bound_s.into())
}
