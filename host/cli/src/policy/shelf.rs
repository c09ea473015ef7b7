//! The shelf: which policies are asked, in which order, with which settings and limits.

use std::path::PathBuf;

use serde_json::{Map, Value, json};

use super::{one, told};
use crate::client::{Body, Connect, Served};
use crate::error::CliError;
use crate::show::{table, words};
use crate::{Output, input};

/// A policy on the shelf.
#[derive(clap::Args)]
pub(crate) struct Name {
    /// Its name.
    pub(super) name: String,
}

/// Have it asked.
#[derive(clap::Args)]
pub(crate) struct Enable {
    /// Its name.
    name: String,
    /// Even if it failed the built-in questions.
    #[arg(long)]
    anyway: bool,
}

/// An order.
#[derive(clap::Args)]
pub(crate) struct Order {
    /// Every policy on the shelf, the first asked first.
    #[arg(required = true)]
    names: Vec<String>,
}

/// Settings.
#[derive(clap::Args)]
pub(crate) struct Settings {
    /// The policy's name.
    name: String,
    /// Set all settings to the object in this JSON file.
    #[arg(long, value_name = "FILE.json")]
    set: Option<PathBuf>,
}

/// Limits.
#[derive(clap::Args)]
pub(crate) struct Limits {
    /// The policy's name.
    name: String,
    /// WebAssembly instructions, roughly.
    #[arg(long)]
    fuel: Option<u64>,
    /// Milliseconds by the clock.
    #[arg(long)]
    wall_ms: Option<u64>,
    /// Mebibytes of memory.
    #[arg(long)]
    memory_mib: Option<u64>,
    /// Mebibytes of answer.
    #[arg(long)]
    answer_mib: Option<u64>,
}

/// Prints the shelf.
pub(super) fn list(connect: &Connect) -> Result<Output, CliError> {
    let client = connect.client()?;
    let list = client.list(client.gym(&["policies"])?)?;
    Output::told(connect.json, &list, || shelf(&list))
}

/// Has a policy asked.
pub(super) fn enable(Served { args: Enable { name, anyway }, connect }: &Served<Enable>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = client.post(one(&client, name)?.then(&["enable"]), json!({ "anyway": anyway }))?;
    Output::answered(connect.json, &answer, || format!("{name}: asked from the next plan on\n"))
}

/// Has it asked no more.
pub(super) fn disable(Served { args: Name { name }, connect }: &Served<Name>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = client.post(one(&client, name)?.then(&["disable"]), Body::Empty)?;
    Output::answered(connect.json, &answer, || format!("{name}: not asked any more\n"))
}

/// Puts the shelf into an order.
pub(super) fn order(Served { args: Order { names }, connect }: &Served<Order>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = client.post(client.gym(&["shelf", "order"])?, json!({ "order": names }))?;
    let list = answer.json()?;
    Output::answered(connect.json, &answer, || shelf(&list))
}

/// Prints or sets settings.
pub(super) fn settings(Served { args, connect }: &Served<Settings>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let path = one(&client, &args.name)?;
    let answer = client.get(path.clone())?;
    let Some(file) = &args.set else {
        let policy = answer.json()?;
        let list = &policy["value"]["settings"];
        return Output::told(connect.json, list, || told::settings(list).trim_start().to_owned());
    };
    let answer = client.put(path.then(&["settings"]), input::json(file)?, answer.revision()?)?;
    Output::answered(connect.json, &answer, || format!("{}: settings set\n", args.name))
}

/// Sets limits.
pub(super) fn limits(Served { args, connect }: &Served<Limits>) -> Result<Output, CliError> {
    let Limits { name, fuel, wall_ms, memory_mib, answer_mib } = args;
    let client = connect.client()?;
    let path = one(&client, name)?;
    let revision = client.get(path.clone())?.revision()?.to_owned();
    let wanted = [("fuel", fuel), ("wall-ms", wall_ms), ("memory-mib", memory_mib), ("answer-mib", answer_mib)];
    let limits: Map<String, Value> =
        wanted.into_iter().filter_map(|(name, value)| Some((name.to_owned(), json!((*value)?)))).collect();
    let answer = client.put(path.then(&["limits"]), Value::Object(limits), &revision)?;
    let policy = answer.json()?;
    Output::answered(connect.json, &answer, || {
        let limits = words(&policy["value"]["limits"]);
        format!("{name}: {}\n", if limits.is_empty() { "the host's limits" } else { &limits })
    })
}

/// Goes back to what it stood with before.
pub(super) fn roll_back(Served { args: Name { name }, connect }: &Served<Name>) -> Result<Output, CliError> {
    let client = connect.client()?;
    let answer = client.post(one(&client, name)?.then(&["rollback"]), Body::Empty)?;
    let policy = answer.json()?;
    Output::answered(connect.json, &answer, || {
        format!("{name}: stands with {} again\n", words(&policy["value"]["version"]))
    })
}

/// Takes it off the shelf.
pub(super) fn remove(Served { args: Name { name }, connect }: &Served<Name>) -> Result<Output, CliError> {
    let client = connect.client()?;
    client.remove(one(&client, name)?)?;
    Output::told(connect.json, &Value::Null, || format!("{name}: off the shelf\n"))
}

/// A line a policy.
fn shelf(list: &Value) -> String {
    let rows: Vec<Value> = list["items"].as_array().map_or(Vec::new(), |items| {
        let row = |item: &Value| {
            let own = &item["value"];
            json!({
                "policy": own["policy"], "version": own["version"], "kinds": own["kinds"],
                "standing": told::standing(own), "digest": own["digest"].as_str().and_then(|all| all.get(..12)),
            })
        };
        items.iter().map(row).collect()
    });
    use crate::show::column;
    let columns = [
        column("policy", "/policy"),
        column("version", "/version"),
        column("kinds", "/kinds"),
        column("", "/standing"),
        column("digest", "/digest"),
    ];
    table(&Value::Array(rows), &columns)
}
