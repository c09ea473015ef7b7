//! Floors as JSON (format `heats-1`) to questions and answers back, and a slow checker that looks at every second.

#![expect(dead_code, reason = "each test file uses its part of it")]

pub(crate) mod by_second;
pub(crate) mod random;

use classwright_sdk::NONE;
use classwright_sdk::heats::{Answer, Athlete, Bar, BarType, Bout, Claim, Loading, PlateStock, Question, StockRow};
use serde_json::{Value, json};

pub(crate) const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data/heats");

pub(crate) fn read(name: &str) -> Value {
    let text = std::fs::read_to_string(format!("{DATA}/{name}.json")).expect("the floor is there");
    serde_json::from_str(&text).expect("the floor is JSON")
}

/// A question with nothing in it.
pub(crate) fn empty() -> Question {
    Question {
        texts: vec![],
        settings: String::new(),
        effort: 0,
        window_s: 3600,
        now_s: 0,
        start_step_s: 1,
        coach_span: 1,
        max_heats: 1,
        setup_fixed_s: 5,
        setup_pair_s: 6,
        stage_count: 0,
        athletes: vec![],
        bouts: vec![],
        claims: vec![],
        stock: vec![],
        bar_types: vec![],
        bars: vec![],
        loadings: vec![Loading { first: 0, count: 0 }],
        plates: vec![],
        plate_stock: vec![],
        taken: vec![],
        together: vec![],
        apart: vec![],
        present: None,
    }
}

fn number(value: &Value) -> u32 {
    value.as_u64().expect("a whole number") as u32
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

pub(crate) fn question(floor: &Value, effort: u64) -> Question {
    let mut question = Question {
        effort,
        coach_span: number(&floor["coach_limit"]),
        max_heats: number(&floor["max_heats"]),
        setup_fixed_s: number(&floor["setup_fixed_s"]),
        setup_pair_s: number(&floor["setup_pair_s"]),
        ..empty()
    };
    let kits: Vec<&String> = floor["resources"].as_object().expect("kit").keys().collect();
    for kit in &kits {
        question.stock.push(StockRow { kit: question.texts.len() as u32, count: number(&floor["resources"][*kit]) });
        question.texts.push(kit.to_string());
    }
    let sizes: Vec<f64> =
        floor["plates"].as_object().expect("plates").keys().map(|s| s.parse().expect("a mass")).collect();
    for (size, pairs) in sizes.iter().zip(floor["plates"].as_object().expect("plates").values()) {
        question.plate_stock.push(PlateStock { mass_g: (size * 1000.0) as u32, pairs: number(pairs) });
    }
    let mut kinds: Vec<u32> = list(&floor["bars"]).iter().map(|b| number(&b["type"])).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in &kinds {
        question.bar_types.push(BarType { name: question.texts.len() as u32, mass_g: kind * 1000 });
        question.texts.push(format!("{kind} kg bar"));
    }
    let kind_of = |value: &Value| kinds.iter().position(|k| *k == number(value)).expect("a type that is there") as u32;
    let bars = list(&floor["bars"]).iter();
    question.bars = bars.map(|b| Bar { bar_type: kind_of(&b["type"]), free_from_s: 0, loading: 0 }).collect();
    let mut loadings: Vec<Vec<u32>> = vec![vec![]];
    for (index, athlete) in list(&floor["athletes"]).iter().enumerate() {
        let bouts = list(&athlete["bouts"]);
        question.athletes.push(Athlete {
            ready_s: number(&athlete["ready"]),
            first_bout: question.bouts.len() as u32,
            bout_count: bouts.len() as u32,
        });
        question.stage_count = question.stage_count.max(bouts.len() as u32);
        for (stage, bout) in bouts.iter().enumerate() {
            let mut bar = (NONE, NONE);
            if !bout["bar"].is_null() {
                let plate =
                    |mass: &Value| sizes.iter().position(|s| Some(*s) == mass.as_f64()).expect("a plate") as u32;
                let loading: Vec<u32> = list(&bout["bar"]["config"]).iter().map(plate).collect();
                let place = loadings.iter().position(|l| *l == loading).unwrap_or_else(|| {
                    loadings.push(loading);
                    loadings.len() - 1
                });
                bar = (kind_of(&bout["bar"]["type"]), place as u32);
            }
            for (kit, count) in bout["use"].as_object().expect("claims") {
                let kit = kits.iter().position(|k| *k == kit).expect("kit that is there") as u32;
                question.claims.push(Claim { bout: question.bouts.len() as u32, kit, count: number(count) });
            }
            question.bouts.push(Bout {
                athlete: index as u32,
                stage: stage as u32,
                duration_s: number(&bout["dur"]),
                shortest_s: number(&bout["dur"]),
                longest_s: number(&bout["dur"]),
                rest_least_s: number(&bout["rest_min"]),
                rest_most_s: bout["rest_max"].as_u64().map_or(NONE, |most| most as u32),
                watch: 1,
                bar_type: bar.0,
                loading: bar.1,
            });
        }
    }
    lay(&mut question, &loadings);
    question
}

/// Writes loadings as the question has them.
pub(crate) fn lay(question: &mut Question, loadings: &[Vec<u32>]) {
    question.loadings.clear();
    question.plates.clear();
    for loading in loadings {
        question.loadings.push(Loading { first: question.plates.len() as u32, count: loading.len() as u32 });
        question.plates.extend(loading);
    }
}

/// An answer in the format `heats-solution-1`.
pub(crate) fn solution(floor: &Value, question: &Question, answer: &Answer) -> Value {
    let athletes = list(&floor["athletes"]);
    let plan = &answer.plan;
    let stages = question.stage_count as usize;
    let heats = (0..plan.heat_count).map(|heat| {
        let members: Vec<&Value> =
            athletes.iter().enumerate().filter(|(a, _)| plan.heat_of[*a] == heat).map(|(_, it)| &it["id"]).collect();
        let starts: Vec<u32> =
            plan.starts[heat as usize * stages..][..stages].iter().copied().filter(|s| *s != NONE).collect();
        json!({ "athletes": members, "starts": starts })
    });
    let mut bars = serde_json::Map::new();
    for (athlete, it) in athletes.iter().zip(&question.athletes) {
        let mine = &plan.bar_of[it.first_bout as usize..][..it.bout_count as usize];
        let ids =
            mine.iter().map(|bar| if *bar == NONE { Value::Null } else { floor["bars"][*bar as usize]["id"].clone() });
        bars.insert(athlete["id"].as_str().expect("an id").into(), ids.collect());
    }
    json!({ "format": "heats-solution-1", "heats": heats.collect::<Vec<_>>(), "bars": bars })
}
