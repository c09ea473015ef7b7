//! A plan that bends: people go on from where they are, what is over needs nothing, and what was proven stays proven.

mod support;

use classwright_heats::{Settings, plan};
use classwright_sdk::heats::{Answer, Question};
use serde_json::json;
use support::by_second::judge;
use support::random::{Dice, floor};

/// Three people: a mat each, then a bar each; two bars.
fn class() -> Question {
    let bouts = json!([
        { "dur": 60, "rest_min": 30, "rest_max": null, "bar": null, "use": { "mat": 1 } },
        { "dur": 100, "rest_min": 0, "rest_max": null,
          "bar": { "type": 20, "load": 40.0, "config": [10] }, "use": {} },
    ]);
    let people: Vec<_> = ["a", "b", "c"].map(|id| json!({ "id": id, "ready": 0, "bouts": bouts })).into();
    let floor = json!({
        "coach_limit": 6, "max_heats": 3, "setup_fixed_s": 5, "setup_pair_s": 6, "resources": { "mat": 3 },
        "bars": [{ "type": 20 }, { "type": 20 }], "plates": { "10": 4 }, "athletes": people,
    });
    support::question(&floor, 20_000)
}

fn planned(question: &Question) -> Answer {
    let answer = plan(question, &Settings::default()).expect("there is a plan");
    let (wrong, worth) = judge(question, &answer.plan);
    assert_eq!(wrong, Vec::<String>::new());
    assert!(answer.lower_bound_s <= worth.0, "{} > {}", answer.lower_bound_s, worth.0);
    answer
}

#[test]
fn whoever_has_begun_goes_on_in_a_new_heat_where_the_old_one_has_no_room() {
    let mut question = class();
    let before = planned(&question).plan;
    assert_eq!(before.heat_count, 2);
    // They are on their mats, and one of the bars breaks: two who were to lift together cannot.
    question.bars.pop();
    question.now_s = 40;
    question.present = Some(before);
    let after = planned(&question).plan;
    assert_eq!(after.heat_count, 3);
}

#[test]
fn what_is_over_needs_no_kit() {
    let mut question = class();
    question.present = Some(planned(&question).plan);
    question.now_s = 70;
    question.stock[0].count = 0;
    planned(&question);
}

#[test]
fn a_plan_that_was_proven_is_proven_when_it_stands_already() {
    let mut dice = Dice(5);
    let mut proven = 0;
    for number in 0..60 {
        let mut question = floor(&mut dice, 4, 2);
        question.effort = 200_000;
        let Ok(first) = plan(&question, &Settings { seconds_a_person: 0 }) else { continue };
        if first.optimal == 0 {
            continue;
        }
        proven += 1;
        question.present = Some(first.plan.clone());
        let again = plan(&question, &Settings { seconds_a_person: 0 }).expect("it stands");
        assert_eq!((again.lower_bound_s, again.optimal), (first.lower_bound_s, 1), "floor {number}");
    }
    assert!(proven > 20, "{proven}");
}
