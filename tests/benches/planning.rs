//! What it costs to plan a class as it grows, and what a process pays before it can.
//!
//! Planning is measured in the process, with the house's scaling and substitution policies and with none. Everybody
//! trains at home, so that no search for a floor plan, which takes what effort it is given, hides the rest. Goal: the
//! cost an athlete at 1,000 is within a fifth of that at 100. The host's own parts of a floor plan, people in turn and the
//! checker, are measured by themselves.

#[path = "support/class.rs"]
mod class;

use class::{Sized, ample, house, loaded, top};
use classwright_planning::{OnShelf, floor};
use classwright_policies::{Runtime, RuntimeOptions};
use classwright_tests::shelve;
use classwright_training::Place;
use classwright_training::floor::{Floor, Layout};
use classwright_training::notation;
use divan::Bencher;
use divan::counter::{BytesCount, ItemsCount};

fn main() {
    divan::main();
}

const SIZES: [usize; 3] = [10, 100, 1000];

fn plan(bencher: Bencher<'_, '_>, athletes: usize, shelf: &[OnShelf]) {
    let mut class = Sized::new(athletes);
    for (athlete, home) in class.athletes.iter_mut().zip((0..class.gym.home_kits.len() as u32).cycle()) {
        athlete.place = Place::Home(home);
    }
    let bencher = bencher.counter(ItemsCount::new(athletes));
    bencher.bench_local(|| classwright_planning::plan(&class.class(shelf)));
}

#[divan::bench(args = SIZES)]
fn plan_without_policies(bencher: Bencher<'_, '_>, athletes: usize) {
    plan(bencher, athletes, &[]);
}

#[divan::bench(args = SIZES)]
fn plan_with_policies(bencher: Bencher<'_, '_>, athletes: usize) {
    let runtime = Runtime::new(RuntimeOptions::default()).expect("the runtime starts on this machine");
    let shelf = ["scaling", "substitution"].map(|name| shelve(&runtime, &house(name), ample()).expect("it is taken"));
    plan(bencher, athletes, &shelf);
}

/// A class with everybody on the floor, and the plan of people in turn.
fn in_turn(athletes: usize) -> (Floor, Layout) {
    let mut class = Sized::new(athletes);
    class.athletes.iter_mut().for_each(|athlete| athlete.place = Place::Floor);
    let floor = classwright_planning::plan(&class.class(&[])).floor.floor;
    let layout = floor::in_turn(&floor).expect("people can go in turn").plan;
    (floor, layout)
}

#[divan::bench(args = [30, 500])]
fn people_in_turn(bencher: Bencher<'_, '_>, athletes: usize) {
    let (floor, _) = in_turn(athletes);
    bencher.counter(ItemsCount::new(athletes)).bench_local(|| floor::in_turn(&floor).expect("they could before"));
}

#[divan::bench(args = [30, 500])]
fn check_a_floor_plan(bencher: Bencher<'_, '_>, athletes: usize) {
    let (floor, layout) = in_turn(athletes);
    bencher.counter(ItemsCount::new(athletes)).bench_local(|| floor::check(&floor, &layout));
}

/// The runtime alone: engine, pool and linker.
#[divan::bench]
fn start_runtime(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| Runtime::new(RuntimeOptions::default()).expect("the runtime starts on this machine"));
}

/// A policy from the cache of compiled code.
#[divan::bench]
fn load_compiled_policy(bencher: Bencher<'_, '_>) {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let options = RuntimeOptions { cache_dir: Some(dir.path().into()), ..RuntimeOptions::default() };
    let runtime = Runtime::new(options).expect("the runtime starts on this machine");
    let bytes = house("scaling");
    runtime.load(&bytes).expect("it is taken");
    bencher.bench_local(|| runtime.load(&bytes).expect("it is taken"));
}

/// A fresh instance from the pool and a call that looks nothing up.
#[divan::bench]
fn start_instance_and_describe(bencher: Bencher<'_, '_>) {
    let (policy, limits) = (loaded(&house("scaling")), ample());
    bencher.bench_local(|| policy.describe(&limits).expect("it says what it is"));
}

#[divan::bench]
fn built_in_library(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| classwright_store::read_built_in().expect("it is right"));
}

#[divan::bench]
fn demo_gym(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| classwright_store::open(&top().join("demo-gym")).expect("it is right"));
}

#[divan::bench]
fn parse_session(bencher: Bencher<'_, '_>) {
    let gym = classwright_store::open(&top().join("demo-gym")).expect("it is right");
    let text = std::fs::read_to_string(top().join("demo-gym/sessions/monday.md")).expect("it is there");
    let bencher = bencher.counter(BytesCount::of_str(&text));
    bencher.bench_local(|| notation::parse(&text, &gym.library).expect("it is right"));
}
