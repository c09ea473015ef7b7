//! The floors of `tests/data/heats`: accepted by two checkers, and no bound above the best known plan.

mod support;

use std::process::Command;
use std::time::Instant;

use classwright_heats::Settings;
use support::by_second::judge;

/// Floor, and the earliest end known of it (from the statement beside the floors: proven for the floors of eight, else
/// the best of an exact solver with a time limit and of an earlier prototype).
const KNOWN: [(&str, u32); 6] =
    [("c08a", 927), ("c08c", 977), ("c16a", 908), ("c16c", 1043), ("c24a", 998), ("c24c", 1516)];

#[test]
fn both_checkers_accept_the_plans_and_bounds_hold() {
    for (name, known) in KNOWN {
        let floor = support::read(name);
        let effort = std::env::var("HEATS_EFFORT").ok().and_then(|text| text.parse().ok()).unwrap_or(60_000);
        let question = support::question(&floor, effort);
        let begun = Instant::now();
        let answer = classwright_heats::plan(&question, &Settings::default()).expect("the floor has a plan");
        let took = begun.elapsed();
        let (wrong, worth) = judge(&question, &answer.plan);
        println!("{name}: {worth:?}, bound {}, best known {known}, {took:.2?}", answer.lower_bound_s);
        assert_eq!(wrong, Vec::<String>::new(), "{name}");
        assert!(answer.lower_bound_s <= known && known <= worth.0, "{name}");

        let file = std::env::temp_dir().join(format!("classwright-heats-{}-{name}.json", std::process::id()));
        std::fs::write(&file, support::solution(&floor, &question, &answer).to_string())
            .expect("a file can be written");
        let checked = Command::new("python3")
            .arg(format!("{}/check.py", support::DATA))
            .arg(format!("{}/{name}.json", support::DATA))
            .arg(&file)
            .output()
            .expect("python3 runs");
        std::fs::remove_file(&file).expect("the file was written");
        let said = String::from_utf8_lossy(&checked.stdout).into_owned();
        assert!(checked.status.success(), "{said}");
        assert!(said.contains(&format!("[{}, {}, {}]", worth.0, worth.1, worth.2)), "{said} but {worth:?}");
    }
}

#[test]
fn the_same_question_gives_the_same_plan() {
    let question = support::question(&support::read("c08c"), 5_000);
    assert_eq!(
        classwright_heats::plan(&question, &Settings::default()),
        classwright_heats::plan(&question, &Settings::default())
    );
}

#[test]
fn five_hundred_athletes_have_a_plan() {
    let base = support::question(&support::read("c24c"), 200_000);
    let mut question = classwright_sdk::heats::Question {
        // The rules bind, not the hour.
        window_s: 1_000_000,
        max_heats: 120,
        athletes: vec![],
        bouts: vec![],
        claims: vec![],
        ..base.clone()
    };
    for athlete in 0..500 {
        let like = base.athletes[athlete as usize * 7 % base.athletes.len()];
        let first_bout = question.bouts.len() as u32;
        for bout in like.first_bout..like.first_bout + like.bout_count {
            let number = question.bouts.len() as u32;
            let claims = base.claims.iter().filter(|claim| claim.bout == bout);
            question.claims.extend(claims.map(|claim| classwright_sdk::heats::Claim { bout: number, ..*claim }));
            question.bouts.push(classwright_sdk::heats::Bout { athlete, ..base.bouts[bout as usize] });
        }
        question.athletes.push(classwright_sdk::heats::Athlete { first_bout, ..like });
    }
    let answer = classwright_heats::plan(&question, &Settings::default()).expect("120 heats are enough");
    assert_eq!(classwright_sdk::cases::plan_faults(&question, &answer.plan), Vec::<String>::new());
}
