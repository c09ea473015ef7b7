//! Errors at the terminal: what, where, what to do, and the exit code.

use std::process::ExitCode;

use classwright_app::AppError;
use classwright_app::document::FaultDoc;
use classwright_policies::PolicyFailure;

use crate::reckon::ReckonError;
use crate::show::session_errors;

/// An error that is ready to be printed.
#[derive(Debug)]
pub(crate) struct CliError {
    /// What is printed.
    pub(crate) text: String,
    /// The exit code.
    pub(crate) code: u8,
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

impl From<&FaultDoc> for CliError {
    /// A failure that a plan tells of.
    fn from(fault: &FaultDoc) -> Self {
        let FaultDoc { policy, version, digest, call, kind, for_coach, for_author, .. } = fault;
        let text = failure_text([policy, version, digest, call, kind, for_coach, for_author]);
        CliError::new(text, failure_code(kind))
    }
}

impl From<ReckonError> for CliError {
    fn from(error: ReckonError) -> Self {
        CliError::new(format!("error: {error}"), ReckonError::EXIT_CODE)
    }
}

fn policy_failure(failure: &PolicyFailure) -> String {
    let PolicyFailure { policy, version, digest, call, kind } = failure;
    failure_text([policy, version, digest, call, kind.id(), &kind.for_coach(), &kind.for_author()])
}

/// A policy's failure in words: policy, version, digest, call, kind, and a sentence each for the coach and the author.
pub(crate) fn failure_text([policy, version, digest, call, kind, coach, author]: [&str; 7]) -> String {
    let digest = digest.get(..12).unwrap_or(digest);
    format!("{policy} {version} ({digest}), {call}: {kind}\n  coach: {coach}\n  author: {author}")
}

/// Kinds of a policy's failure with their exit codes; the table is in DEVELOPERS.md.
const FAILURES: [(&str, u8); 10] = [
    ("incompatible", 20),
    ("import-refused", 21),
    ("out-of-fuel", 22),
    ("past-deadline", 23),
    ("memory", 24),
    ("trapped", 25),
    ("answer-malformed", 26),
    ("answer-too-large", 27),
    ("rule-broken", 28),
    ("declined", 29),
];

/// Exit code of a kind of failure that was told by its id; one of a later version is a fault.
pub(crate) fn failure_code(kind: &str) -> u8 {
    FAILURES.iter().find(|(id, _)| *id == kind).map_or(1, |(_, code)| *code)
}
