//! From what went wrong inside to what is told outside.

use axum::extract::rejection::{JsonRejection, QueryRejection};
use classwright_app::{AppError, DbError};
use serde_json::{Value, json};

use super::{Fault, Kind, Problem};

impl From<AppError> for Problem {
    fn from(error: AppError) -> Self {
        let words = error.to_string();
        match error {
            AppError::Db(error) => Problem::from(error),
            AppError::Policy(failure) => Problem {
                urn: failure.kind.problem_type().to_owned(),
                title: "A policy failed.",
                ..Kind::Input.with(failure.kind.for_coach())
            }
            .member("author", failure.kind.for_author())
            .member("policy", failure.policy.as_str())
            .member("version", failure.version.as_str())
            .member("digest", failure.digest.as_str())
            .member("call", failure.call),
            AppError::Gym(files) => {
                let faults = files.into_iter().map(|at| Fault {
                    file: Some(at.file.display().to_string()),
                    line: at.line,
                    column: None,
                    field: at.field,
                    problem: at.problem,
                });
                Problem { faults: faults.collect(), ..Kind::Gym.with(words) }
            }
            AppError::Session { path, errors, .. } => {
                let faults = errors.into_iter().map(|at| Fault {
                    file: Some(path.display().to_string()),
                    line: Some(at.line),
                    column: Some(at.column),
                    field: None,
                    problem: at.to_string(),
                });
                Problem { faults: faults.collect(), ..Kind::Session.with(words) }
            }
            AppError::FloorFile { misfits, .. } => {
                let faults = misfits.into_iter().map(|at| Fault {
                    field: (!at.place.is_empty()).then_some(at.place),
                    problem: at.problem,
                    ..Fault::default()
                });
                Problem { faults: faults.collect(), ..Kind::Input.with(words) }
            }
            AppError::Input { field, problem } => {
                Kind::Input.with(words).fault(Fault { field, problem, ..Fault::default() })
            }
            AppError::NoneLeft { because, causes } => {
                Kind::NoFloorPlan.with(words).member("because", because).member("causes", causes)
            }
            AppError::NoSuch { what, id, nearest } => {
                Kind::Input.with(words).member("what", what).member("id", id).member("nearest", nearest)
            }
            AppError::NoSession
            | AppError::Beside { .. }
            | AppError::BesideNoClass
            | AppError::Day(_)
            | AppError::PlanFile { .. }
            | AppError::Replan(_) => Kind::Input.with(words),
            AppError::NotAllowed(_) => Kind::NotAllowed.with(words),
            AppError::Overloaded { retry_after_s } => {
                Kind::Overloaded.with(words).retry_after(retry_after_s).member("retry-after-s", retry_after_s)
            }
            AppError::File { .. } => {
                Kind::File.with("the host could not read or write one of its files: its log says which").log(words)
            }
            AppError::Runtime(_) => Kind::Runtime.with("policies cannot run on this host: its log says why").log(words),
            AppError::Fault(_) => {
                Kind::Fault.with("this is a fault in classwright: the host's log says more").log(words)
            }
        }
    }
}

impl From<DbError> for Problem {
    fn from(error: DbError) -> Self {
        let words = error.to_string();
        let named = |problem: Problem, what: &str, id: String| problem.member("what", what).member("id", id);
        match error {
            DbError::Missing { what, id } => named(Kind::Missing.with(words), what, id),
            DbError::Exists { what, id } => named(Kind::Exists.with(words), what, id),
            DbError::Needed { what, id, .. } => named(Kind::Needed.with(words), what, id),
            DbError::Stale { what, id, now } => named(Kind::Stale.with(words), what, id).member("revision", now),
            DbError::OtherCall { .. } => Kind::KeyUsed.with(words),
            DbError::Repeated { .. } => Kind::SameCall.with(words),
            DbError::Busy => Kind::NoData.with(words).retry_after(1),
            DbError::Damaged(_) => Kind::Damaged.with("the data is damaged: restore a backup").log(words),
            DbError::Open { .. } | DbError::Sql(_) => {
                Kind::NoData.with("the database did not answer as it should: try again").retry_after(1).log(words)
            }
        }
    }
}

impl From<JsonRejection> for Problem {
    fn from(rejection: JsonRejection) -> Self {
        use std::error::Error;
        let words = |error: &dyn Error| error.source().map_or_else(|| error.to_string(), ToString::to_string);
        match rejection {
            JsonRejection::JsonDataError(error) => {
                let words = words(&error);
                let (field, problem) = match words.split_once(": ") {
                    Some((path, problem)) if !path.contains(' ') => (Some(path.to_owned()), problem.to_owned()),
                    _ => (None, words.clone()),
                };
                Kind::Input.with(words).fault(Fault { field, problem, ..Fault::default() })
            }
            JsonRejection::JsonSyntaxError(error) => {
                Kind::Malformed.with(format!("the body is no JSON: {}", words(&error)))
            }
            JsonRejection::MissingJsonContentType(_) => {
                Kind::MediaType.with("send JSON, with `Content-Type: application/json`")
            }
            other if other.status() == Kind::TooLarge.status() => too_large(),
            other => Kind::Malformed.with(format!("the body cannot be read: {}", other.body_text())),
        }
    }
}

/// What was sent is larger than a path takes.
pub(crate) fn too_large() -> Problem {
    Kind::TooLarge.with("the body is larger than this path takes: send less, or have the host's limit raised")
}

impl From<QueryRejection> for Problem {
    fn from(rejection: QueryRejection) -> Self {
        Kind::Malformed.with(format!("what stands after `?` cannot be read: {}", rejection.body_text()))
    }
}

/// The problem of a path segment that nothing can be called.
pub(crate) fn no_such_id(id: &str) -> Problem {
    let shown: Value = json!(id.chars().filter(|c| !c.is_control()).take(60).collect::<String>());
    Kind::Missing.with(format!("there is nothing with the id {shown}"))
}
