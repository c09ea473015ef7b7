//! `classwright athlete`: who trains, with their bests and limitations.

mod fields;
mod record;
mod reported;

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::client::{Body, Client, Connect, Path};
use crate::error::CliError;
use crate::show::{Column, column, fields as shown, table};
use crate::{Output, input};
use fields::{Fields, NewFields};
use reported::{Best, Limitation, LimitationEnd, Numbered};

/// Who trains: the roster, bests, limitations.
#[derive(clap::Args)]
pub(crate) struct AthleteArgs {
    #[command(subcommand)]
    command: AthleteCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum AthleteCommand {
    /// The roster.
    List,
    /// An athlete with their bests and limitations.
    Show {
        /// Their id.
        id: String,
    },
    /// Put somebody on the roster.
    Add(NewFields),
    /// Change what the roster says of somebody; what is not named stays.
    Change {
        /// Their id.
        id: String,
        #[command(flatten)]
        fields: Box<Fields>,
    },
    /// Write down a best. The ones before it are kept.
    Best(Best),
    /// Write down that a region is sore or restricted, as the athlete says; it is no diagnosis.
    Limitation(Limitation),
    /// Say that a limitation is over: on which day it held last.
    LimitationEnd(LimitationEnd),
    /// Take back a best that should not have been written down.
    BestRemove(Numbered),
    /// Take back a limitation that should not have been written down.
    LimitationRemove(Numbered),
    /// Take somebody off the roster of whom nothing else is known; `erase` forgets whoever trained here.
    Remove {
        /// Their id.
        id: String,
    },
    /// Everything that the gym keeps about an athlete, as one JSON document.
    Record {
        /// Their id.
        id: String,
    },
    /// Forget an athlete: name, bests, limitations. Plans that stand keep somebody without a name. Cannot be undone.
    Erase {
        /// Their id.
        id: String,
        /// Yes, forget them.
        #[arg(long)]
        yes: bool,
    },
    /// Take a roster in from a CSV file as a gym folder has it: new people are added, others
    /// changed, and who is not in it stays.
    Import {
        /// The file.
        file: PathBuf,
        /// Say what would change, and change nothing.
        #[arg(long)]
        dry_run: bool,
    },
}

const ROSTER: [Column; 6] = [
    column("id", "/value/id"),
    column("name", "/value/name"),
    column("column", "/value/column"),
    column("skill", "/value/skill"),
    column("place", "/value/place"),
    column("tags", "/value/tags"),
];

const BESTS: [Column; 5] = [
    column("n", "/n"),
    column("movement", "/value/movement"),
    column("load", "/value/load"),
    column("how", "/value/how"),
    column("since", "/value/since"),
];

const LIMITATIONS: [Column; 6] = [
    column("n", "/n"),
    column("region", "/value/region"),
    column("side", "/value/side"),
    column("severity", "/value/severity"),
    column("since", "/value/since"),
    column("until", "/value/until"),
];

/// Runs the command.
pub(crate) fn run(args: &AthleteArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        AthleteCommand::List => {
            let list = client.list(client.gym(&["athletes"])?)?;
            Output::told(json, &list, || table(&list, &ROSTER))
        }
        AthleteCommand::Show { id } => show(&client, id, json),
        AthleteCommand::Add(new) => {
            let answer = client.create(client.gym(&["athletes"])?, new.record())?;
            Output::answered(json, &answer, || format!("{}: on the roster\n", new.id))
        }
        AthleteCommand::Change { id, fields } => {
            let answer = client.edit(one(&client, id)?, |athlete| fields.apply(athlete))?;
            Output::answered(json, &answer, || format!("{id}: changed\n"))
        }
        AthleteCommand::Best(best) => best.run(&client, json),
        AthleteCommand::Limitation(limitation) => limitation.run(&client, json),
        AthleteCommand::LimitationEnd(end) => end.run(&client, json),
        AthleteCommand::BestRemove(one) => one.remove(&client, "bests", json),
        AthleteCommand::LimitationRemove(one) => one.remove(&client, "limitations", json),
        AthleteCommand::Remove { id } => {
            client.remove(one(&client, id)?)?;
            Output::told(json, &Value::Null, || format!("{id}: off the roster\n"))
        }
        AthleteCommand::Record { id } => record::record(&client, id),
        AthleteCommand::Erase { id, yes } => record::erase(&client, id, *yes, json),
        AthleteCommand::Import { file, dry_run } => import(&client, file, *dry_run, json),
    }
}

/// The path of an athlete.
fn one(client: &Client, id: &str) -> Result<Path, CliError> {
    client.gym(&["athletes", id])
}

fn show(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let path = one(client, id)?;
    let mut athlete = client.get(path.clone())?.json()?;
    let bests = client.get(path.clone().then(&["bests"]))?.json()?["value"].take();
    let limitations = client.get(path.then(&["limitations"]))?.json()?["value"].take();
    let text = || {
        let of = |what: &str, list: &Value, columns: &[Column]| match list.as_array() {
            Some(items) if !items.is_empty() => format!("\n{what}\n{}", table(list, columns)),
            _ => String::new(),
        };
        shown(&athlete["value"]) + &of("Bests", &bests, &BESTS) + &of("Limitations", &limitations, &LIMITATIONS)
    };
    if !json {
        return Ok(text().into());
    }
    let whole = json!({ "athlete": athlete.take(), "bests": bests, "limitations": limitations });
    Output::told(true, &whole, String::new)
}

fn import(client: &Client, file: &std::path::Path, dry_run: bool, json: bool) -> Result<Output, CliError> {
    let path = client.gym(&["roster"])?.query("apply", if dry_run { "false" } else { "true" });
    let answer = client.post(path, Body::Text("text/csv", input::text(file)?))?;
    let done = answer.json()?;
    Output::answered(json, &answer, || record::changes(&done))
}
