//! Plans of a class: made, made anew, looked at, made again to the byte.

use classwright_app::document::PlanDoc;
use serde_json::{Value, json};

use crate::Output;
use crate::client::{Answer, Body, Client};
use crate::error::CliError;
use crate::show::{self, Column, column, moments, table, words};

/// Plan a class anew.
#[derive(clap::Args)]
pub(crate) struct Replan {
    /// The class's id.
    id: String,
    /// When it is: the clock on the wall (18:22), or how far into the class (+22:00). What has started by then stays.
    #[arg(long, value_name = "TIME")]
    when: Option<String>,
    /// So many of some kit are in service from now on: "20 kg bar=5", "row machine=6", "20 kg plate=8" (pairs).
    #[arg(long, value_name = "NAME=COUNT")]
    kit: Vec<String>,
    /// Somebody (name or id) is not there before this time into the class: "Ama Bell=+6:00".
    #[arg(long, value_name = "NAME=+M:SS")]
    late: Vec<String>,
    /// Somebody (name or id) is gone: what they have started stays, the rest is off.
    #[arg(long, value_name = "NAME")]
    gone: Vec<String>,
    /// Also say what holds the class up, and what one more of it would give.
    #[arg(long)]
    why: bool,
    /// How much search is wanted, in the policy's own steps; as the plan was asked for where it is left out.
    #[arg(long, value_name = "N")]
    effort: Option<u64>,
}

/// One plan.
#[derive(clap::Args)]
pub(crate) struct PlanId {
    /// The plan's id, as `class plans` lists it.
    plan: String,
}

const PLANS: [Column; 5] = [
    column("plan", "/plan"),
    moments("made", "/made-at"),
    column("by", "/made-by"),
    column("planned anew from", "/parent"),
    column("digest", "/digest"),
];

/// Plans a class.
pub(super) fn plan(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let answer = client.create(super::one(client, id)?.then(&["plans"]), Body::Empty)?;
    made(client, &answer, json, show::plan)
}

/// Prints the plans that a class has had.
pub(super) fn list(client: &Client, id: &str, json: bool) -> Result<Output, CliError> {
    let list = client.list(super::one(client, id)?.then(&["plans"]))?;
    Output::told(json, &list, || table(&list, &PLANS))
}

impl Replan {
    pub(super) fn run(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let Replan { id, when, kit, late, gone, why, effort } = self;
        let mut happened = json!({ "kit": kit, "late": late, "gone": gone, "why": why });
        if let Some(when) = when {
            happened["at"] = json!(when);
        }
        if let Some(effort) = effort {
            happened["effort"] = json!(effort);
        }
        let answer = client.create(super::one(client, id)?.then(&["replans"]), happened)?;
        made(client, &answer, json, show::replan)
    }
}

impl PlanId {
    pub(super) fn text(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let answer = client.get(client.gym(&["plans", &self.plan])?)?;
        if json {
            return Ok(answer.document()?.into());
        }
        let document: PlanDoc = answer.read()?;
        Ok((if document.changes.is_empty() { show::plan(&document) } else { show::replan(&document) }).into())
    }

    pub(super) fn replay(&self, client: &Client, json: bool) -> Result<Output, CliError> {
        let answer = client.post(client.gym(&["plans", &self.plan, "replays"])?, Body::Empty)?;
        let replayed = answer.json()?;
        let same = replayed["same"] == true;
        let mut output = Output::answered(json, &answer, || differences(&replayed))?;
        output.after = (!same).then(|| {
            let text = format!("error: {} does not come out as it was made; what differs is said above", self.plan);
            CliError::new(text, 3)
        });
        Ok(output)
    }
}

/// What came of making a plan again.
fn differences(replayed: &Value) -> String {
    let plan = words(&replayed["plan"]);
    if replayed["same"] == true {
        return format!("{plan}: the same to the byte, {}\n", words(&replayed["digest"]));
    }
    let mut out = format!("{plan}: not the same\n");
    let (made_by, this) = (words(&replayed["made-by-host"]), words(&replayed["this-host"]));
    if made_by != this && !made_by.is_empty() {
        out += &format!("  made by host {made_by}, and this is {this}\n");
    }
    for gone in replayed["gone"].as_array().into_iter().flatten().chain(replayed.get("failed")) {
        out += &format!("  {}\n", words(gone));
    }
    out + &show::differences(&replayed["differences"], &replayed["more-differences"])
}

/// Prints a plan that was just made. A policy that failed sets the exit code, as `plan` does.
fn made(client: &Client, answer: &Answer, json: bool, text: fn(&PlanDoc) -> String) -> Result<Output, CliError> {
    let made = answer.json()?;
    let plan = made["plan"]["plan"].as_str().unwrap_or_default();
    let document: PlanDoc = client.get(client.gym(&["plans", plan])?)?.read()?;
    let mut output = Output::answered(json, answer, || format!("{plan}\n\n{}", text(&document)))?;
    output.after = failure(&document);
    Ok(output)
}

fn failure(document: &PlanDoc) -> Option<CliError> {
    let unplanned = (document.floor.heats.is_empty() && !document.floor.asked.athletes.is_empty()).then(|| {
        CliError::new("error: there is no floor plan for this class; the cautions about the class say why", 6)
    });
    document.faults.first().map(CliError::from).or(unplanned)
}
