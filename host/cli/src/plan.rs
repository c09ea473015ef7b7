//! `classwright plan`.

use std::path::PathBuf;

use classwright_app::{PlanRequest, plan_class};

use crate::error::CliError;
use crate::{Output, json, show};

/// Plan a class.
#[derive(clap::Args)]
pub(crate) struct PlanArgs {
    /// The session file; may be left out where --class names a class.
    session: Option<PathBuf>,
    /// The gym's folder.
    #[arg(long)]
    gym: PathBuf,
    /// A class of the gym (a file name in its classes/, without the ending): its session, who comes, its kit.
    #[arg(long, value_name = "NAME")]
    class: Option<String>,
    /// Only these athletes come (ids, separated by commas); all of the class, or of the roster, where it is left out.
    #[arg(long, value_delimiter = ',', value_name = "IDS")]
    present: Vec<String>,
    /// These athletes do not come (ids, separated by commas).
    #[arg(long, value_delimiter = ',', value_name = "IDS")]
    absent: Vec<String>,
    /// The plan of another class in the same room, as --json prints it; its kit is taken as long as it holds it.
    #[arg(long, value_name = "PLAN.json", requires = "class")]
    beside: Vec<PathBuf>,
    /// Print the plan as one JSON document (see `classwright schema plan`).
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    cache: CacheArgs,
}

/// Where compiled policies are kept.
#[derive(clap::Args)]
pub(crate) struct CacheArgs {
    /// Keep compiled policies here instead of in the user's cache folder.
    #[arg(long, value_name = "DIR")]
    cache: Option<PathBuf>,
    /// Compile policies anew.
    #[arg(long, conflicts_with = "cache")]
    no_cache: bool,
}

impl CacheArgs {
    /// The folder, unless none is wanted or there is none to be had.
    pub(crate) fn dir(&self) -> Option<PathBuf> {
        if self.no_cache {
            return None;
        }
        self.cache.clone().or_else(usual_cache)
    }
}

/// Where compiled policies are kept unless something else is said: the user's cache folder.
pub(crate) fn usual_cache() -> Option<PathBuf> {
    let base = std::env::var_os("XDG_CACHE_HOME").map(PathBuf::from);
    let base = base.or_else(|| std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".cache")))?;
    Some(base.join("classwright"))
}

/// Plans and prints. A policy that failed sets the exit code; the plan is printed all the same.
pub(crate) fn run(args: &PlanArgs) -> Result<Output, CliError> {
    let planned = plan_class(&PlanRequest {
        gym: &args.gym,
        session: args.session.as_deref(),
        class: args.class.as_deref(),
        present: &args.present,
        absent: &args.absent,
        beside: &args.beside,
        cache_dir: args.cache.dir(),
    })?;
    let text = if args.json { json(&planned.document)? } else { show::plan(&planned.document) };
    let unplanned = planned.no_floor_plan.then(|| {
        CliError::new("error: there is no floor plan for this class; the cautions about the class say why", 6)
    });
    Ok(Output { text, after: planned.failure.as_ref().map(CliError::from).or(unplanned) })
}
