//! How good the house heat policy's plans are, and what they cost: a table for each kind of floor, in Markdown.
//!
//! Every floor is solved through the component, on one core, and by the same code called natively; the two answers
//! have to be the same. Beside them stand what CP-SAT found in 60 to 90 seconds and the best that is known.
//!
//! `cargo bench -p classwright-tests --bench heats` measures at the efforts below; with `-- N` at effort N.

#[path = "../tests/heats/asked.rs"]
mod asked;
#[path = "../tests/heats/known.rs"]
mod known;
#[path = "support/native.rs"]
#[expect(dead_code, reason = "the other benches use the rest")]
mod native;
#[path = "../tests/heats/project_floor.rs"]
#[expect(dead_code, reason = "a test reads the order of stages")]
mod project_floor;
#[path = "../tests/heats/shop_floor.rs"]
mod shop_floor;

use std::time::{Duration, Instant};

use asked::{House, floor_file, json_file};
use classwright_sdk::heats::Answer;
use classwright_sdk::{NONE, policy};
use classwright_training::floor::{Floor, HeatsAnswer};
use project_floor::Project;
use serde_json::Value;

/// Up to 24 athletes, and published instances: about a second through the component.
const EFFORT: u64 = 12_000_000;
/// A few athletes, where a look costs less: a second too.
const EFFORT_SMALL: u64 = 16_000_000;
/// Many: about five.
const EFFORT_LARGE: u64 = 62_000_000;

fn usual_effort(athletes: usize) -> u64 {
    match athletes {
        ..=10 => EFFORT_SMALL,
        11..=24 => EFFORT,
        _ => EFFORT_LARGE,
    }
}

fn main() {
    // `cargo bench` passes `--bench`; a number is an effort.
    let effort = std::env::args().find_map(|argument| argument.parse::<u64>().ok());
    // `cargo nextest` and `cargo test` ask what tests there are; there are none.
    if std::env::args().any(|argument| argument == "--list") {
        return;
    }
    let house = House::new();
    println!("Floors\n");
    println!(
        "| floor | effort | finish | heats | pairs | bound | gap | wasm | native | ratio | looks a second | CP-SAT | its bound | its time | best known | its bound |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|");
    let mut gaps: Vec<(usize, f64)> = Vec::new();
    for (name, known, known_bound) in known::KNOWN {
        let file = floor_file(&json_file(&format!("{name}.json")));
        let athletes = file.floor.athletes.len();
        let row = Row::measure(&house, &file.floor, effort.unwrap_or_else(|| usual_effort(athletes)));
        let stage = json_file(&format!("{name}.ref.json"))["stages"][0].clone();
        let value = stage["value"].as_u64().map_or("none".into(), |value| value.to_string());
        let (heats, pairs) = row.more(&file.floor);
        println!(
            "| {name} | {} | {} | {heats} | {pairs} | {} | {:.1} % | {:.2} s | {:.2} s | {:.2} | {:.0} million | {value} | {} | {} s | {known} | {known_bound} |",
            row.effort,
            row.finish,
            row.bound_shown(),
            row.gap(),
            row.component.as_secs_f64(),
            row.native.as_secs_f64(),
            row.ratio(),
            row.effort as f64 / row.component.as_secs_f64() / 1e6,
            stage["bound"],
            stage["seconds"],
        );
        gaps.push((athletes, row.gap()));
    }
    for athletes in [8, 16, 24, 40, 60] {
        let of: Vec<f64> = gaps.iter().filter(|(own, _)| *own == athletes).map(|(_, gap)| *gap).collect();
        println!("\nMean gap at {athletes} athletes: {:.1} %", of.iter().sum::<f64>() / of.len() as f64);
    }
    published(&house, effort.unwrap_or(EFFORT));
}

fn published(house: &House, effort: u64) {
    println!("\nPublished instances\n");
    println!("| instance | kind | effort | finish | bound | gap | published optimum | wasm | native | ratio |");
    println!("|---|---|---|---|---|---|---|---|---|---|");
    let shops = ["ft06", "la02", "la16", "orb01", "ta01", "fs_ta001", "fs_ta003"];
    let projects = ["j301_1", "j3013_1", "j3029_2", "max_sm_j10_PSP1", "max_testset_ubo20_psp1"];
    let row = |instance: &Value, floor: &Floor, apart: u32| {
        let name = instance["name"].as_str().expect("a name");
        let kind = instance["kind"].as_str().expect("a kind");
        if house.solve(floor, effort).is_none() {
            return println!("| {name} | {kind} | {effort} | no plan found | | | {} | | | |", instance["optimum"]);
        }
        let mut row = Row::measure(house, floor, effort);
        row.finish -= apart;
        row.bound = row.bound.saturating_sub(apart);
        println!(
            "| {name} | {kind} | {effort} | {} | {} | {:.1} % | {} | {:.2} s | {:.2} s | {:.2} |",
            row.finish,
            row.bound_shown(),
            row.gap(),
            instance["optimum"],
            row.component.as_secs_f64(),
            row.native.as_secs_f64(),
            row.ratio()
        );
    };
    for name in shops {
        let instance = json_file(&format!("published/{name}.json"));
        row(&instance, &floor_file(&shop_floor::floor(&instance)).floor, 0);
    }
    for name in projects {
        let instance = json_file(&format!("published/{name}.json"));
        let project = Project::new(&instance);
        row(&instance, &project.floor, project.apart);
    }
}

/// One floor, solved both ways.
struct Row {
    effort: u64,
    answer: HeatsAnswer,
    finish: u32,
    bound: u32,
    component: Duration,
    native: Duration,
}

impl Row {
    fn measure(house: &House, floor: &Floor, effort: u64) -> Row {
        let begun = Instant::now();
        let answer = house.solve(floor, effort).expect("there is a plan");
        let component = begun.elapsed();
        let question = native::heats(floor, effort);
        let begun = Instant::now();
        let own = policy::plan_heats::<classwright_heats::HouseHeats>(&question).expect("there is a plan");
        let native = begun.elapsed();
        assert!(same(&answer, &own), "the component and the native search differ");
        let (finish, bound) = (floor.finish_s(&answer.plan), answer.lower_bound_s);
        Row { effort, answer, finish, bound, component, native }
    }

    /// Heats, and pairs of plates moved.
    fn more(&self, floor: &Floor) -> (u32, u32) {
        let (_, heats, pairs) = classwright_planning::floor::objective(floor, &self.answer.plan);
        (heats, pairs)
    }

    fn bound_shown(&self) -> String {
        format!("{}{}", self.bound, if self.answer.optimal { ", best" } else { "" })
    }

    fn gap(&self) -> f64 {
        100.0 * f64::from(self.finish - self.bound) / f64::from(self.finish.max(1))
    }

    fn ratio(&self) -> f64 {
        self.component.as_secs_f64() / self.native.as_secs_f64()
    }
}

fn same(component: &HeatsAnswer, native: &Answer) -> bool {
    let flat = |list: &mut dyn Iterator<Item = &Option<u32>>| list.map(|own| own.unwrap_or(NONE)).collect::<Vec<_>>();
    let plan = &component.plan;
    component.lower_bound_s == native.lower_bound_s
        && u32::from(component.optimal) == native.optimal
        && plan.heat_of == native.plan.heat_of
        && flat(&mut plan.starts.iter().flatten()) == native.plan.starts
        && flat(&mut plan.bar_of.iter()) == native.plan.bar_of
}
