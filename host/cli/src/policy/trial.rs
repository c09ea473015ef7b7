//! `classwright policy try`: past classes planned with a policy as it could be.

use std::path::PathBuf;

use classwright_app::document::clock;
use serde_json::{Value, json};

use super::one;
use crate::client::Served;
use crate::error::CliError;
use crate::show::words;
use crate::{Output, input};

/// Try a policy.
#[derive(clap::Args)]
pub(crate) struct Try {
    /// The policy's name.
    name: String,
    /// Which classes: those of so many days up to today.
    #[arg(long, value_name = "last-N-days", default_value = "last-30-days", value_parser = days)]
    classes: u32,
    /// Settings to try, as a JSON file; those that are set where it is left out.
    #[arg(long, value_name = "FILE.json")]
    settings: Option<PathBuf>,
    /// Another installed component to try, by its digest.
    #[arg(long, value_name = "DIGEST")]
    digest: Option<String>,
}

/// Tries a policy.
pub(super) fn run(Served { args, connect }: &Served<Try>) -> Result<Output, CliError> {
    let Try { name, classes: days, settings, digest } = args;
    let client = connect.client()?;
    let mut wanted = json!({ "days": days });
    if let Some(file) = settings {
        wanted["settings"] = input::json(file)?;
    }
    if let Some(digest) = digest {
        wanted["digest"] = json!(digest);
    }
    let path = one(&client, name)?.then(&["try"]);
    let mut trial = client.post(path.clone(), wanted.clone())?.json()?;
    // A call ends after a while; with many classes the next one goes on from there.
    while let Some(next) = trial.as_object_mut().and_then(|trial| trial.remove("next")) {
        wanted["after"] = next;
        add(&mut trial, client.post(path.clone(), wanted.clone())?.json()?);
    }
    Ok(Output::from(if connect.json { crate::json(&trial)? } else { text(&trial) }))
}

/// Adds what a further call tells: lists grow, counts are summed, the rest is the same or newer.
fn add(trial: &mut Value, more: Value) {
    match (trial, more) {
        (Value::Object(trial), Value::Object(more)) => {
            for (key, value) in more {
                match trial.get_mut(&key) {
                    Some(there) => add(there, value),
                    None => _ = trial.insert(key, value),
                }
            }
        }
        (Value::Array(trial), Value::Array(more)) => trial.extend(more),
        (Value::Number(trial), Value::Number(more)) => {
            let sum = trial.as_u64().unwrap_or(0) + more.as_u64().unwrap_or(0);
            *trial = sum.into();
        }
        (trial, more) => *trial = more,
    }
}

fn days(text: &str) -> Result<u32, String> {
    let number = text.strip_prefix("last-").and_then(|text| text.strip_suffix("-days")).and_then(|n| n.parse().ok());
    number.ok_or_else(|| format!("`{text}` says no days; write last-30-days"))
}

fn text(trial: &Value) -> String {
    let mut out = report(&trial["attempt"]);
    for trip in list(trial, "trips") {
        let rule = trip["rule"].as_str().map_or_else(String::new, |rule| format!(" ({rule})"));
        let (call, kind, classes) = (words(&trip["call"]), words(&trip["kind"]), words(&trip["classes"]));
        out += &format!("would fail: {call}, {kind}{rule}, in {classes}\n");
    }
    let (from, until) = (words(&trial["from"]), words(&trial["until"]));
    out + &format!("Classes from {from} to {until}. Nothing was written.\n")
}

/// What would differ, class by class.
pub(super) fn report(trial: &Value) -> String {
    let mut out: String = list(trial, "classes").iter().map(class).collect();
    for left_out in list(trial, "left-out") {
        out += &format!("{}: left out, {}\n", words(&left_out["plan"]), words(&left_out["why"]));
    }
    let total = &trial["total"];
    let counted = [
        ("loads-up", "loads up"),
        ("loads-down", "loads down"),
        ("movements", "other movements"),
        ("amounts", "other amounts"),
        ("off", "items off"),
        ("on", "items back on"),
        ("moved", "people starting at another time"),
        ("faults", "new faults"),
    ];
    let counted: Vec<String> = counted
        .iter()
        .filter(|(field, _)| total[field].as_u64().is_some_and(|count| count > 0))
        .map(|(field, name)| format!("{} {name}", total[field]))
        .collect();
    let tried = match list(trial, "classes").len() {
        1 => "1 class".to_owned(),
        many => format!("{many} classes"),
    };
    let (differ, cards) = (words(&total["classes"]), words(&total["cards"]));
    out + &format!("{tried} tried; of these {differ} would differ, and of the cards {cards}")
        + &if counted.is_empty() { "\n".to_owned() } else { format!(": {}\n", counted.join(", ")) }
}

fn class(class: &Value) -> String {
    let mut lines = String::new();
    let seconds = |field: &str| class[field].as_u64().map_or_else(String::new, |s| clock(s as u32));
    if class["finish-s"] != class["finish-then-s"] {
        lines += &format!("  done at {} instead of {}\n", seconds("finish-then-s"), seconds("finish-s"));
    }
    if class["heats"] != class["heats-then"] {
        lines += &format!("  {} heats instead of {}\n", class["heats-then"], class["heats"]);
    }
    for athlete in list(class, "athletes") {
        for item in list(athlete, "items") {
            let what = words(&item["what"]);
            let (from, to) = (words(&item["from"]), words(&item["to"]));
            lines += &format!("  {}: item {}, {from} -> {to} ({what})\n", words(&athlete["athlete"]), item["item"]);
        }
        match &athlete["needs-coach-then"] {
            Value::Bool(true) => lines += &format!("  {}: would need the coach\n", words(&athlete["athlete"])),
            Value::Bool(false) => lines += &format!("  {}: would need the coach no more\n", words(&athlete["athlete"])),
            _ => {}
        }
    }
    for fault in list(class, "faults") {
        let (policy, kind) = (words(&fault["policy"]), words(&fault["kind"]));
        lines += &format!("  FAULT {policy}, {kind}: {}\n", words(&fault["for_coach"]));
    }
    let name = words(&class["class"]);
    if lines.is_empty() { format!("{name}: the same\n") } else { format!("{name}\n{lines}") }
}

fn list<'a>(of: &'a Value, name: &str) -> &'a [Value] {
    of[name].as_array().map_or(&[], Vec::as_slice)
}
