//! The whole of what is kept about somebody: told, forgotten, taken in from a file.

use serde_json::Value;

use crate::Output;
use crate::client::Client;
use crate::error::CliError;
use crate::show::words;

/// Prints everything that is kept about an athlete.
pub(super) fn record(client: &Client, id: &str) -> Result<Output, CliError> {
    let answer = client.get(super::one(client, id)?.then(&["record"]))?;
    let record = answer.json()?;
    Output::told(true, &record, String::new)
}

/// Forgets an athlete.
pub(super) fn erase(client: &Client, id: &str, yes: bool, json: bool) -> Result<Output, CliError> {
    if !yes {
        let text = format!("error: {id} would be forgotten for good: save `athlete record {id}`, then say --yes");
        return Err(CliError::new(text, 2));
    }
    let answer = client.post(super::one(client, id)?.then(&["erase"]), crate::client::Body::Empty)?;
    Output::answered(json, &answer, || format!("{id}: forgotten; plans that stand keep somebody without a name\n"))
}

/// What a roster changes.
pub(super) fn changes(done: &Value, dry_run: bool) -> String {
    words(done) + if dry_run { "; nothing was changed\n" } else { "\n" }
}
