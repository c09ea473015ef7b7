//! `classwright reckon` from outside. The values themselves are checked against their sources in the training crate.

use serde_json::Value;

use crate::support::{classwright, json as run};

fn near(value: &Value, expected: f64) {
    let value = value.as_f64().expect("a number");
    assert!((value - expected).abs() < 1e-9, "{value}, expected {expected}");
}

#[test]
fn a_best_is_estimated_from_a_set() {
    // Computed from Epley's published constants; see tests/data/trade-values.json, orm-ep-100x5.
    near(&run(&["reckon", "best", "--load", "100kg", "--reps", "5", "--by", "epley", "--json"])["best_kg"], 116.667);
}

#[test]
fn rowing_watts_become_a_split() {
    // tests/data/trade-values.json, erg-inv-200: 120.5071 s.
    near(&run(&["reckon", "row", "--watts", "200", "--json"])["split_s"], 120.507);
}

#[test]
fn a_week_has_load_monotony_and_strain() {
    // tests/data/trade-values.json, week-a, sample standard deviation.
    let week = run(&["reckon", "load-week", "420", "0", "300", "480", "0", "360", "0", "--json"]);
    near(&week["load"], 1560.0);
    assert!((week["monotony"].as_f64().expect("a number") - 1.034).abs() < 1e-3);
    assert!((week["strain"].as_f64().expect("a number") - 1612.96).abs() < 0.5);
}

#[test]
fn a_bar_is_loaded() {
    let made = run(&["reckon", "plates", "--load", "100kg", "--bar", "20kg", "--json"]);
    near(&made["total_kg"], 100.0);
    near(&made["bar_kg"], 20.0);
    let side: f64 = made["side_kg"].as_array().expect("a list").iter().filter_map(Value::as_f64).sum();
    assert!((side - 40.0).abs() < 1e-9);
}

#[test]
fn bad_arguments_are_told_with_exit_code_2() {
    for args in [
        &["reckon", "best", "--load", "-5kg", "--reps", "5"][..],
        &["reckon", "best", "--load", "100kg", "--reps", "50", "--by", "brzycki"],
        &["reckon", "best", "--load", "100kg", "--reps", "5", "--by", "nobody"],
        &["reckon", "row"],
    ] {
        let ran = classwright(args);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}: {}", ran.err);
        assert!(ran.err.len() > 10, "{args:?}");
    }
}
