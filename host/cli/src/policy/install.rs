//! `classwright policy install`.

use std::path::{Path, PathBuf};

use serde_json::Value;

use super::told::component;
use crate::client::{Body, Client, Served};
use crate::error::CliError;
use crate::{Output, input};

/// Install a component.
#[derive(clap::Args)]
pub(crate) struct Install {
    /// The component's file, or the folder of a policy that was built.
    file: PathBuf,
}

/// Installs a component.
pub(super) fn run(Served { args, connect }: &Served<Install>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = send(&client, &args.file)?;
    let installed = answer.json()?;
    Output::answered(connect.json, &answer, || text(&installed))
}

/// Sends a component's bytes.
pub(super) fn send(client: &Client, file: &Path) -> Result<crate::client::Answer, CliError> {
    let file = if file.is_dir() { classwright_kit::build::component_path(file) } else { file.to_owned() };
    client.create(client.gym(&["policies"])?, Body::Bytes("application/wasm", input::bytes(&file)?))
}

fn text(installed: &Value) -> String {
    let name = installed["policy"]["name"].as_str().unwrap_or_default();
    let placed = match installed["placed"].as_str().unwrap_or_default() {
        "new" => format!("at the end of the shelf; `classwright policy enable {name}` has it asked"),
        "standing" => "on the shelf already, with this component".into(),
        _ => format!("beside the shelf; `classwright policy upgrade {name}` goes over to it"),
    };
    format!("{}  built-in questions: {}\n  {placed}\n", component(&installed["policy"]), conformance(installed))
}

fn conformance(installed: &Value) -> String {
    let conformance = &installed["conformance"];
    if conformance["passed"] == true {
        return "passed".into();
    }
    let failed = conformance["probes"].as_array().and_then(|all| all.iter().find(|one| one["outcome"] == "failed"));
    let why = failed.map_or("", |one| one["fault"]["for_author"].as_str().unwrap_or_default());
    format!("FAILED: {why}")
}
