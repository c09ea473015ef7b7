//! What a coach sets by hand on a card.

use serde_json::{Value, json};

use super::cards::by_hand;
use crate::Output;
use crate::client::{Call, Client, Method};
use crate::error::CliError;
use crate::show::words;

/// Something set by hand.
#[derive(clap::Args)]
pub(crate) struct Override {
    /// The class's id.
    id: String,
    /// The athlete's id.
    athlete: String,
    /// Which item of the card, as it is numbered there.
    #[arg(long, value_name = "N")]
    item: u32,
    /// Another movement, by id or name.
    #[arg(long, value_name = "MOVEMENT")]
    movement: Option<String>,
    /// Another amount, as in a session: 8, 8-10, 6/side, 0:30, "200 m".
    #[arg(long, value_name = "AMOUNT")]
    amount: Option<String>,
    /// Another load, such as "40 kg".
    #[arg(long, value_name = "LOAD")]
    load: Option<String>,
    /// Leave the item out.
    #[arg(long)]
    off: bool,
    /// Why, in a sentence; the athlete sees it.
    #[arg(long, value_name = "WORDS")]
    reason: String,
    /// The load may be above what the card says.
    #[arg(long)]
    raises: bool,
}

/// One thing that was set by hand.
#[derive(clap::Args)]
pub(crate) struct OverrideId {
    /// The class's id.
    id: String,
    /// Which, as `class overrides` numbers it.
    which: String,
}

/// What was set by hand in a class.
pub(super) fn list(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let answer = client.get(super::one(client, id)?.then(&["overrides"]))?;
    let list = answer.json()?;
    Output::answered(json, &answer, || {
        let items = list.as_array().map_or(&[][..], Vec::as_slice);
        let line =
            |one: &Value| format!("{}: {}, {}\n", words(&one["id"]), words(&one["set"]["athlete"]), by_hand(one));
        if items.is_empty() { "none\n".into() } else { items.iter().map(line).collect() }
    })
}

impl Override {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let Override { id, athlete, item, movement, amount, load, off, reason, raises } = self;
        let mut new = json!({ "athlete": athlete, "item": item, "off": off, "reason": reason, "raises": raises });
        for (field, value) in [("movement", movement), ("amount", amount), ("load", load)] {
            if let Some(value) = value {
                new[field] = json!(value);
            }
        }
        let answer = client.create(super::one(client, id)?.then(&["overrides"]), new)?;
        let made = answer.json()?;
        Output::answered(json, &answer, || format!("{athlete}: {}\n", by_hand(&made)))
    }
}

impl OverrideId {
    pub(super) fn remove(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let path = super::one(client, &self.id)?.then(&["overrides", &self.which]);
        client.call(&Call::new(Method::Delete, path))?;
        Output::told(json, &Value::Null, || format!("{}: taken back\n", self.which))
    }
}
