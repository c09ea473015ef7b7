//! `classwright token`.

use serde_json::{Value, json};

use crate::Output;
use crate::client::{Call, Connect, Method};
use crate::error::CliError;
use crate::show::{column, moment, moments, table};

/// Tokens: what programs show in somebody's name.
#[derive(clap::Args)]
pub(crate) struct TokenArgs {
    #[command(subcommand)]
    command: TokenCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum TokenCommand {
    /// Tokens that there are, without their secrets.
    List,
    /// Make a token of your own: log in with --login, or show a token that may as much. Its secret is printed this once.
    Make {
        /// What it is for, in your own words.
        name: String,
        /// What it may be used for.
        #[arg(long, value_name = "SCOPE", required = true, value_delimiter = ',',
              value_parser = ["read", "write", "plan", "shelf", "accounts", "ledger", "backup", "metrics"])]
        scope: Vec<String>,
        /// For how many days it works.
        #[arg(long, default_value_t = 30)]
        days: u32,
    },
    /// Take a token back: it works no longer.
    Revoke {
        /// Its id.
        id: String,
    },
}

/// Runs the command.
pub(crate) fn run(args: &TokenArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        TokenCommand::List => {
            let list = client.list(client.gym(&["tokens"])?)?;
            let columns = [
                column("id", "/id"),
                column("name", "/name"),
                column("user", "/user"),
                column("scopes", "/scopes"),
                moments("works until", "/expires-at"),
                moments("taken back", "/revoked-at"),
            ];
            Output::told(json, &list, || table(&list, &columns))
        }
        TokenCommand::Make { name, scope, days } => {
            let new = json!({ "name": name, "scopes": scope, "days": days });
            let answer = client.create(client.gym(&["tokens"])?, new)?;
            let made = answer.json()?;
            Output::answered(json, &answer, || {
                let until = moment(&made["token"]["expires-at"]);
                let secret = made["secret"].as_str().unwrap_or_default();
                format!("{name}: works until {until}; keep it, it is shown this once:\n{secret}\n")
            })
        }
        TokenCommand::Revoke { id } => {
            client.call(&Call::new(Method::Delete, client.gym(&["tokens", id])?))?;
            Output::told(json, &Value::Null, || format!("{id}: taken back\n"))
        }
    }
}
