//! `classwright user`.

use serde_json::{Value, json};

use crate::Output;
use crate::client::{Body, Call, Client, Connect, Method, Path};
use crate::error::CliError;
use crate::show::{column, moment, table};

/// Who may log in.
#[derive(clap::Args)]
pub(crate) struct UserArgs {
    #[command(subcommand)]
    command: UserCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum UserCommand {
    /// Who may log in, and as what.
    List,
    /// Let somebody log in: prints a link, which works once, for them to choose a password.
    Add {
        /// What they are called.
        name: String,
        /// What they log in with, such as an address of mail.
        login: String,
        /// What they are in the gym.
        #[arg(long, value_enum)]
        role: Role,
        /// Who they are on the roster, by id.
        #[arg(long, value_name = "ID")]
        athlete: Option<String>,
    },
    /// Make a new link for somebody who has lost their password.
    Link {
        /// Their login, or their id.
        who: String,
    },
    /// Change what somebody is in the gym.
    Role {
        /// Their login, or their id.
        who: String,
        /// What they are from now on.
        #[arg(value_enum)]
        role: Role,
    },
    /// Keep somebody out: their logins and tokens end at once.
    Disable {
        /// Their login, or their id.
        who: String,
    },
    /// Let somebody in again.
    Enable {
        /// Their login, or their id.
        who: String,
    },
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Role {
    /// Decides about everything.
    Owner,
    /// Sees and plans all classes.
    Coach,
    /// Sees what is their own.
    Athlete,
}

/// Runs the command.
pub(crate) fn run(args: &UserArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        UserCommand::List => {
            let list = client.list(client.gym(&["users"])?)?;
            let columns = [
                column("login", "/value/login"),
                column("name", "/value/name"),
                column("role", "/value/role"),
                column("athlete", "/value/athlete"),
                column("kept out", "/value/disabled"),
                column("id", "/value/id"),
            ];
            Output::told(json, &list, || table(&list, &columns))
        }
        UserCommand::Add { name, login, role, athlete } => {
            let mut new = json!({ "name": name, "login": login, "role": role.id() });
            if let Some(athlete) = athlete {
                new["athlete"] = json!(athlete);
            }
            let answer = client.create(client.gym(&["users"])?, new)?;
            let invited = answer.json()?;
            Output::answered(json, &answer, || link(login, &invited["link"]))
        }
        UserCommand::Link { who } => {
            let answer = client.post(find(&client, who)?.then(&["link"]), Body::Empty)?;
            let made = answer.json()?;
            Output::answered(json, &answer, || link(who, &made))
        }
        UserCommand::Role { who, role } => change(&client, who, &json!({ "role": role.id() }), json),
        UserCommand::Disable { who } => change(&client, who, &json!({ "disabled": true }), json),
        UserCommand::Enable { who } => change(&client, who, &json!({ "disabled": false }), json),
    }
}

impl Role {
    fn id(self) -> &'static str {
        match self {
            Role::Owner => "owner",
            Role::Coach => "coach",
            Role::Athlete => "athlete",
        }
    }
}

/// The path of a user, by id or login.
fn find(client: &Client, who: &str) -> Result<Path, CliError> {
    let all = client.list(client.gym(&["users"])?)?;
    let same = |user: &&Value| {
        let login = user["value"]["login"].as_str().unwrap_or_default();
        user["value"]["id"] == who || login.eq_ignore_ascii_case(who)
    };
    let found = all["items"].as_array().and_then(|all| all.iter().find(same));
    match found.and_then(|user| user["value"]["id"].as_str()) {
        Some(id) => client.gym(&["users", id]),
        None => Err(CliError::new(format!("error: nobody logs in with `{who}`: see `classwright user list`"), 2)),
    }
}

fn change(client: &Client, who: &str, change: &Value, json: bool) -> Result<Output, CliError> {
    let path = find(client, who)?;
    let revision = client.get(path.clone())?.revision()?.to_owned();
    let answer = client.call(&Call::new(Method::Patch, path).body(change.clone()).revision(&revision))?;
    let user = answer.json()?;
    let kept_out = || if user["value"]["disabled"] == true { ", kept out" } else { "" };
    let role = || user["value"]["role"].as_str().unwrap_or_default().to_owned();
    Output::answered(json, &answer, || format!("{who}: {}{}\n", role(), kept_out()))
}

fn link(who: &str, link: &Value) -> String {
    let path = link["path"].as_str().unwrap_or_default();
    let until = moment(&link["expires-at"]);
    format!("{who}: give them this link, behind the host's address; it works once, until {until}:\n{path}\n")
}
