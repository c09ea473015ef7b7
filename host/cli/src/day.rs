//! `classwright day`: every class of a date in one room, and a file a class for those who run them.

use std::fs;
use std::path::{Path, PathBuf};

use classwright_app::document::DayDoc;
use classwright_app::{DayRequest, plan_day};

use crate::error::CliError;
use crate::plan::CacheArgs;
use crate::{Output, json, show};

/// Plan a day.
#[derive(clap::Args)]
pub(crate) struct DayArgs {
    /// The day, such as 2026-12-07.
    date: String,
    /// The gym's folder.
    #[arg(long)]
    gym: PathBuf,
    /// Write each class's plan as NAME.json into this folder, which has to be new or empty: all of them or none.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Print the day as one JSON document (see `classwright schema day`).
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    cache: CacheArgs,
}

/// Plans, writes and prints. A policy that failed sets the exit code; the plans are there all the same.
pub(crate) fn run(args: &DayArgs) -> Result<Output, CliError> {
    let day = plan_day(&DayRequest { gym: &args.gym, date: &args.date, cache_dir: args.cache.dir() })?;
    if let Some(folder) = &args.out {
        write(folder, &day.document)?;
    }
    let text = if args.json { json(&day.document)? } else { show::day(&day.document) };
    let unplanned = day.no_floor_plan.map(|class| {
        CliError::new(format!("error: there is no floor plan for {class}; the cautions about the class say why"), 6)
    });
    Ok(Output { text, after: day.failure.as_ref().map(CliError::from).or(unplanned) })
}

/// All plans are written beside the folder first, which then takes its name at one stroke.
fn write(folder: &Path, day: &DayDoc) -> Result<(), CliError> {
    let failed = |path: &Path, error: &std::io::Error| CliError::new(format!("error: {}: {error}", path.display()), 3);
    if folder.is_dir() {
        fs::remove_dir(folder).map_err(|_| {
            let problem = "is there and not empty; name a new folder, or take away what is in it";
            CliError::new(format!("error: {}: {problem}", folder.display()), 3)
        })?;
    }
    let name = folder
        .file_name()
        .ok_or_else(|| CliError::new(format!("error: {}: is no name for a new folder", folder.display()), 3))?;
    let beside = folder.with_file_name(format!(".{}.{}", name.to_string_lossy(), std::process::id()));
    let all = || -> Result<(), CliError> {
        fs::create_dir(&beside).map_err(|error| failed(folder, &error))?;
        for class in &day.classes {
            let path = beside.join(format!("{}.json", class.class));
            fs::write(&path, json(&class.plan)?).map_err(|error| failed(&path, &error))?;
        }
        fs::rename(&beside, folder).map_err(|error| failed(folder, &error))
    };
    all().inspect_err(|_| {
        // What is half written is of no use; that it cannot be taken away is no more than what is told already.
        let _ = fs::remove_dir_all(&beside);
    })
}
