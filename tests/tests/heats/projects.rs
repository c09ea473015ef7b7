//! Published project instances as floors: `project_floor.rs` says how.

use crate::asked::{House, json_file};
use crate::project_floor::Project;

const EFFORT: u64 = 200_000;

const PROJECTS: [&str; 3] = ["j301_1", "j3013_1", "j3029_2"];
const WITH_MOST_LAGS: [&str; 2] = ["max_sm_j10_PSP1", "max_testset_ubo20_psp1"];

#[test]
fn no_answer_is_better_than_a_proven_optimum_and_no_bound_is_above_one() {
    let house = House::new();
    println!("instance: finish, bound, gap; published optimum");
    for name in PROJECTS.iter().chain(&WITH_MOST_LAGS) {
        let instance = json_file(&format!("published/{name}.json"));
        let optimum = instance["optimum"].as_u64().expect("a value") as u32;
        let project = Project::new(&instance);
        let citation = instance["citation"].as_str().expect("a text");
        let Some(answer) = house.solve(&project.floor, EFFORT) else {
            println!("{name}: no plan found; {optimum} ({citation})");
            assert!(WITH_MOST_LAGS.contains(name), "{name}: one activity after the other is a plan");
            continue;
        };
        let finish = project.floor.finish_s(&answer.plan) - project.apart;
        let bound = answer.lower_bound_s.saturating_sub(project.apart);
        println!("{name}: {finish}, {bound}, {:.1} %; {optimum} ({citation})", gap(finish, bound));
        assert!(bound <= optimum, "{name}: {bound} is above the optimum, {optimum}");
        assert!(finish >= optimum, "{name}: {finish} is better than the optimum, {optimum}");
    }
}

#[test]
fn an_instance_without_a_plan_is_never_given_one() {
    let instance = json_file("published/max_sm_j20_PSP10.json");
    assert_eq!(instance["feasible"], false);
    assert_eq!(House::new().solve(&Project::new(&instance).floor, EFFORT), None);
}

/// The form is right: starts of a known best plan of an instance keep the host's rules, and end when they should.
#[test]
fn a_shadow_says_what_the_lag_says() {
    // Two activities of 3 and 5 seconds on one machine; the first starts at most 2 s after the second: it goes first.
    let instance = serde_json::json!({
        "capacities": [1], "durations": [3, 5, 0], "demands": [[1], [1], [0]],
        "lags_start_start": [[0, 1, -2], [0, 2, 3], [1, 2, 5]],
    });
    let project = Project::new(&instance);
    assert!(project.apart > 0, "nothing says which of the two is first, so there is a shadow");
    let heat = |starts: [u32; 3]| {
        let end = starts[2];
        // In the order of stages: activities as they are sorted, the shadow, the end.
        let mut row: Vec<Option<u32>> = project.order.iter().map(|activity| Some(starts[*activity])).collect();
        row.extend([Some(starts[1] + project.apart), Some(end)]);
        let floor = &project.floor;
        let plan = classwright_training::floor::Layout {
            heat_of: vec![0; floor.athletes.len()],
            starts: vec![row],
            bar_of: vec![None; floor.bouts.len()],
        };
        (classwright_planning::floor::check(floor, &plan).len(), floor.finish_s(&plan) - project.apart)
    };
    assert_eq!(heat([0, 3, 8]), (0, 8));
    let (faults, _) = heat([5, 0, 8]);
    assert!(faults > 0, "the first starts 5 s after the second");
}

fn gap(finish: u32, bound: u32) -> f64 {
    100.0 * f64::from(finish - bound) / f64::from(finish.max(1))
}
