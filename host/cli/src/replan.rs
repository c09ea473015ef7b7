//! `classwright replan`.

use std::path::PathBuf;

use classwright_app::{At, KitCount, Late, ReplanRequest, replan};

use crate::error::CliError;
use crate::plan::CacheArgs;
use crate::{Output, json, show};

/// Plan a class anew when the day changes.
#[derive(clap::Args)]
pub(crate) struct ReplanArgs {
    /// The plan, as `classwright plan --json` or `classwright replan --json` printed it; `-` for standard input.
    plan: PathBuf,
    /// When it is: the clock on the wall (18:22), or how far into the class (+22:00). What has started by then stays.
    #[arg(long, value_name = "TIME")]
    at: Option<At>,
    /// So many of some kit are in service from now on: "20 kg bar=5", "row machine=6", "20 kg plate=8" (pairs).
    #[arg(long, value_name = "NAME=COUNT")]
    kit: Vec<KitCount>,
    /// Somebody (name or id) is not there before this time into the class: "Ama Bell=+6:00".
    #[arg(long, value_name = "NAME=+M:SS")]
    late: Vec<Late>,
    /// Somebody (name or id) is gone: what they have started stays, the rest is off.
    #[arg(long, value_name = "NAME")]
    gone: Vec<String>,
    /// Also say what holds the class up, and what one more of it would give.
    #[arg(long)]
    why: bool,
    /// Ask the policies of this gym instead of the house policy.
    #[arg(long, value_name = "DIR")]
    gym: Option<PathBuf>,
    /// How much search is wanted, in the policy's own steps; as the plan was asked for where it is left out.
    #[arg(long, value_name = "N")]
    effort: Option<u64>,
    /// Print the new plan as one JSON document (see `classwright schema plan`).
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    cache: CacheArgs,
}

/// Plans anew and prints. A policy that failed sets the exit code; the plan is printed all the same.
pub(crate) fn run(args: &ReplanArgs) -> Result<Output, CliError> {
    let replanned = replan(&ReplanRequest {
        plan: &args.plan,
        at: args.at,
        kit: &args.kit,
        late: &args.late,
        gone: &args.gone,
        why: args.why,
        gym: args.gym.as_deref(),
        effort: args.effort,
        cache_dir: args.cache.dir(),
    })?;
    let document = &replanned.document;
    let text = if args.json { json(document)? } else { show::replan(document) };
    Ok(Output { text, after: replanned.failure.as_ref().map(CliError::from) })
}
