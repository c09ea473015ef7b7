//! `classwright policy`: components built, looked into and checked, and the gym's shelf.

mod change;
mod component;
mod install;
mod shelf;
mod told;
mod trial;

use std::path::PathBuf;

use crate::Output;
use crate::client::{Client, Connect, Path, Served};
use crate::error::CliError;

/// Policies: built and checked, and on the gym's shelf.
#[derive(clap::Subcommand)]
pub(crate) enum PolicyCommand {
    /// Build a policy's component from its source folder and write it beside the source.
    Build {
        /// The policy's folder.
        dir: PathBuf,
    },
    /// Run a policy's cases through its built component.
    Check {
        /// The policy's folder, with the component and `cases/`.
        dir: PathBuf,
    },
    /// Say what a component is, or everything about a policy on the shelf.
    Show(Served<component::Show>),
    /// Install a component: it is looked into and asked built-in questions, and not asked more until it is enabled.
    Install(Served<install::Install>),
    /// The shelf, in the order in which policies are asked.
    List(Connect),
    /// Have a policy asked. One that was set aside after faults comes back.
    Enable(Served<shelf::Enable>),
    /// Have a policy not asked; it keeps its place, its settings and its history.
    Disable(Served<shelf::Name>),
    /// Put the shelf into an order: every policy, the first asked first.
    Order(Served<shelf::Order>),
    /// What can be set of a policy and what is set, or set all of it.
    Settings(Served<shelf::Settings>),
    /// What one call of a policy may use; what is not named is left to the host.
    Limits(Served<shelf::Limits>),
    /// Go over to another component of a policy, or say what that would change.
    Upgrade(Served<change::Upgrade>),
    /// Go back to what a policy stood with before.
    Rollback(Served<shelf::Name>),
    /// Take a policy off the shelf.
    Remove(Served<shelf::Name>),
    /// Plan past classes with a policy as it could be, and say what would differ; nothing is written.
    Try(Served<trial::Try>),
}

/// Runs the command.
pub(crate) fn run(command: &PolicyCommand) -> Result<Output, CliError> {
    match command {
        PolicyCommand::Build { dir } => component::build(dir).map(Output::from),
        PolicyCommand::Check { dir } => component::check(dir),
        PolicyCommand::Show(args) if args.args.is_a_file() => component::show(args),
        PolicyCommand::Show(args) => told::show(args),
        PolicyCommand::Install(args) => install::run(args),
        PolicyCommand::List(connect) => shelf::list(connect),
        PolicyCommand::Enable(args) => shelf::enable(args),
        PolicyCommand::Disable(args) => shelf::disable(args),
        PolicyCommand::Order(args) => shelf::order(args),
        PolicyCommand::Settings(args) => shelf::settings(args),
        PolicyCommand::Limits(args) => shelf::limits(args),
        PolicyCommand::Upgrade(args) => change::upgrade(args),
        PolicyCommand::Rollback(args) => shelf::roll_back(args),
        PolicyCommand::Remove(args) => shelf::remove(args),
        PolicyCommand::Try(args) => trial::run(args),
    }
}

/// The path of a policy on the shelf.
fn one(client: &Client, name: &str) -> Result<Path, CliError> {
    client.gym(&["policies", name])
}
