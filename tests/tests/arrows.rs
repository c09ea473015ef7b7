//! Imports between our crates run one way, and the crate of the trade knows nothing of the world outside.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use serde_json::Value;

/// What each crate may import, for its code and its builds. What is not here is a new arrow: draw it in DEVELOPERS.md
/// first.
const ARROWS: [(&str, &[&str]); 13] = [
    ("classwright-training", &[]),
    ("classwright-policies", &["classwright-training"]),
    ("classwright-planning", &["classwright-policies", "classwright-training"]),
    ("classwright-store", &["classwright-training"]),
    ("classwright-app", &["classwright-planning", "classwright-policies", "classwright-store", "classwright-training"]),
    ("classwright-web", &["classwright-app"]),
    ("classwright-sdk", &[]),
    ("classwright-kit", &["classwright-policies", "classwright-sdk", "classwright-training"]),
    ("classwright-scaling", &["classwright-sdk"]),
    ("classwright-substitution", &["classwright-sdk"]),
    ("classwright-heats", &["classwright-sdk"]),
    (
        "classwright",
        &[
            "classwright-app",
            "classwright-kit",
            "classwright-policies",
            "classwright-store",
            "classwright-training",
            "classwright-web",
        ],
    ),
    // Tests may look at everything.
    ("classwright-tests", &["*"]),
];

/// All that the crate of the trade may lean on: no file, clock, random source, async, serde, SQL or wasm among them.
const PURE: [&str; 3] = ["strsim", "thiserror", "winnow"];

fn dependencies() -> BTreeMap<String, BTreeSet<(String, bool)>> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let manifest = concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.toml");
    let output = Command::new(cargo)
        .args(["metadata", "--no-deps", "--format-version", "1", "--manifest-path", manifest])
        .output()
        .expect("cargo runs");
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("cargo metadata prints JSON");
    let packages = metadata["packages"].as_array().expect("packages");
    let name = |value: &Value| value["name"].as_str().expect("a name").to_owned();
    packages
        .iter()
        .map(|package| {
            let dependencies = package["dependencies"].as_array().expect("dependencies");
            let own = dependencies.iter().map(|d| (name(d), d["kind"].as_str() == Some("dev"))).collect();
            (name(package), own)
        })
        .collect()
}

#[test]
fn arrows_between_crates_are_the_drawn_ones() {
    let found = dependencies();
    let known: BTreeMap<&str, &[&str]> = ARROWS.into_iter().collect();
    let crates: Vec<&str> = found.keys().map(String::as_str).collect();
    let drawn: Vec<&str> = known.keys().copied().collect();
    assert_eq!(crates, drawn, "a crate came or went: draw it");
    for (package, dependencies) in &found {
        let allowed = known[package.as_str()];
        for (dependency, dev) in dependencies {
            let ours = found.contains_key(dependency);
            let drawn = allowed == ["*"] || allowed.contains(&dependency.as_str());
            assert!(!ours || *dev || drawn, "new arrow: {package} -> {dependency}");
        }
    }
}

#[test]
fn the_trade_knows_nothing_of_the_outside() {
    let found = dependencies();
    for (dependency, dev) in &found["classwright-training"] {
        assert!(*dev || PURE.contains(&dependency.as_str()), "classwright-training leans on {dependency}");
    }
}

#[test]
fn planning_is_pure_but_for_the_policy_call() {
    let found = dependencies();
    let outside: Vec<&String> = found["classwright-planning"]
        .iter()
        .filter(|(dependency, dev)| !dev && !dependency.starts_with("classwright-") && dependency != "thiserror")
        .map(|(dependency, _)| dependency)
        .collect();
    assert!(outside.is_empty(), "classwright-planning leans on {outside:?}");
}
