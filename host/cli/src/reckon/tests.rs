//! The questions as they are typed, and the answers as they are printed.

use super::{Reckon, run};
use clap::Parser;
use serde_json::Value;

#[derive(Debug, Parser)]
struct Line {
    #[command(subcommand)]
    reckon: Reckon,
    #[arg(long, global = true)]
    json: bool,
}

/// The words of a line; single quotes keep a space.
fn words(line: &str) -> Vec<String> {
    let mut words = vec!["reckon".to_owned()];
    for (index, piece) in line.split('\'').enumerate() {
        if index % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}

fn asked(line: &str) -> Result<String, String> {
    let line = Line::try_parse_from(words(line)).map_err(|error| {
        assert_eq!(error.exit_code(), i32::from(super::ReckonError::EXIT_CODE));
        error.to_string()
    })?;
    run(line.reckon, line.json).map_err(|error| error.to_string())
}

fn json(line: &str) -> Value {
    let answer = asked(&format!("{line} --json")).unwrap_or_else(|error| panic!("{line}: {error}"));
    serde_json::from_str(&answer).expect("an answer")
}

fn list(value: &Value) -> Vec<f64> {
    value.as_array().expect("an answer").iter().map(|number| number.as_f64().expect("an answer")).collect()
}

#[test]
fn a_best() {
    // Epley, 100 kg x 5: trade-values.json, orm-ep-100x5.
    assert_eq!(json("best --load 100kg --reps 5 --by epley")["best_kg"], 116.667);
    assert_eq!(json("best --load '100 kg' --reps 5 --by brzycki")["best_kg"], 112.5);
    let pounds = json("best --load 225lb --reps 1 --by Wathan");
    assert_eq!((&pounds["best_lb"], &pounds["best_kg"]), (&Value::from(225.0), &Value::from(102.058)));
    let all = json("best --load 100 --reps 10");
    assert_eq!(all["equations"].as_object().expect("an answer").len(), 7);
    assert_eq!(all["equations"]["oconner"]["best_kg"], 125.0);
    assert!(asked("best --load 100kg --reps 12 --by epley").expect("an answer").contains("take it as a guess"));
}

#[test]
fn repetitions_and_percents() {
    let reps = json("reps --best 120kg --load 100kg");
    assert_eq!((&reps["reps"], &reps["percent"]), (&Value::from(6), &Value::from(83.333)));
    assert_eq!(json("reps --best 120kg --load 100kg --by epley")["reps"], 6);
    assert_eq!(json("reps --best 221lb --load 100kg")["reps"], Value::from(1));
    assert_eq!(json("percent --best 100kg --percent 75")["load_kg"], 75.0);
    assert_eq!(json("percent --best 100kg --reps 5")["load_kg"], 87.0);
    assert_eq!(json("percent --best 100kg --reps 12 --edition textbook")["load_kg"], 67.0);
    assert_eq!(json("percent --best 100kg --percent 50")["reps"], Value::Null);
    assert!(asked("reps --best 100kg --load 101kg").expect_err("a refusal").contains("nothing above 100 %"));
}

#[test]
fn plates_of_both_units() {
    let made = json("plates --load 100kg --bar 20kg");
    assert_eq!((&made["total_kg"], &made["bar_kg"]), (&Value::from(100.0), &Value::from(20.0)));
    assert_eq!(list(&made["side_kg"]), [25.0, 15.0]);
    assert_eq!(list(&json("plates --load 100kg --bar 20kg --plates 20x2,5x1")["side_kg"]), [20.0, 20.0]);
    assert_eq!(list(&json("plates --load 130kg --on 20,20")["side_kg"]), [20.0, 20.0, 15.0]);
    assert_eq!(list(&json("plates --load 95kg --bar 20kg --collar 2.5kg")["side_kg"]), [25.0, 10.0]);
    let pounds = json("plates --load 135lb --bar 45lb");
    assert_eq!((&pounds["total_lb"], &pounds["made"]), (&Value::from(135.0), &Value::from(true)));
    assert_eq!(list(&pounds["side_lb"]), [45.0]);
}

#[test]
fn a_load_that_cannot_be_made() {
    let none = json("plates --load 101kg --bar 20kg");
    assert_eq!(none["made"], false);
    assert_eq!((&none["below"]["total_kg"], &none["above"]["total_kg"]), (&100.0.into(), &102.5.into()));
    let cases = [("not-above", 100.0), ("nearest", 100.0), ("not-below", 102.5)];
    for (round, total) in cases {
        assert_eq!(json(&format!("plates --load 101kg --round {round}"))["total_kg"], total);
    }
    let text = asked("plates --load 15kg --bar 20kg").expect("an answer");
    assert!(text.contains("below: nothing") && text.contains("above: 20 kg"), "{text}");
}

#[test]
fn weeks_zones_and_rowing() {
    // trade-values.json: week-a, erg-inv-200, erg-w-120, erg-split-2000-480, pril-70-79, rtt-irv.
    let week = json("load-week 420 0 300 480 0 360 0");
    assert_eq!((&week["load"], &week["monotony"]), (&Value::from(1560.0), &Value::from(1.034)));
    assert_eq!(json("load-week 420 0 300 480 0 360 0 --sd population")["monotony"], 1.117);
    assert_eq!(json("load-week 300 300 300 300 300 300 300")["strain"], Value::Null);
    assert_eq!(json("row --watts 200")["split_s"], 120.507);
    assert_eq!(json("row --split 2:00")["watts"], 202.546);
    assert_eq!(json("row --metres 2000 --time 8:00")["split_s"], 120.0);
    assert_eq!(json("row --metres 2000 --split 2:00")["time"], "8:00.0");
    assert_eq!(json("zone --percent 75")["optimal_total"], 18);
    assert_eq!(json("zone --percent 92 --sets 4 --reps 3")["judged"]["verdict"], "above-range");
    let back = json("return --week 1 --sets 3 --reps 10 --percent 50");
    assert_eq!((&back["volume_fraction"], &back["irv"]), (&Value::from(0.5), &Value::from(15.0)));
}

#[test]
fn local_rules_come_first() {
    for line in ["zone --percent 75", "return --week 2"] {
        assert!(asked(line).expect("an answer").contains("Local rules and licensed practice come first"));
    }
}

#[test]
fn what_is_wrong_is_said() {
    let cases = [
        ("best --load -5kg --reps 5", "a load is above 0"),
        ("best --load 0 --reps 5", "a load is above 0"),
        ("best --load nan --reps 5", "for example 100kg"),
        ("best --load 100stone --reps 5", "for example 100kg"),
        ("best --load 62,5kg --reps 5", "for example 100kg"),
        ("best --load 100kg --reps 50", "takes 1 to 36 repetitions"),
        ("best --load 100kg --reps -3", "whole number from 1"),
        ("best --load 100kg --reps 5 --by eply", "epley"),
        ("percent --best 100kg --percent 0", "above 0 and at most 150"),
        ("percent --best 100kg --percent nan", "above 0 and at most 150"),
        ("percent --best 100kg", "--percent"),
        ("percent --best 100kg --reps 16", "1 to 15"),
        ("plates --load 100kg --plates 25", "how many pairs"),
        ("plates --load 100kg --plates 0x2", "a load is above 0"),
        ("load-week 420 0 300", "a week has seven days, and 3 are given"),
        ("load-week 420 0 300 -1 0 0 0", "daily load must be 0 or more"),
        ("row --watts 0", "watts must be above 0"),
        ("row --split 2:75", "minutes and seconds"),
        ("row --time 8:00", "--metres"),
        ("return --week 0", "whole number from 1"),
    ];
    for (line, said) in cases {
        let error = asked(line).expect_err(line);
        assert!(error.contains(said), "{line}: {error}");
    }
}
