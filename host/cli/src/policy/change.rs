//! `classwright policy upgrade`.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::install::send;
use super::one;
use super::trial::report;
use crate::client::Served;
use crate::error::CliError;
use crate::show::{differences, words};
use crate::{Output, input};

/// Go over to another component.
#[derive(clap::Args)]
pub(crate) struct Upgrade {
    /// The policy's name.
    name: String,
    /// The component's file, or its policy's folder: it is installed first. Or the digest of one that is installed.
    #[arg(value_name = "FILE|DIR|DIGEST")]
    to: PathBuf,
    /// Settings for it, as a JSON file; those that are set now where it is left out.
    #[arg(long, value_name = "FILE.json")]
    settings: Option<PathBuf>,
    /// Say what would differ, and stay with what there is.
    #[arg(long)]
    dry_run: bool,
    /// Plan so many of the last classes with it, to see what would differ.
    #[arg(long, value_name = "N", default_value_t = 0)]
    classes: u32,
    /// Even if it failed the built-in questions.
    #[arg(long)]
    anyway: bool,
}

/// Goes over to another component, or says what would differ.
pub(super) fn upgrade(Served { args, connect }: &Served<Upgrade>) -> Result<Output, CliError> {
    let Upgrade { name, to, settings, dry_run, classes, anyway } = args;
    let client = connect.client()?;
    let as_digest = to.to_str().filter(|text| text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit()));
    let digest = match as_digest {
        Some(digest) => json!(digest),
        None => send(&client, to)?.json()?["policy"]["digest"].take(),
    };
    let mut wanted = json!({ "digest": digest, "dry-run": dry_run, "classes": classes, "anyway": anyway });
    if let Some(file) = settings {
        wanted["settings"] = input::json(file)?;
    }
    let answer = client.post(one(&client, name)?.then(&["upgrade"]), wanted)?;
    let upgrade = answer.json()?;
    Output::answered(connect.json, &answer, || text(&upgrade))
}

fn text(upgrade: &Value) -> String {
    let mut out = String::new();
    for (heading, list) in [("Says of itself", "describe"), ("Settings that there are", "settings-schema")] {
        let list = &upgrade[list];
        if list.as_array().is_some_and(|all| !all.is_empty()) {
            out += &format!("{heading}\n");
            out += &differences(list, &Value::Null);
        }
    }
    for fault in upgrade["settings-faults"].as_array().into_iter().flatten() {
        out += &format!("settings.{}: {}\n", words(&fault["place"]), words(&fault["problem"]));
    }
    let passed = upgrade["conformance"]["passed"] == true;
    out += &format!("Built-in questions: {}\n", if passed { "passed" } else { "FAILED" });
    if upgrade["attempt"].is_object() {
        out += &report(&upgrade["attempt"]);
    }
    match upgrade["done"]["value"]["version"].as_str() {
        Some(version) => out + &format!("{}: stands with {version} now\n", words(&upgrade["policy"])),
        None => out + "Nothing was changed.\n",
    }
}
