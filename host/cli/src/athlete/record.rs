//! The whole of what is kept about somebody: told, forgotten, taken in from a file.

use serde_json::Value;

use crate::Output;
use crate::client::{Call, Client, Method};
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
    let path = super::one(client, id)?;
    let revision = client.get(path.clone())?.revision()?.to_owned();
    let answer = client.call(&Call::new(Method::Post, path.then(&["erase"])).revision(&revision))?;
    let erased = answer.json()?;
    Output::answered(json, &answer, || {
        let mut out = format!("{id}: forgotten; plans and classes have {} instead\n", words(&erased["stands"]));
        for plan in erased["plans-without-inputs"].as_array().into_iter().flatten() {
            out += &format!("{}: can no longer be made again; what it was made of is gone\n", words(plan));
        }
        for place in erased["still-named"].as_array().into_iter().flatten() {
            out += &format!("{}: still names them; change it by hand\n", words(place));
        }
        out
    })
}

/// What a roster changes, a line each.
pub(super) fn changes(done: &Value) -> String {
    let of = |list: &str| done[list].as_array().cloned().unwrap_or_default();
    let mut out = String::new();
    for new in of("added") {
        out += &format!("+ {}: {}\n", words(&new["id"]), words(&new["name"]));
    }
    for changed in of("changed") {
        for field in changed["fields"].as_array().into_iter().flatten() {
            let side = |side: &str| match field[side].as_str() {
                None | Some("") => "nothing".to_owned(),
                Some(text) => text.to_owned(),
            };
            let (id, name) = (words(&changed["id"]), words(&field["field"]));
            out += &format!("~ {id}: {name} {} -> {}\n", side("from"), side("to"));
        }
    }
    for missing in of("missing") {
        out += &format!("? {}: not in the file; stays on the roster\n", words(&missing["id"]));
    }
    let (added, changed, same) = (of("added").len(), of("changed").len(), of("unchanged").len());
    let end = if done["applied"] == true { "" } else { "; nothing was changed" };
    out + &format!("{added} added, {changed} changed, {same} as they were{end}\n")
}
