//! `classwright policy`: build, look into and check a policy.

use std::path::{Path, PathBuf};

use classwright_app::AppError;
use classwright_kit::{BuildError, CasesError, Record};
use classwright_policies::{Limits, Runtime, RuntimeOptions};
use serde::Serialize;

use crate::error::CliError;
use crate::{Output, json};

/// Exit code for a policy that cannot be built or does not pass its cases.
const NOT_FIT: u8 = 5;

/// Build, look into and check policies.
#[derive(clap::Subcommand)]
pub(crate) enum PolicyCommand {
    /// Build a policy's component from its source folder and write it beside the source.
    Build {
        /// The policy's folder.
        dir: PathBuf,
    },
    /// Say what a component is: kinds, imports, digest, what it says of itself.
    Show {
        /// The component file.
        file: PathBuf,
        /// Print JSON.
        #[arg(long)]
        json: bool,
    },
    /// Run a policy's cases through its built component.
    Check {
        /// The policy's folder, with the component and `cases/`.
        dir: PathBuf,
    },
}

/// Runs the command.
pub(crate) fn run(command: &PolicyCommand) -> Result<Output, CliError> {
    match command {
        PolicyCommand::Build { dir } => build(dir).map(Output::from),
        PolicyCommand::Show { file, json } => show(file, *json).map(Output::from),
        PolicyCommand::Check { dir } => check(dir),
    }
}

fn build(dir: &Path) -> Result<String, CliError> {
    let built = classwright_kit::build(dir).map_err(|error| {
        let code = match error {
            BuildError::Source(_) => 2,
            BuildError::File { .. } => 3,
            BuildError::NoToolchain | BuildError::Cargo(_) | BuildError::NotAPolicy(_) => NOT_FIT,
        };
        CliError::new(format!("error: {error}"), code)
    })?;
    let Record { source_sha256, component_sha256, size, toolchain } = &built.record;
    Ok(format!(
        "{}: {size} bytes\n  component {component_sha256}\n  source    {source_sha256}\n  by {toolchain}\n",
        built.component.display()
    ))
}

/// What `policy show` says of a component.
#[derive(Serialize)]
struct Shown {
    name: String,
    version: String,
    licence: String,
    purpose: String,
    kinds: Vec<&'static str>,
    contract: String,
    digest: String,
    size: u64,
    imports: Vec<String>,
    exports: Vec<String>,
    settings_schema: serde_json::Value,
}

fn show(file: &Path, as_json: bool) -> Result<String, CliError> {
    let bytes = read(file)?;
    let policy = runtime()?.load(&bytes).map_err(|failure| CliError::from(&failure))?;
    let description = policy.describe(&Limits::default()).map_err(|failure| CliError::from(&failure))?;
    let inspection = policy.inspection();
    let settings_schema = serde_json::from_str(&description.settings_schema).map_err(|error| {
        CliError::new(format!("error: {}: its settings schema is not JSON: {error}", file.display()), NOT_FIT)
    })?;
    let shown = Shown {
        name: description.name,
        version: description.version,
        licence: description.licence,
        purpose: description.purpose,
        kinds: description.kinds.iter().map(|kind| kind.id()).collect(),
        contract: inspection.contract.to_string(),
        digest: inspection.digest.clone(),
        size: inspection.size,
        imports: inspection.imports.clone(),
        exports: inspection.exports.clone(),
        settings_schema,
    };
    if as_json {
        return json(&shown);
    }
    Ok(format!(
        "{} {} ({})\n  {}\n  kinds    {}\n  contract {}\n  digest   {}\n  size     {} bytes\n  imports  {}\n  exports  {}\n",
        shown.name,
        shown.version,
        shown.licence,
        shown.purpose,
        shown.kinds.join(", "),
        shown.contract,
        shown.digest,
        shown.size,
        shown.imports.join(", "),
        shown.exports.join(", ")
    ))
}

fn check(dir: &Path) -> Result<Output, CliError> {
    let component = classwright_kit::build::component_path(dir);
    let report = classwright_kit::run_cases(&read(&component)?, &dir.join("cases")).map_err(|error| match &error {
        CasesError::Policy(failure) => CliError::from(failure.as_ref()),
        CasesError::Case(_) => CliError::new(format!("error: {error}"), 2),
        CasesError::Runtime(_) => CliError::new(format!("error: {error}"), 4),
    })?;
    let failed: Vec<_> = report.outcomes.iter().filter(|(_, differences)| !differences.is_empty()).collect();
    let mut text = String::new();
    for (case, differences) in &failed {
        text += &format!("{case}\n");
        for difference in differences {
            text += &format!("  {difference}\n");
        }
    }
    text += &format!("{} cases, {} failed\n", report.outcomes.len(), failed.len());
    let after = match (report.outcomes.is_empty(), failed.is_empty()) {
        (true, _) => Some(CliError::new(format!("error: there are no cases in {}", dir.join("cases").display()), 2)),
        (_, true) => None,
        (_, false) => Some(CliError::new("error: the policy does not do what its cases say", NOT_FIT)),
    };
    Ok(Output { text, after })
}

fn runtime() -> Result<Runtime, CliError> {
    Ok(Runtime::new(RuntimeOptions::default()).map_err(AppError::from)?)
}

fn read(file: &Path) -> Result<Vec<u8>, CliError> {
    let failed = |error: std::io::Error| AppError::File { path: file.into(), problem: error.to_string() };
    Ok(std::fs::read(file).map_err(failed)?)
}
