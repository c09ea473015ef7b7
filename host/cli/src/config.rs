//! `classwright config`: how a host is set up.

use std::path::PathBuf;

use classwright_web::{SettingFault, Settings};

use crate::Output;
use crate::error::CliError;

/// How a host is set up.
#[derive(clap::Subcommand)]
pub(crate) enum ConfigCommand {
    /// Say what is wrong with the settings, all of it: those in a file, and those in the environment.
    Check {
        /// The settings file; the environment alone where it is left out.
        file: Option<PathBuf>,
    },
    /// Print a settings file with every setting at its default, and what it does.
    Sample,
}

/// Runs the command.
pub(crate) fn run(command: &ConfigCommand) -> Result<Output, CliError> {
    match command {
        ConfigCommand::Sample => Ok(classwright_web::sample_settings().into()),
        ConfigCommand::Check { file } => {
            let (settings, mut faults) = read(file.as_ref());
            faults.extend(settings.check());
            right(&faults)?;
            let what = file.as_ref().map_or_else(|| "the environment".into(), |file| file.display().to_string());
            Ok(format!("{what}: nothing to mend\n").into())
        }
    }
}

/// Settings from a file and the environment.
pub(crate) fn read(file: Option<&PathBuf>) -> (Settings, Vec<SettingFault>) {
    Settings::read(file.map(PathBuf::as_path), |name| std::env::var(name).ok())
}

/// An error unless nothing is wrong.
pub(crate) fn right(faults: &[SettingFault]) -> Result<(), CliError> {
    if faults.is_empty() {
        return Ok(());
    }
    let lines: String = faults.iter().map(|fault| format!("{fault}\n")).collect();
    let many = faults.len();
    let settings = if many == 1 { "setting" } else { "settings" };
    Err(CliError::new(format!("{lines}error: {many} {settings} to mend"), 2))
}
