//! `classwright class`: classes in the gym's data, from the sheet to the card.

mod attendance;
mod by_hand;
mod cards;
mod edit;
mod plans;
mod watch;

use serde_json::Value;

use crate::Output;
use crate::client::{Client, Connect, Path};
use crate::error::CliError;
use crate::show::{Column, column, fields, table};

/// Classes: who comes, plans, cards.
#[derive(clap::Args)]
pub(crate) struct ClassArgs {
    #[command(subcommand)]
    command: ClassCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum ClassCommand {
    /// Classes by day.
    List {
        /// First day, such as 2026-12-07.
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// Last day.
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
    },
    /// A class as its sheet says, with its plan.
    Show(One),
    /// Add a class.
    Add(edit::Add),
    /// Change what the sheet of a class says; what is not named stays.
    Change(edit::Change),
    /// Remove a class that has no plan.
    Remove(One),
    /// Who is on the list of a class, and who is there.
    Attendance(One),
    /// Check people in.
    CheckIn(attendance::People),
    /// Check people out: they do not come, or have left.
    CheckOut(attendance::People),
    /// Take back what was seen of people.
    Unchecked(attendance::People),
    /// Plan a class with whoever comes; the plan stands from then on.
    Plan(One),
    /// Plan a class anew: what has happened stays, few are moved.
    Replan(plans::Replan),
    /// The plans that a class has had.
    Plans(One),
    /// A plan as it is kept; with --json its document, byte for byte.
    PlanText(plans::PlanId),
    /// Make a plan again from what it was made of, and say whether it is the same to the byte.
    Replay(plans::PlanId),
    /// Everybody's cards of the plan that stands.
    Cards(One),
    /// One athlete's card.
    Card(cards::OneCard),
    /// Set something on a card by hand; it stands beside the plan, which stays as it was made.
    Override(by_hand::Override),
    /// What was set by hand in a class.
    Overrides(One),
    /// Take back what was set by hand.
    OverrideRemove(by_hand::OverrideId),
    /// What happens in a class, as it happens, until Ctrl-C.
    Watch(watch::Watch),
}

/// One class.
#[derive(clap::Args)]
pub(crate) struct One {
    /// The class's id.
    id: String,
}

const CLASSES: [Column; 6] = [
    column("id", "/value/id"),
    column("date", "/value/date"),
    column("time", "/value/time"),
    column("session", "/value/session"),
    column("coach", "/value/coach"),
    column("zone", "/value/zone"),
];

/// Runs the command.
pub(crate) fn run(args: &ClassArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        ClassCommand::List { from, to } => {
            let path = client.gym(&["classes"])?.maybe("from", from.as_deref()).maybe("to", to.as_deref());
            let list = client.list(path)?;
            Output::told(json, &list, || table(&list, &CLASSES))
        }
        ClassCommand::Show(One { id }) => {
            let answer = client.get(one(&client, id)?)?;
            let class = answer.json()?;
            Output::answered(json, &answer, || fields(&class["value"]))
        }
        ClassCommand::Add(add) => add.run(&client, json),
        ClassCommand::Change(change) => change.run(&client, json),
        ClassCommand::Remove(One { id }) => {
            client.remove(one(&client, id)?)?;
            Output::told(json, &Value::Null, || format!("{id}: removed\n"))
        }
        ClassCommand::Attendance(One { id }) => attendance::show(&client, id, json),
        ClassCommand::CheckIn(people) => people.see(&client, "check-in", json),
        ClassCommand::CheckOut(people) => people.see(&client, "check-out", json),
        ClassCommand::Unchecked(people) => people.unsee(&client, json),
        ClassCommand::Plan(One { id }) => plans::plan(&client, id, json),
        ClassCommand::Replan(replan) => replan.run(&client, json),
        ClassCommand::Plans(One { id }) => plans::list(&client, id, json),
        ClassCommand::PlanText(plan) => plan.text(&client, json),
        ClassCommand::Replay(plan) => plan.replay(&client, json),
        ClassCommand::Cards(One { id }) => cards::all(&client, id, json),
        ClassCommand::Card(card) => card.run(&client, json),
        ClassCommand::Override(new) => new.run(&client, json),
        ClassCommand::Overrides(One { id }) => by_hand::list(&client, id, json),
        ClassCommand::OverrideRemove(which) => which.remove(&client, json),
        ClassCommand::Watch(watch) => watch.run(&client, json),
    }
}

/// The path of a class.
fn one(client: &Client, id: &str) -> Result<Path, CliError> {
    client.gym(&["classes", id])
}
