//! From what a host answers when something is not as asked to an error at the terminal.

use classwright_web::problem::{Fault, Kind};
use serde::Deserialize;

use crate::error::{CliError, failure_code, failure_text};

/// A problem, as far as it is told to people.
#[derive(Deserialize)]
struct Problem {
    #[serde(rename = "type")]
    urn: String,
    detail: String,
    #[serde(default)]
    faults: Vec<Fault>,
    /// What is missing, where something is.
    what: Option<String>,
    /// What a policy's failure says besides.
    author: Option<String>,
    policy: Option<String>,
    version: Option<String>,
    digest: Option<String>,
    call: Option<String>,
}

/// The error for an answer that is no success.
pub(super) fn error(status: u16, body: &[u8]) -> CliError {
    match serde_json::from_slice::<Problem>(body) {
        Ok(problem) => CliError::new(problem.text(), exit_code(&problem.urn)),
        Err(_) => {
            let text =
                format!("error: the answer is {status}, and no words: is that the address of a classwright host?");
            CliError::new(text, 3)
        }
    }
}

/// What is not there, where the problem is that something is not.
pub(super) fn missing(body: &[u8]) -> Option<String> {
    let problem = serde_json::from_slice::<Problem>(body).ok()?;
    (problem.urn == Kind::Missing.urn()).then(|| problem.what.unwrap_or_default())
}

impl Problem {
    fn text(&self) -> String {
        if let Some(failure) = self.failure() {
            return failure;
        }
        let mut text = String::new();
        for fault in self.faults.iter().filter(|fault| !self.detail.contains(&fault.problem)) {
            text += &line(fault);
            text.push('\n');
        }
        text += &format!("error: {}", self.detail);
        if self.urn == Kind::LoginNeeded.urn() {
            text += "; here: --token TOKEN, or CLASSWRIGHT_TOKEN";
        }
        text
    }

    /// A policy's failure, in the words of one that was called by this process.
    fn failure(&self) -> Option<String> {
        let kind = self.urn.strip_prefix(FAILURE)?;
        let Problem { policy: Some(policy), version: Some(version), digest: Some(digest), .. } = self else {
            return None;
        };
        let call = self.call.as_deref().unwrap_or("called");
        let author = self.author.as_deref().unwrap_or_default();
        Some(failure_text([policy, version, digest, call, kind, &self.detail, author]))
    }
}

/// A place that is not right: file, line and column as compilers write them.
fn line(fault: &Fault) -> String {
    let mut text = fault.file.clone().unwrap_or_default();
    for number in [fault.line, fault.column].into_iter().flatten() {
        text += &format!(":{number}");
    }
    // A session's errors say their place themselves.
    let place = fault.line.zip(fault.column).map(|(line, column)| format!("line {line}, column {column}: "));
    let problem = place.and_then(|place| fault.problem.strip_prefix(&place)).unwrap_or(&fault.problem);
    for words in [fault.field.as_deref(), Some(problem)].into_iter().flatten() {
        text += if text.is_empty() { "" } else { ": " };
        text += words;
    }
    text
}

const FAILURE: &str = "urn:classwright:failure:";

/// Exit code for a type of problem: the one that the same thing has without a host.
fn exit_code(urn: &str) -> u8 {
    if let Some(kind) = urn.strip_prefix(FAILURE) {
        return failure_code(kind);
    }
    Kind::ALL.iter().find(|kind| kind.urn() == urn).map_or(1, |kind| code_of(*kind))
}

fn code_of(kind: Kind) -> u8 {
    match kind {
        Kind::Fault => 1,
        Kind::Malformed | Kind::Missing | Kind::NoPath | Kind::Method | Kind::Exists | Kind::Needed => 2,
        Kind::TooLarge | Kind::MediaType | Kind::Input | Kind::Gym | Kind::Session | Kind::KeyUsed => 2,
        Kind::RevisionNeeded => 2,
        Kind::Damaged | Kind::File | Kind::NoData => 3,
        Kind::Runtime => 4,
        Kind::NoFloorPlan => 6,
        Kind::Stale => 7,
        Kind::LoginNeeded | Kind::NotAllowed | Kind::ForeignPage => 8,
        Kind::Overloaded | Kind::TooMany | Kind::SameCall | Kind::Late => 9,
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use classwright_policies::FailureKind;
    use serde_json::json;

    use super::*;

    #[test]
    fn a_failure_has_the_code_that_it_has_without_a_host() {
        let word = || "something".to_owned();
        let kinds = [
            FailureKind::Incompatible { found: word(), wanted: word() },
            FailureKind::ImportRefused { imports: vec![] },
            FailureKind::OutOfFuel { fuel: 1 },
            FailureKind::PastDeadline { wall: Duration::ZERO },
            FailureKind::Memory { wanted: word(), limit: word() },
            FailureKind::Trapped { words: None, trap: word() },
            FailureKind::AnswerMalformed { what: word() },
            FailureKind::AnswerTooLarge { found: word(), limit: word() },
            FailureKind::RuleBroken { rule: word(), detail: word() },
            FailureKind::Declined { sentence: word() },
        ];
        for kind in kinds {
            assert_eq!(exit_code(kind.problem_type()), kind.exit_code(), "{}", kind.id());
        }
        assert_eq!(exit_code("urn:classwright:failure:of-a-later-version"), 1);
    }

    #[test]
    fn faults_come_line_by_line_before_the_sentence() {
        let body = json!({
            "type": "urn:classwright:problem:gym", "detail": "2 places of the gym's files need mending",
            "faults": [
                { "file": "roster.csv", "line": 3, "field": "skill", "problem": "is 9: write 1 to 5" },
                { "file": "monday.md", "line": 4, "column": 7, "problem": "line 4, column 7: found `x`" },
            ],
        });
        let error = error(422, body.to_string().as_bytes());
        let told = "roster.csv:3: skill: is 9: write 1 to 5\nmonday.md:4:7: found `x`\nerror: 2 places of the gym's files need mending";
        assert_eq!((error.text.as_str(), error.code), (told, 2));
    }

    #[test]
    fn whatever_is_no_problem_is_told_as_that() {
        assert_eq!(error(502, b"<html>").code, 3);
    }
}
