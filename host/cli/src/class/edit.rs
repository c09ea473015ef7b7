//! Classes added and changed.

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::client::Client;
use crate::error::CliError;
use crate::{Output, input};

/// A new class.
#[derive(clap::Args)]
pub(crate) struct Add {
    /// Its sheet, as a file in classes/ of a gym folder; `session` may be the session's id instead of a path.
    file: PathBuf,
    /// Its id; the file's name without its ending where it is left out.
    #[arg(long = "as", value_name = "ID")]
    id: Option<String>,
}

/// What changes about a class.
#[derive(clap::Args)]
pub(crate) struct Change {
    /// The class's id.
    id: String,
    /// Day, such as 2026-12-07.
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// Start by the clock on the wall, such as 18:00.
    #[arg(long)]
    time: Option<String>,
    /// Zone of that clock, such as Europe/London.
    #[arg(long)]
    zone: Option<String>,
    /// The session, by id.
    #[arg(long, value_name = "ID")]
    session: Option<String>,
    /// Who coaches.
    #[arg(long)]
    coach: Option<String>,
    /// Only these come (ids, separated by commas).
    #[arg(long, value_name = "IDS", value_delimiter = ',', conflicts_with = "absent")]
    present: Option<Vec<String>>,
    /// All but these come (ids, separated by commas).
    #[arg(long, value_name = "IDS", value_delimiter = ',')]
    absent: Option<Vec<String>>,
    /// Everybody comes.
    #[arg(long, conflicts_with_all = ["present", "absent"])]
    everybody: bool,
}

impl Add {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let id = input::id_of(&self.file, self.id.as_deref())?;
        let mut class = input::toml(&self.file)?;
        // A sheet names a file; the gym's data knows the session by its id.
        let session = class["session"].as_str().map(|path| {
            path.strip_prefix("sessions/").and_then(|name| name.strip_suffix(".md")).unwrap_or(path).to_owned()
        });
        if let Some(session) = session {
            class["session"] = json!(session);
        }
        class["id"] = json!(id);
        let answer = client.create(client.gym(&["classes"])?, class)?;
        Output::answered(json, &answer, || format!("{id}: added\n"))
    }
}

impl Change {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let Change { id, .. } = self;
        let answer = client.edit(super::one(client, id)?, |class| self.apply(class))?;
        Output::answered(json, &answer, || format!("{id}: changed\n"))
    }

    fn apply(&self, class: &mut Value) -> Result<(), CliError> {
        let Change { date, time, zone, session, coach, present, absent, everybody, .. } = self;
        let mut said = false;
        let texts = [("date", date), ("time", time), ("zone", zone), ("session", session), ("coach", coach)];
        for (field, value) in texts {
            if let Some(value) = value {
                class[field] = json!(value);
                said = true;
            }
        }
        if present.is_some() || absent.is_some() || *everybody {
            if let Some(class) = class.as_object_mut() {
                class.remove("present");
                class.remove("absent");
            }
            said = true;
        }
        for (field, list) in [("present", present), ("absent", absent)] {
            if let Some(list) = list {
                class[field] = json!(list);
            }
        }
        if said { Ok(()) } else { Err(CliError::new("error: what changes? Name a field, such as --time 18:30", 2)) }
    }
}
