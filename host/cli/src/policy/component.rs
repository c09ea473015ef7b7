//! Components in files: built, looked into, checked.

use std::path::Path;

use classwright_app::{AppError, look_into};
use classwright_kit::{BuildError, CasesError, Record};
use classwright_policies::{Runtime, RuntimeOptions};

use crate::client::Served;
use crate::error::CliError;
use crate::{Output, json};

/// Exit code for a policy that cannot be built or does not pass its cases.
const NOT_FIT: u8 = 5;

/// What to show.
#[derive(clap::Args)]
pub(crate) struct Show {
    /// A component file, by its ending .wasm; or the name of a policy on the shelf.
    #[arg(value_name = "FILE.wasm|NAME")]
    pub(super) what: String,
}

impl Show {
    /// Whether a file is meant.
    pub(super) fn is_a_file(&self) -> bool {
        self.what.ends_with(".wasm")
    }
}

/// Builds a policy's component.
pub(super) fn build(dir: &Path) -> Result<String, CliError> {
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

/// Says what a component is.
pub(super) fn show(Served { args, connect }: &Served<Show>) -> Result<Output, CliError> {
    let file = Path::new(&args.what);
    let (_, shown) = look_into(&runtime()?, &read(file)?)?;
    if connect.json {
        return json(&shown).map(Output::from);
    }
    let text = format!(
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
    );
    Ok(text.into())
}

/// Runs a policy's cases.
pub(super) fn check(dir: &Path) -> Result<Output, CliError> {
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
