//! Errors at the terminal: what, where, what to do, and the exit code.

use std::process::ExitCode;

use classwright_app::AppError;
use classwright_policies::PolicyFailure;

use crate::reckon::ReckonError;
use crate::show::session_errors;

/// An error that is ready to be printed.
pub(crate) struct CliError {
    text: String,
    code: u8,
}

impl CliError {
    /// An error with its exit code.
    pub(crate) fn new(text: impl Into<String>, code: u8) -> Self {
        CliError { text: text.into(), code }
    }

    /// Something that cannot happen, and did.
    pub(crate) fn bug(error: &dyn std::error::Error) -> Self {
        CliError::new(format!("error: this is a fault in classwright: {error}"), 1)
    }

    /// Prints it to standard error.
    pub(crate) fn report(&self) -> ExitCode {
        eprintln!("{}", self.text.trim_end());
        ExitCode::from(self.code)
    }
}

impl From<AppError> for CliError {
    fn from(error: AppError) -> Self {
        let code = error.exit_code();
        let text = match &error {
            AppError::Session { path, text, errors } => {
                format!("{}\nerror: {error}", session_errors(path, text, errors))
            }
            AppError::Gym(files) => {
                let lines: Vec<String> = files.iter().map(ToString::to_string).collect();
                format!("{}\nerror: {error}", lines.join("\n"))
            }
            AppError::FloorFile { path, misfits } => {
                let lines: Vec<String> = misfits.iter().map(|misfit| format!("{}: {misfit}", path.display())).collect();
                format!("{}\nerror: {error}", lines.join("\n"))
            }
            AppError::Policy(failure) => policy_failure(failure),
            _ => format!("error: {error}"),
        };
        CliError { text, code }
    }
}

impl From<&PolicyFailure> for CliError {
    fn from(failure: &PolicyFailure) -> Self {
        CliError::new(policy_failure(failure), failure.kind.exit_code())
    }
}

impl From<ReckonError> for CliError {
    fn from(error: ReckonError) -> Self {
        CliError::new(format!("error: {error}"), ReckonError::EXIT_CODE)
    }
}

fn policy_failure(failure: &PolicyFailure) -> String {
    let PolicyFailure { policy, version, digest, call, kind } = failure;
    let digest = digest.get(..12).unwrap_or(digest);
    format!(
        "{policy} {version} ({digest}), {call}: {}\n  coach: {}\n  author: {}",
        kind.id(),
        kind.for_coach(),
        kind.for_author()
    )
}
