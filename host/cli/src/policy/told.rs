//! What is told of a policy on the shelf.

use serde_json::Value;

use super::component::Show;
use crate::Output;
use crate::client::Served;
use crate::error::CliError;
use crate::show::{column, moment, table, words};

/// Prints everything about a policy.
pub(super) fn show(Served { args, connect }: &Served<Show>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = client.get(super::one(&client, &args.what)?)?;
    let policy = answer.json()?;
    Output::answered(connect.json, &answer, || whole(&policy["value"]))
}

/// A component, as `policy show FILE.wasm` tells it.
pub(super) fn component(doc: &Value) -> String {
    let text = |field: &str| words(&doc[field]);
    format!(
        "{} {} ({})\n  {}\n  kinds    {}\n  contract {}\n  digest   {}\n  size     {} bytes\n  imports  {}\n  exports  {}\n",
        text("name"),
        text("version"),
        text("licence"),
        text("purpose"),
        text("kinds"),
        text("contract"),
        text("digest"),
        text("size"),
        text("imports"),
        text("exports")
    )
}

fn whole(policy: &Value) -> String {
    let shelf = &policy["shelf"];
    let mut out = component(&policy["component"]);
    let (by, at) = (words(&policy["installed-by"]), moment(&policy["installed-at"]));
    out += &format!("  installed by {by} on {at}\n  {}\n", standing(shelf));
    let passed = shelf["passed"] == true;
    out += &format!("  built-in questions: {}\n", if passed { "passed" } else { "FAILED" });
    if let Some(aside) = shelf["set-aside"].as_object() {
        out += &format!("  set aside after {} of {}\n", words(&aside["kind"]), words(&aside["plan"]));
        for sentence in ["for_coach", "for_author"] {
            if let Some(words) = policy["fault"][sentence].as_str() {
                out += &format!("    {words}\n");
            }
        }
    }
    let limits = words(&shelf["limits"]);
    out += &format!("  limits   {}\n", if limits.is_empty() { "the host's" } else { &limits });
    out += &settings(&policy["settings"]);
    out += &list("Stood with before", &policy["before"]);
    out + &list("Waiting for an upgrade", &policy["waiting"])
}

/// Whether it is asked.
pub(super) fn standing(shelf: &Value) -> &'static str {
    match (shelf["asked"] == true, shelf["set-aside"].is_object()) {
        (true, _) => "asked",
        (false, true) => "set aside",
        (false, false) => "not asked",
    }
}

/// Everything that can be set, with what is set.
pub(super) fn settings(settings: &Value) -> String {
    let Some(all) = settings.as_array().filter(|all| !all.is_empty()) else { return "nothing to set\n".into() };
    let mut out = String::from("\nSettings\n");
    for one in all {
        let value = match (&one["value"], &one["default"]) {
            (Value::Null, Value::Null) => "not set".to_owned(),
            (Value::Null, default) => format!("{default} (its own)"),
            (value, _) => value.to_string(),
        };
        out += &format!("{}: {value}\n", words(&one["name"]));
        if let Some(description) = one["description"].as_str() {
            out += &format!("    {}\n", description.split_whitespace().collect::<Vec<_>>().join(" "));
        }
    }
    out
}

fn list(heading: &str, components: &Value) -> String {
    match components.as_array() {
        Some(all) if !all.is_empty() => {
            let columns = [column("version", "/version"), column("digest", "/digest")];
            format!("\n{heading}\n{}", table(components, &columns))
        }
        _ => String::new(),
    }
}
