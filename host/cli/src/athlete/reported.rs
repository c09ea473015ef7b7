//! What is written down about an athlete over time.

use serde_json::{Value, json};

use crate::client::{Call, Client, Method};
use crate::error::CliError;
use crate::{Output, input};

/// A best.
#[derive(clap::Args)]
pub(crate) struct Best {
    /// The athlete's id.
    id: String,
    /// The movement, by name or id.
    movement: String,
    /// What was lifted, such as "102.5 kg".
    load: String,
    /// tested, or how it is estimated from a set, such as "5 reps by epley".
    #[arg(long, default_value = "tested")]
    how: String,
    /// First day on which it counts, such as 2026-12-01; today where it is left out.
    #[arg(long, value_name = "DAY")]
    since: Option<String>,
}

/// A limitation.
#[derive(clap::Args)]
pub(crate) struct Limitation {
    /// The athlete's id.
    id: String,
    /// The region, such as lower-back.
    region: String,
    /// mild, moderate or severe.
    severity: String,
    /// left, right or both; both where it is left out.
    #[arg(long)]
    side: Option<String>,
    /// First day on which it holds, such as 2026-12-01; today where it is left out.
    #[arg(long, value_name = "DAY")]
    since: Option<String>,
    /// Last day on which it holds; on and on where it is left out.
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
}

/// The end of a limitation.
#[derive(clap::Args)]
pub(crate) struct LimitationEnd {
    /// The athlete's id.
    id: String,
    /// The limitation's number, as `athlete show` tells it.
    n: u32,
    /// Last day on which it held; today where it is left out.
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
}

/// Something that was written down.
#[derive(clap::Args)]
pub(crate) struct Numbered {
    /// The athlete's id.
    id: String,
    /// Its number, as `athlete show` tells it.
    n: u32,
}

impl Numbered {
    pub(super) fn remove(&self, client: &Client, what: &str, json: bool) -> Result<Output, CliError> {
        let path = super::one(client, &self.id)?.then(&[what]);
        // What is written down about somebody counts as a change of theirs: the list has the revision.
        let revision = client.get(path.clone())?.revision()?.to_owned();
        let call = Call::new(Method::Delete, path.then(&[&self.n.to_string()])).revision(&revision);
        client.call(&call)?;
        Output::told(json, &Value::Null, || format!("{}: {} is taken back\n", self.id, self.n))
    }
}

impl Best {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let Best { id, movement, load, how, since } = self;
        let since = since.clone().unwrap_or_else(input::today);
        let body = json!({ "movement": movement, "load": load, "how": how, "since": since });
        let answer = client.create(super::one(client, id)?.then(&["bests"]), body)?;
        Output::answered(json, &answer, || format!("{id}: {movement} {load}, {how}, since {since}\n"))
    }
}

impl Limitation {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let Limitation { id, region, severity, side, since, until } = self;
        let since = since.clone().unwrap_or_else(input::today);
        let mut body = json!({ "region": region, "severity": severity, "since": since });
        for (field, value) in [("side", side), ("until", until)] {
            if let Some(value) = value {
                body[field] = json!(value);
            }
        }
        let answer = client.create(super::one(client, id)?.then(&["limitations"]), body)?;
        let written = answer.json()?;
        Output::answered(json, &answer, || format!("{id}: written down as limitation {}\n", written["value"]["n"]))
    }
}

impl LimitationEnd {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let LimitationEnd { id, n, until } = self;
        let until = until.clone().unwrap_or_else(input::today);
        let path = super::one(client, id)?.then(&["limitations"]);
        let all = client.get(path.clone())?;
        let revision = all.revision()?.to_owned();
        let all = all.json()?;
        let found = all["value"].as_array().and_then(|all| all.iter().find(|one| one["n"] == *n));
        let Some(found) = found else {
            let text = format!("error: {id} has no limitation {n}: `classwright athlete show {id}` lists them");
            return Err(CliError::new(text, 2));
        };
        let mut limitation = found["value"].clone();
        limitation["until"] = json!(until);
        let answer = client.put(path.then(&[&n.to_string()]), limitation, &revision)?;
        Output::answered(json, &answer, || format!("{id}: limitation {n} held last on {until}\n"))
    }
}
