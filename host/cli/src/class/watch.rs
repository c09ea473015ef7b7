//! What happens in a class, as it happens.

use std::io::Write;

use serde_json::{Value, json};

use crate::Output;
use crate::client::{Call, Client, Event, Events, Method};
use crate::error::CliError;
use crate::show::{moment, words};

/// Watch a class.
#[derive(clap::Args)]
pub(crate) struct Watch {
    /// The class's id.
    id: String,
    /// Go on behind this event, by its number: nothing that happened meanwhile is left out. 0 starts at the first.
    #[arg(long, value_name = "N")]
    after: Option<u64>,
    /// End after so many events.
    #[arg(long, value_name = "N")]
    events: Option<u64>,
}

impl Watch {
    /// Prints every event in a line, at once: what is kept until the end nobody would see.
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let mut call = Call::new(Method::Get, super::one(client, &self.id)?.then(&["events"]));
        if let Some(after) = self.after {
            call = call.header("last-event-id", after.to_string());
        }
        let mut events = Events::new(client.stream(&call)?);
        let mut out = std::io::stdout().lock();
        let mut seen = 0;
        while self.events.is_none_or(|most| seen < most) {
            let Some(event) = events.next()? else { break };
            seen += 1;
            let line = if json { document(&event) } else { told(&event) };
            // Nobody reads on: there is nobody left to watch for.
            if writeln!(out, "{line}").and_then(|()| out.flush()).is_err() {
                break;
            }
        }
        Ok(String::new().into())
    }
}

/// An event as JSON in a line.
fn document(event: &Event) -> String {
    let data: Value = serde_json::from_str(&event.data).unwrap_or_else(|_| event.data.clone().into());
    json!({ "id": event.id, "event": event.kind, "data": data }).to_string()
}

/// An event in a line: its number, when, what, and what is told of it.
fn told(event: &Event) -> String {
    let data: Value = serde_json::from_str(&event.data).unwrap_or_default();
    format!("{} {} {}: {}", event.id, moment(&data["at"]), event.kind, words(&data["body"]))
}
