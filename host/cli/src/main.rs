//! The `classwright` command.
//!
//! Arguments in, a use case run, text or JSON out. What is printed for people goes to standard output only when there
//! is a result; errors go to standard error with a documented exit code (table in DEVELOPERS.md).

mod account;
mod athlete;
mod backup;
mod class;
mod client;
mod completions;
mod config;
mod day;
mod error;
mod exit_codes;
mod gym;
mod heats;
mod input;
mod kit;
mod ledger;
mod movement;
mod picture;
mod plan;
mod policy;
mod reckon;
mod replan;
mod serve;
mod session;
mod show;
mod whole;

use std::io::{ErrorKind, Write};
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::error::CliError;

/// Turns one written training session into what each person does, and fits it on the floor.
#[derive(Parser)]
#[command(version, about, max_term_width = 100, after_long_help = exit_codes::help())]
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
    /// Session files, and sessions that the gym keeps.
    #[command(subcommand)]
    Session(session::SessionCommand),
    /// Reckon with the trade's formulas and tables.
    Reckon(ReckonArgs),
    /// Policies: built and checked, and on the gym's shelf.
    #[command(subcommand)]
    Policy(policy::PolicyCommand),
    /// Gyms: what there is, how their floor is run, in and out as folders.
    Gym(Box<gym::GymArgs>),
    /// Who trains: the roster, bests, limitations.
    Athlete(athlete::AthleteArgs),
    /// Kit: what there is, and what of it is out of service.
    Kit(kit::KitArgs),
    /// Movements that the gym adds to the built-in library.
    Movement(movement::MovementArgs),
    /// Classes: who comes, plans, cards.
    Class(Box<class::ClassArgs>),
    /// Who may log in.
    User(account::user::UserArgs),
    /// Tokens: what programs show in somebody's name.
    Token(account::token::TokenArgs),
    /// The ledger: who did what when.
    Ledger(ledger::LedgerArgs),
    /// Write all data of this moment into a file, while others go on working.
    Backup(backup::BackupArgs),
    /// Restore a backup into a place without gyms.
    Restore(backup::RestoreArgs),
    /// Say whether the data, or a backup, is as it was written.
    Verify(backup::VerifyArgs),
    /// Print the JSON Schema of a document.
    Schema {
        /// Which document.
        #[arg(value_enum)]
        document: Document,
    },
    /// Run a host for the gym's data: API, logins, live events.
    Serve(serve::ServeArgs),
    /// How a host is set up.
    #[command(subcommand)]
    Config(config::ConfigCommand),
    /// Print what a shell needs to complete the command.
    Completions(completions::CompletionsArgs),
    /// Print the manual page, or write one for every command.
    Man(completions::ManArgs),
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

impl Output {
    /// A document of the service as JSON, or what is said of it to people.
    fn told(as_json: bool, document: &serde_json::Value, text: impl FnOnce() -> String) -> Result<Output, CliError> {
        Ok(Output::from(if as_json { json(document)? } else { text() }))
    }

    /// An answer of the service as it was sent, or what is said of it to people.
    fn answered(as_json: bool, answer: &client::Answer, text: impl FnOnce() -> String) -> Result<Output, CliError> {
        Ok(Output::from(if as_json { answer.document()? } else { text() }))
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
        Command::Session(command) => session::run(&command),
        Command::Reckon(ReckonArgs { reckon, json }) => {
            Ok((reckon::run(reckon, json)?.trim_end().to_owned() + "\n").into())
        }
        Command::Policy(command) => policy::run(&command),
        Command::Gym(args) => gym::run(&args),
        Command::Athlete(args) => athlete::run(&args),
        Command::Kit(args) => kit::run(&args),
        Command::Movement(args) => movement::run(&args),
        Command::Class(args) => class::run(&args),
        Command::User(args) => account::user::run(&args),
        Command::Token(args) => account::token::run(&args),
        Command::Ledger(args) => ledger::run(&args),
        Command::Backup(args) => backup::backup(&args),
        Command::Restore(args) => backup::restore(&args),
        Command::Verify(args) => backup::verify(&args),
        Command::Serve(args) => serve::run(&args),
        Command::Config(command) => config::run(&command),
        Command::Completions(args) => completions::completions(&args).map(Output::from),
        Command::Man(args) => completions::man(&args).map(Output::from),
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

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use clap::CommandFactory;

    use super::Cli;

    #[test]
    fn no_command_contradicts_itself_and_each_says_what_it_does() {
        let mut command = Cli::command();
        command.clone().debug_assert();
        command.build();
        let mut all = vec![(command, BTreeMap::new())];
        while let Some((command, mut above)) = all.pop() {
            let name = command.get_name().to_owned();
            assert!(command.get_about().is_some(), "{name} does not say what it does");
            for argument in command.get_arguments() {
                let (id, long) = (argument.get_id().to_string(), argument.get_long().map(str::to_owned));
                assert!(argument.get_help().is_some(), "{name}: nothing is said of {id}");
                // One with the id of another, above it, would quietly take its value.
                let other = above.get(&id).filter(|other| **other != long);
                assert!(other.is_none(), "{name}: {id} stands for two things");
                if argument.is_global_set() {
                    above.insert(id, long);
                }
            }
            let own = command.get_subcommands().filter(|sub| sub.get_name() != "help");
            all.extend(own.map(|sub| (sub.clone(), above.clone())));
        }
    }
}
