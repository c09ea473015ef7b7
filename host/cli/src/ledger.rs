//! `classwright ledger`: who did what when.

use crate::Output;
use crate::client::Connect;
use crate::error::CliError;
use crate::show::{Column, column, moments, table, words};

/// The ledger: who did what when.
#[derive(clap::Args)]
pub(crate) struct LedgerArgs {
    #[command(subcommand)]
    command: LedgerCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum LedgerCommand {
    /// Every entry, the oldest first.
    List {
        /// Only those behind this one, by its number.
        #[arg(long, value_name = "N")]
        after: Option<u64>,
    },
    /// Say whether every entry is as it was written, and the digest of the newest.
    Verify,
}

const ENTRIES: [Column; 6] = [
    column("n", "/n"),
    moments("at", "/at"),
    column("who", "/who"),
    column("what", "/what"),
    column("about", "/about"),
    column("more", "/detail"),
];

/// Runs the command.
pub(crate) fn run(args: &LedgerArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        LedgerCommand::List { after } => {
            let after = after.map(|after| after.to_string());
            let list = client.list_after(client.gym(&["ledger"])?, after)?;
            Output::told(json, &list, || table(&list, &ENTRIES))
        }
        LedgerCommand::Verify => {
            let answer = client.get(client.gym(&["ledger", "state"])?)?;
            let state = answer.json()?;
            let whole = state["whole"] == true;
            let mut output = Output::answered(json, &answer, || match whole {
                true => {
                    format!("whole: {} entries, the newest {}\n", words(&state["entries"]), words(&state["newest"]))
                }
                false => format!("broken at {}: {}\n", words(&state["broken-at"]), words(&state["problem"])),
            })?;
            let text = "error: somebody changed the ledger after it was written: restore a backup that is whole";
            output.after = (!whole).then(|| CliError::new(text, 3));
            Ok(output)
        }
    }
}
