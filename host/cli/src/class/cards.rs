//! Cards of the plan that stands.

use classwright_app::document::CardDoc;
use serde_json::Value;

use crate::Output;
use crate::client::{Answer, Client};
use crate::error::CliError;
use crate::show::{self, words};

/// A card.
#[derive(clap::Args)]
pub(crate) struct OneCard {
    /// The class's id.
    id: String,
    /// The athlete's id.
    athlete: String,
}

/// Everybody's cards.
pub(super) fn all(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let answer = client.get(super::one(client, id)?.then(&["cards"]))?;
    let all = answer.json()?;
    let cards: Result<Vec<String>, CliError> = all["cards"].as_array().into_iter().flatten().map(text).collect();
    let cards = cards?.join("\n");
    Output::answered(json, &answer, || cards)
}

impl OneCard {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let answer = client.get(super::one(client, &self.id)?.then(&["cards", &self.athlete]))?;
        let text = text(&answer.json()?)?;
        Output::answered(json, &answer, || text)
    }
}

/// A card, and below it what the coach set by hand.
fn text(card: &Value) -> Result<String, CliError> {
    let own: CardDoc = serde_json::from_value(card["card"].clone()).map_err(|error| Answer::strange(&error))?;
    let mut out = show::card(&own);
    for set in card["overrides"].as_array().into_iter().flatten() {
        out += &format!("  set by hand: {}\n", by_hand(set));
    }
    Ok(out)
}

/// What was set by hand, in a line.
pub(super) fn by_hand(one: &Value) -> String {
    let set = &one["set"];
    let instead = match set["off"] == true {
        true => "left out".to_owned(),
        false => ["amount", "movement", "load"]
            .iter()
            .filter_map(|field| set[field].as_str().map(|text| format!("{field} {text}")))
            .collect::<Vec<_>>()
            .join(", "),
    };
    let holds = if one["holds"] == true { "" } else { "; the card has changed since: look at it again" };
    format!("item {}, {instead} ({}){holds}", words(&set["item"]), words(&set["reason"]))
}
