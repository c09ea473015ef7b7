//! `classwright heats`: floors that stand in a file by themselves.

use std::path::PathBuf;

use clap::Subcommand;
use classwright_app::{SolveRequest, heats_solve};

use crate::error::CliError;
use crate::plan::CacheArgs;
use crate::{json, show};

/// Work on floors that stand in a file by themselves.
#[derive(Subcommand)]
pub(crate) enum HeatsCommand {
    /// Find the plan of a floor that is done earliest, and say how far it can be from the best.
    Solve(SolveArgs),
}

/// Solve a floor.
#[derive(clap::Args)]
pub(crate) struct SolveArgs {
    /// The floor: a JSON file in the format heats-1.
    floor: PathBuf,
    /// The plan there is, a JSON file in the format heats-solution-1: of plans that end earliest, the nearest to it.
    #[arg(long, value_name = "ANSWER.json")]
    previous: Option<PathBuf>,
    /// How long to search, in the policy's own steps; the house policy takes about a second for 10000000. 0 leaves it
    /// to the policy.
    #[arg(long, value_name = "N", default_value_t = 10_000_000)]
    effort: u64,
    /// Ask this heat policy instead of the house's.
    #[arg(long, value_name = "FILE.wasm")]
    policy: Option<PathBuf>,
    /// Print the answer as one JSON document (see `classwright schema heats-solution`).
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    cache: CacheArgs,
}

/// Runs a command; nothing is printed where there is no plan.
pub(crate) fn run(command: &HeatsCommand) -> Result<String, CliError> {
    let HeatsCommand::Solve(args) = command;
    let solved = heats_solve(&SolveRequest {
        floor: &args.floor,
        previous: args.previous.as_deref(),
        effort: args.effort,
        policy: args.policy.as_deref(),
        cache_dir: args.cache.dir(),
    })?;
    if args.json { json(&solved.solution) } else { Ok(show::solution(&solved)) }
}
