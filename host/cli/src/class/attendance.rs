//! Who is on the list of a class, and who is there.

use serde_json::json;

use crate::Output;
use crate::client::{Call, Client, Method};
use crate::error::CliError;
use crate::show::{Column, column, moments, table};

/// Some people of a class.
#[derive(clap::Args)]
pub(crate) struct People {
    /// The class's id.
    id: String,
    /// The athletes' ids.
    #[arg(required = true)]
    athletes: Vec<String>,
}

const SEEN: [Column; 4] = [
    column("athlete", "/athlete"),
    column("on the list", "/listed"),
    column("checked", "/checked"),
    moments("at", "/checked-at"),
];

/// Prints who is named on the list, or was seen.
pub(super) fn show(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let answer = client.get(super::one(client, id)?.then(&["attendance"]))?;
    let list = answer.json()?;
    Output::answered(json, &answer, || table(&list, &SEEN))
}

impl People {
    /// Says what was seen of them: `check-in` or `check-out`.
    pub(super) fn see(&self, client: &Client, what: &str, json: bool) -> Result<Output, CliError> {
        let People { id, athletes } = self;
        let answer = client.post(super::one(client, id)?.then(&[what]), json!({ "athletes": athletes }))?;
        let list = answer.json()?;
        Output::answered(json, &answer, || table(&list, &SEEN))
    }

    /// Takes back what was seen of them.
    pub(super) fn unsee(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let path = super::one(client, &self.id)?.then(&["attendance"]);
        for athlete in &self.athletes {
            client.call(&Call::new(Method::Delete, path.clone().then(&[athlete])))?;
        }
        show(client, &self.id, json)
    }
}
