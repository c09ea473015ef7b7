//! The `classwright` command.
//!
//! Arguments in, a use case run, text or JSON out. What is printed for people goes to standard output only when there
//! is a result; errors go to standard error with a documented exit code (table in DEVELOPERS.md).

mod day;
mod error;
mod heats;
mod picture;
mod plan;
mod policy;
mod reckon;
mod replan;
mod session;
mod show;
mod whole;

use std::io::{ErrorKind, Write};
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::error::CliError;

/// Turns one written training session into what each person does, and fits it on the floor.
#[derive(Parser)]
#[command(version, about, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Plan a class: a card for each athlete, the floor plan and the bar sheet.
    Plan(plan::PlanArgs),
    /// Plan a class anew when somebody is late or gone, or kit fails: what has happened stays, few are moved.
    Replan(replan::ReplanArgs),
    /// Plan all classes of a date in one room, each around those before it.
    Day(day::DayArgs),
    /// Draw the floor plan of a plan as a timeline, in the terminal or as an SVG file.
    Picture(picture::PictureArgs),
    /// Solve floors that stand in a file by themselves.
    #[command(subcommand)]
    Heats(heats::HeatsCommand),
    /// Check a session file, or rewrite it to the canonical form.
    #[command(subcommand)]
    Session(session::SessionCommand),
    /// Reckon with the trade's formulas and tables.
    Reckon(ReckonArgs),
    /// Build, look into and check policies.
    #[command(subcommand)]
    Policy(policy::PolicyCommand),
    /// Print the JSON Schema of a document.
    Schema {
        /// Which document.
        #[arg(value_enum)]
        document: Document,
    },
}

#[derive(clap::Args)]
struct ReckonArgs {
    #[command(subcommand)]
    reckon: reckon::Reckon,
    /// Print JSON.
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Document {
    /// What `plan --json` prints.
    Plan,
    /// What `day --json` prints.
    Day,
    /// What `heats solve --json` prints.
    HeatsSolution,
    /// What `picture --json` prints.
    Picture,
}

/// What a command has to say: text for standard output, and a failure that does not take the text back.
struct Output {
    text: String,
    after: Option<CliError>,
}

impl From<String> for Output {
    fn from(text: String) -> Self {
        Output { text, after: None }
    }
}

fn main() -> ExitCode {
    match run(Cli::parse().command) {
        Ok(output) => {
            let mut out = std::io::stdout().lock();
            match out.write_all(output.text.as_bytes()).and_then(|()| out.flush()) {
                // Nobody reads on, for example in front of `| head`: there is nothing left to say.
                Err(error) if error.kind() == ErrorKind::BrokenPipe => ExitCode::SUCCESS,
                Err(error) => CliError::new(format!("error: standard output: {error}"), 3).report(),
                Ok(()) => output.after.map_or(ExitCode::SUCCESS, |error| error.report()),
            }
        }
        Err(error) => error.report(),
    }
}

fn run(command: Command) -> Result<Output, CliError> {
    match command {
        Command::Plan(args) => plan::run(&args),
        Command::Replan(args) => replan::run(&args),
        Command::Day(args) => day::run(&args),
        Command::Picture(args) => picture::run(&args),
        Command::Heats(command) => heats::run(&command).map(Output::from),
        Command::Session(command) => session::run(&command).map(Output::from),
        Command::Reckon(ReckonArgs { reckon, json }) => {
            Ok((reckon::run(reckon, json)?.trim_end().to_owned() + "\n").into())
        }
        Command::Policy(command) => policy::run(&command),
        Command::Schema { document: Document::Day } => json(&classwright_app::day_schema()).map(Output::from),
        Command::Schema { document: Document::Picture } => {
            json(&classwright_app::picture::picture_schema()).map(Output::from)
        }
        Command::Schema { document: Document::HeatsSolution } => {
            json(&classwright_app::solution_schema()).map(Output::from)
        }
        Command::Schema { document: Document::Plan } => json(&classwright_app::plan_schema()).map(Output::from),
    }
}

/// A value as indented JSON with a line end.
fn json(value: &impl serde::Serialize) -> Result<String, CliError> {
    let text = serde_json::to_string_pretty(value).map_err(|error| CliError::bug(&error))?;
    Ok(text + "\n")
}
