//! `classwright gym`: the gyms that there are, and gyms in and out as folders.

use std::path::PathBuf;

use classwright_app::service::exchange::{ExportedDoc, read_gym_folder, write_gym_folder};
use serde_json::{Map, Value, json};

use crate::client::{Client, Connect, Path};
use crate::error::CliError;
use crate::show::{column, fields, table, words};
use crate::{Output, input};

/// Gyms: what there is, how their floor is run, in and out as folders.
#[derive(clap::Args)]
pub(crate) struct GymArgs {
    #[command(subcommand)]
    command: GymCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum GymCommand {
    /// The gyms that there are.
    List,
    /// Make a gym that has nothing yet; a data file that is not there is made too.
    Make {
        /// Its id: small letters, digits and hyphens.
        id: String,
        /// What it is called.
        name: String,
    },
    /// What a gym is called and how it runs its floor.
    Show,
    /// Call a gym something else.
    Rename {
        /// What it is called from now on.
        name: String,
    },
    /// How a gym runs its floor; what is named changes, with nothing named it is only shown.
    Rules(Rules),
    /// Take a gym folder in, whole or not at all, as a gym that has nothing yet; one that is not there is made.
    Import {
        /// The folder.
        dir: PathBuf,
        /// The gym's id; the folder's name where it is left out.
        #[arg(long = "as", value_name = "ID")]
        id: Option<String>,
    },
    /// Write a gym into a folder that is new or empty: its newest sessions, classes, people, kit and policies.
    Export {
        /// The folder.
        dir: PathBuf,
    },
}

#[derive(clap::Args)]
struct Rules {
    /// How many at loaded or hurried work one coach watches at once.
    #[arg(long, value_name = "N")]
    coach_span: Option<u32>,
    /// How many heats at most.
    #[arg(long, value_name = "N")]
    max_heats: Option<u32>,
    /// Heats start at multiples of this time, such as 0:30.
    #[arg(long, value_name = "TIME")]
    heats_start_every: Option<String>,
    /// Time between two parts, such as 2:00.
    #[arg(long, value_name = "TIME")]
    between_parts: Option<String>,
    /// How much the heat policy may search.
    #[arg(long, value_name = "N")]
    effort: Option<u64>,
    /// How long a change of plates takes, whatever changes, such as "10 s".
    #[arg(long, value_name = "TIME")]
    plate_change: Option<String>,
    /// And for each pair, such as "5 s".
    #[arg(long, value_name = "TIME")]
    plate_change_a_pair: Option<String>,
}

/// Runs the command.
pub(crate) fn run(args: &GymArgs) -> Result<Output, CliError> {
    let GymArgs { command, connect } = args;
    let json = connect.json;
    match command {
        GymCommand::Make { id, name } => {
            let client = connect.client_to_make()?;
            let answer = client.create(Path::new(&["v1", "gyms"]), json!({ "id": id, "name": name }))?;
            Output::answered(json, &answer, || format!("{id}: made\n"))
        }
        GymCommand::Import { dir, id } => import(connect, dir, id.as_deref()),
        GymCommand::List => {
            let client = connect.client()?;
            let list = client.list(Path::new(&["v1", "gyms"]))?;
            Output::told(json, &list, || table(&list, &[column("id", "/id"), column("name", "/name")]))
        }
        GymCommand::Show => {
            let client = connect.client()?;
            let answer = client.get(client.gym(&[])?)?;
            let gym = answer.json()?;
            Output::answered(json, &answer, || fields(&gym["value"]))
        }
        GymCommand::Rename { name } => {
            let client = connect.client()?;
            let answer = client.edit(client.gym(&[])?, |gym| {
                gym["name"] = json!(name);
                Ok(())
            })?;
            Output::answered(json, &answer, || format!("{name}\n"))
        }
        GymCommand::Rules(rules) => rules.run(&connect.client()?, json),
        GymCommand::Export { dir } => export(&connect.client()?, dir, json),
    }
}

impl Rules {
    fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let said = self.said();
        let path = client.gym(&[])?;
        let answer = match said.is_empty() {
            true => client.get(path)?,
            false => client.edit(path, |gym| {
                for (field, value) in said {
                    match (value, &mut gym["rules"][&field]) {
                        (Value::Object(parts), Value::Object(own)) => own.extend(parts),
                        (value, own) => *own = value,
                    }
                }
                Ok(())
            })?,
        };
        let gym = answer.json()?;
        Output::answered(json, &answer, || fields(&gym["value"]["rules"]))
    }

    fn said(&self) -> Map<String, Value> {
        let mut said = Map::new();
        let mut put = |field: &str, value: Option<Value>| said.extend(value.map(|value| (field.to_owned(), value)));
        put("coach-span", self.coach_span.map(Value::from));
        put("max-heats", self.max_heats.map(Value::from));
        put("heats-start-every", self.heats_start_every.clone().map(Value::from));
        put("between-parts", self.between_parts.clone().map(Value::from));
        put("effort", self.effort.map(Value::from));
        let mut change = Map::new();
        change.extend(self.plate_change.clone().map(|time| ("fixed".to_owned(), time.into())));
        change.extend(self.plate_change_a_pair.clone().map(|time| ("a-pair".to_owned(), time.into())));
        put("plate-change", (!change.is_empty()).then_some(Value::Object(change)));
        said
    }
}

fn import(connect: &Connect, dir: &std::path::Path, id: Option<&str>) -> Result<Output, CliError> {
    let id = input::id_of(dir, id)?;
    let bundle = serde_json::to_value(read_gym_folder(dir)?).map_err(|error| CliError::bug(&error))?;
    let client = connect.client_to_make()?;
    let gym = Path::new(&["v1", "gyms", &id]);
    // A gym that is there takes the folder in; one that is not is made of it.
    let answer = match client.has_gym(&gym)? {
        true => client.create(gym.then(&["import"]), bundle)?,
        false => client.create(Path::new(&["v1", "gyms"]), json!({ "id": id, "folder": bundle }))?,
    };
    let mut done = answer.json()?;
    if done["imported"].is_object() {
        done = done["imported"].take();
    }
    Output::answered(connect.json, &answer, || {
        let count = |what: &str| words(&done[what]);
        let policies = done["policies"].as_array().map_or(0, Vec::len);
        format!(
            "{id}: {}, {} athletes, {} sessions, {} classes, {} movements of its own, {policies} policies\n",
            count("name"),
            count("athletes"),
            count("sessions"),
            count("classes"),
            count("movements")
        )
    })
}

fn export(client: &Client, dir: &std::path::Path, json: bool) -> Result<Output, CliError> {
    let exported: ExportedDoc = client.get(client.gym(&["export"])?)?.read()?;
    write_gym_folder(dir, &exported.bundle)?;
    let told = json!({ "written": dir, "faults": exported.faults });
    Output::told(json, &told, || {
        let faults: String = exported.faults.iter().map(|fault| format!("to mend: {fault}\n")).collect();
        format!("{faults}{}: written\n", dir.display())
    })
}
