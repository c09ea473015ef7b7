//! `classwright movement`: movements that a gym has besides the built-in ones.

use std::path::PathBuf;

use serde_json::Value;

use crate::client::{Client, Connect};
use crate::error::CliError;
use crate::show::{column, table};
use crate::{Output, input};

/// Movements that the gym adds to the built-in library.
#[derive(clap::Args)]
pub(crate) struct MovementArgs {
    #[command(subcommand)]
    command: MovementCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum MovementCommand {
    /// The gym's own movements.
    List,
    /// A movement of the gym's own.
    Show {
        /// Its id.
        id: String,
    },
    /// Set movements; those that are new are added. One with the id of a built-in movement takes its place.
    Set {
        /// Tables of movements, as a file in movements/ of a gym folder has them.
        file: PathBuf,
    },
    /// Remove a movement of the gym's own.
    Remove {
        /// Its id.
        id: String,
    },
}

/// Runs the command.
pub(crate) fn run(args: &MovementArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        MovementCommand::List => {
            let list = client.list(client.gym(&["movements"])?)?;
            let columns = [
                column("id", "/value/id"),
                column("name", "/value/name"),
                column("patterns", "/value/patterns"),
                column("skill", "/value/skill"),
            ];
            Output::told(json, &list, || table(&list, &columns))
        }
        MovementCommand::Show { id } => {
            let answer = client.get(client.gym(&["movements", id])?)?;
            let movement = answer.json()?;
            Output::answered(json, &answer, || crate::show::fields(&movement["value"]))
        }
        MovementCommand::Set { file } => {
            let mut file_says = input::toml(file)?;
            let movements = match file_says["movement"].take() {
                Value::Array(movements) if !movements.is_empty() => movements,
                _ => {
                    let text = format!("error: {}: has no [[movement]] table", file.display());
                    return Err(CliError::new(text, 2));
                }
            };
            let set: Result<Vec<Value>, CliError> = movements.into_iter().map(|one| set(&client, one)).collect();
            let set = Value::Array(set?);
            Output::told(json, &set, || table(&set, &[column("set", "/value/id"), column("revision", "/revision")]))
        }
        MovementCommand::Remove { id } => {
            client.remove(client.gym(&["movements", id])?)?;
            Output::told(json, &Value::Null, || format!("{id}: removed\n"))
        }
    }
}

fn set(client: &Client, movement: Value) -> Result<Value, CliError> {
    let id = movement["id"].as_str().unwrap_or_default().to_owned();
    let path = client.gym(&["movements", &id])?;
    // One without an id is told about by the service.
    let stands = if id.is_empty() { None } else { client.find(path.clone())? };
    match stands {
        Some(stands) => client.put(path, movement, stands.revision()?)?.json(),
        None => client.create(client.gym(&["movements"])?, movement)?.json(),
    }
}
