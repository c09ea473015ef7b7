//! What must hold between the answers to a floor and to the same floor changed a little, whatever the answers are.
//!
//! Every plan of a tightened floor is a plan of the floor. So no plan of the tightened floor ends before a bound of
//! the floor, proven or not, and no bound of the floor is above a plan of the tightened one.

use std::cell::Cell;

use classwright_app::floor_file::FloorFile;
use classwright_planning::floor::{impossible, objective};
use classwright_training::floor::{Bout, Floor, FloorBar, HeatsAnswer};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::Value;

use crate::asked::{House, floor_file};
use crate::random::floor;

const EFFORT: u64 = 4_000;
const CASES: u32 = 300;

/// Ways in which a floor leaves less room; the number says where.
const TIGHTER: [fn(&mut Floor, usize); 7] = [
    |floor, _| floor.coach_span -= 1,
    |floor, _| floor.max_heats -= 1,
    |floor, at| {
        let row = at % floor.stock.len();
        floor.stock[row].count -= 1;
    },
    |floor, at| {
        let row = at % floor.plates.len();
        floor.plates[row].1 -= 1;
    },
    |floor, at| {
        let bar = at % floor.bars.len();
        floor.bars.remove(bar);
    },
    |floor, at| {
        let bout = at % floor.bouts.len();
        floor.bouts[bout].rest_least_s += 10;
        // No less than before, so that the two still fit.
        let least = floor.bouts[bout].rest_least_s;
        floor.bouts[bout].rest_most_s = floor.bouts[bout].rest_most_s.filter(|most| *most >= least);
    },
    |floor, at| {
        let athlete = at % floor.athletes.len();
        floor.athletes[athlete].ready_s += 30;
    },
];

fn run<S: Strategy>(strategy: &S, test: impl Fn(S::Value))
where
    S::Value: std::fmt::Debug,
{
    let config = Config { cases: CASES, failure_persistence: None, ..Config::default() };
    // The same floors on every run: what fails here fails for everybody.
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let outcome = runner.run(strategy, |value| {
        test(value);
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
}

fn possible(json: &Value) -> Option<FloorFile> {
    let file = floor_file(json);
    impossible(&file.floor).is_empty().then_some(file)
}

fn end(floor: &Floor, answer: &HeatsAnswer) -> u32 {
    floor.finish_s(&answer.plan)
}

fn proven(floor: &Floor, answer: &HeatsAnswer) -> bool {
    answer.lower_bound_s == end(floor, answer)
}

#[test]
fn a_tighter_floor_is_never_done_before_the_bound_of_the_floor() {
    let house = House::new();
    let (held, held_of_proven) = (Cell::new(0), Cell::new(0));
    run(&(floor(5), 0..TIGHTER.len(), any::<u16>()), |(json, way, at)| {
        let Some(file) = possible(&json) else { return };
        let Some(answer) = house.solve(&file.floor, EFFORT) else { return };
        let mut tighter = file.floor.clone();
        let rest_had_an_end = tighter.bouts.iter().filter(|bout| bout.rest_most_s.is_some()).count();
        TIGHTER[way](&mut tighter, at.into());
        let loosened = tighter.bouts.iter().filter(|bout| bout.rest_most_s.is_some()).count() < rest_had_an_end;
        if loosened || !impossible(&tighter).is_empty() {
            return;
        }
        let Some(tight) = house.solve(&tighter, EFFORT) else { return };
        let (loose_bound, tight_end) = (answer.lower_bound_s, end(&tighter, &tight));
        assert!(tight_end >= loose_bound, "way {way} at {at}: {tight_end} before {loose_bound}\n{json}");
        held.set(held.get() + 1);
        held_of_proven.set(held_of_proven.get() + u32::from(proven(&file.floor, &answer)));
    });
    println!("held: {}, of proven ends: {}", held.get(), held_of_proven.get());
    assert!(held.get() >= CASES / 5 && held_of_proven.get() >= CASES / 20, "the draw does not reach enough");
}

#[test]
fn a_further_bar_never_makes_a_proven_class_later() {
    let house = House::new();
    let (held, held_of_proven) = (Cell::new(0), Cell::new(0));
    run(&(floor(5), any::<u16>()), |(json, at)| {
        let Some(file) = possible(&json) else { return };
        let Some(answer) = house.solve(&file.floor, EFFORT) else { return };
        let mut more = file.floor.clone();
        let like = more.bars[usize::from(at) % more.bars.len()].clone();
        more.bars.push(FloorBar { id: "one more".into(), ..like });
        let Some(with_more) = house.solve(&more, EFFORT) else { return };
        let (bound, before) = (with_more.lower_bound_s, end(&file.floor, &answer));
        assert!(
            bound <= before,
            "with one more bar nothing ends before {bound}, without it {before} is an end\n{json}"
        );
        if proven(&file.floor, &answer) && proven(&more, &with_more) {
            assert!(end(&more, &with_more) <= before, "{json}");
            held_of_proven.set(held_of_proven.get() + 1);
        }
        held.set(held.get() + 1);
    });
    println!("held: {}, of proven ends: {}", held.get(), held_of_proven.get());
    assert!(held.get() >= CASES / 5 && held_of_proven.get() >= CASES / 20, "the draw does not reach enough");
}

#[test]
fn other_names_change_nothing_but_names() {
    let house = House::new();
    let held = Cell::new(0);
    run(&floor(6), |json| {
        let Some(file) = possible(&json) else { return };
        let Some(answer) = house.solve(&file.floor, EFFORT) else { return };
        let renamed = floor_file(&renamed(&json));
        assert_eq!(house.solve(&renamed.floor, EFFORT).as_ref(), Some(&answer), "{json}");
        let (document, other) = (file.solution(&answer), renamed.solution(&answer));
        let names = |heats: &[classwright_app::floor_file::SolutionHeatDoc]| {
            heats.iter().map(|heat| (heat.athletes.clone(), heat.starts.clone())).collect::<Vec<_>>()
        };
        let expected: Vec<_> = names(&document.heats)
            .into_iter()
            .map(|(athletes, starts)| (athletes.iter().map(|id| format!("Z {id}")).collect::<Vec<_>>(), starts))
            .collect();
        assert_eq!(names(&other.heats), expected, "{json}");
        held.set(held.get() + 1);
    });
    assert!(held.get() >= CASES / 5, "the draw does not reach enough: {}", held.get());
}

#[test]
fn another_order_of_athletes_changes_no_proven_end() {
    let house = House::new();
    let (held, held_of_proven) = (Cell::new(0), Cell::new(0));
    run(&(floor(5), any::<u16>()), |(json, by)| {
        let Some(file) = possible(&json) else { return };
        let turned = turned(&file.floor, usize::from(by));
        assert_eq!(impossible(&turned).len(), 0, "{json}");
        let (first, second) = (house.solve(&file.floor, EFFORT), house.solve(&turned, EFFORT));
        let (Some(first), Some(second)) = (first, second) else { return };
        let (ends, bounds) =
            ((end(&file.floor, &first), end(&turned, &second)), (first.lower_bound_s, second.lower_bound_s));
        assert!(bounds.0 <= ends.1 && bounds.1 <= ends.0, "{ends:?}, {bounds:?}\n{json}");
        if proven(&file.floor, &first) && proven(&turned, &second) {
            assert_eq!(ends.0, ends.1, "{json}");
            held_of_proven.set(held_of_proven.get() + 1);
        }
        if first.optimal && second.optimal {
            assert_eq!(objective(&file.floor, &first.plan), objective(&turned, &second.plan), "{json}");
        }
        held.set(held.get() + 1);
    });
    println!("held: {}, of proven ends: {}", held.get(), held_of_proven.get());
    assert!(held.get() >= CASES / 5 && held_of_proven.get() >= CASES / 20, "the draw does not reach enough");
}

#[test]
fn no_bound_is_above_a_plan_that_another_effort_found() {
    let house = House::new();
    let held = Cell::new(0);
    run(&floor(6), |json| {
        let Some(file) = possible(&json) else { return };
        let answers: Vec<HeatsAnswer> =
            [1, 200, 2_000, 20_000].iter().filter_map(|effort| house.solve(&file.floor, *effort)).collect();
        let bound = answers.iter().map(|answer| answer.lower_bound_s).max();
        let earliest = answers.iter().map(|answer| end(&file.floor, answer)).min();
        assert!(bound <= earliest, "a bound of {bound:?} and a plan that ends at {earliest:?}\n{json}");
        let best = answers.iter().map(|answer| objective(&file.floor, &answer.plan)).min();
        for answer in answers.iter().filter(|answer| answer.optimal) {
            assert_eq!(Some(objective(&file.floor, &answer.plan)), best, "called the best and is not\n{json}");
        }
        held.set(held.get() + u32::from(answers.len() > 1));
    });
    assert!(held.get() >= CASES / 5, "the draw does not reach enough: {}", held.get());
}

/// The floor with everybody, every bar and all kit called otherwise.
fn renamed(json: &Value) -> Value {
    let mut json = json.clone();
    let name = |value: &mut Value| *value = Value::String(format!("Z {}", value.as_str().expect("a name")));
    for list in ["athletes", "bars"] {
        json[list].as_array_mut().expect("a list").iter_mut().for_each(|row| name(&mut row["id"]));
    }
    let rename = |map: &mut Value| {
        let fields = std::mem::take(map.as_object_mut().expect("an object"));
        *map = fields
            .into_iter()
            .map(|(kit, count)| (format!("Z {kit}"), count))
            .collect::<serde_json::Map<_, _>>()
            .into();
    };
    rename(&mut json["resources"]);
    for athlete in json["athletes"].as_array_mut().expect("a list") {
        athlete["bouts"].as_array_mut().expect("a list").iter_mut().for_each(|bout| rename(&mut bout["use"]));
    }
    json
}

/// The floor with its athletes in another order.
fn turned(floor: &Floor, by: usize) -> Floor {
    let mut order: Vec<usize> = (0..floor.athletes.len()).collect();
    order.rotate_left(by % floor.athletes.len());
    if by / floor.athletes.len() % 2 == 1 {
        order.reverse();
    }
    let mut turned = Floor { athletes: Vec::new(), bouts: Vec::new(), ..floor.clone() };
    for (new, old) in (0..).zip(order) {
        let mut athlete = floor.athletes[old];
        let bouts = &floor.bouts[athlete.first_bout as usize..][..athlete.bout_count as usize];
        athlete.first_bout = turned.bouts.len() as u32;
        turned.bouts.extend(bouts.iter().map(|bout| Bout { athlete: new, ..bout.clone() }));
        turned.athletes.push(athlete);
    }
    turned
}
