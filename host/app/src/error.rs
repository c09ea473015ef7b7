//! What can go wrong before there is a plan. What goes wrong with a policy while planning is part of the plan.

use std::path::PathBuf;

use classwright_policies::PolicyFailure;
use classwright_store::FileError;
use classwright_store::db::DbError;
use classwright_training::notation::NotationError;

use crate::floor_file::Misfit;

/// A use case that could not be carried out. Nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// A file cannot be read or written.
    #[error("{}: {problem}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why, in the system's words.
        problem: String,
    },
    /// The gym's files are not right.
    #[error("{} of the gym's files needs mending", count(.0.len(), "place"))]
    Gym(Vec<FileError>),
    /// The session is not right.
    #[error("{}: {} to mend", path.display(), count(errors.len(), "place"))]
    Session {
        /// Its file.
        path: PathBuf,
        /// What stands in it, as far as it is text.
        text: String,
        /// Every error.
        errors: Vec<NotationError>,
    },
    /// Somebody or something was named that the gym does not have.
    #[error("the gym has no {what} `{id}`{}", meant(nearest.as_deref()))]
    NoSuch {
        /// `athlete` or `class`.
        what: &'static str,
        /// What was named.
        id: String,
        /// The nearest id there is.
        nearest: Option<String>,
    },
    /// Neither a session nor a class was named.
    #[error("there is nothing to plan: name a session file or, with --class, a class of the gym")]
    NoSession,
    /// A plan that was named as that of another class cannot be held against this one.
    #[error("{} {problem}", path.display())]
    Beside {
        /// Its file.
        path: PathBuf,
        /// Why, and what to do.
        problem: String,
    },
    /// Other classes were named, and this one has no hour.
    #[error("--beside needs --class: without a class nobody knows when this session starts")]
    BesideNoClass,
    /// Classes of one day that cannot be held against each other.
    #[error("{0}")]
    Day(String),
    /// A floor, or a plan of one, in a file by itself is not right.
    #[error("{}: {} to mend", path.display(), count(misfits.len(), "place"))]
    FloorFile {
        /// The file.
        path: PathBuf,
        /// Every place.
        misfits: Vec<Misfit>,
    },
    /// A file that was given as a plan is none, or none that can be run.
    #[error("{}: {problem}", path.display())]
    PlanFile {
        /// Its file.
        path: PathBuf,
        /// Where in it, what, and what to do.
        problem: String,
    },
    /// What was said of a class that has changed makes no sense.
    #[error("{0}")]
    Replan(String),
    /// No plan fits the floor, or none any more after what has happened.
    #[error("no floor plan is possible{}{}", after(because), lines(causes))]
    NoneLeft {
        /// The smallest part of what has happened that makes it so; empty where nothing has.
        because: Vec<String>,
        /// Why, a sentence each.
        causes: Vec<String>,
    },
    /// The policy runtime does not start.
    #[error("{0}")]
    Runtime(#[from] classwright_policies::RuntimeError),
    /// A policy that was asked by itself failed.
    #[error("{0}")]
    Policy(Box<PolicyFailure>),
    /// The data: it cannot be had, or it stands otherwise than was thought.
    #[error("{0}")]
    Db(#[from] DbError),
    /// What was asked for or sent makes no sense.
    #[error("{}{problem}", at(field.as_deref()))]
    Input {
        /// Where in what was sent, such as `load` or `items[2].amount`.
        field: Option<String>,
        /// What is wrong, and what to do.
        problem: String,
    },
    /// They may not do that.
    #[error("{0}")]
    NotAllowed(String),
    /// Too much is being planned at once.
    #[error("too much is being planned at the moment: try again in {retry_after_s} s")]
    Overloaded {
        /// When there is likely a place.
        retry_after_s: u32,
    },
    /// A fault in classwright itself.
    #[error("this is a fault in classwright: {0}")]
    Fault(String),
}

impl AppError {
    /// Exit code of the command line; the table is in DEVELOPERS.md.
    pub fn exit_code(&self) -> u8 {
        match self {
            AppError::Gym(_) | AppError::Session { .. } | AppError::NoSuch { .. } | AppError::NoSession => 2,
            AppError::Beside { .. } | AppError::BesideNoClass | AppError::Day(_) => 2,
            AppError::FloorFile { .. } => 2,
            AppError::PlanFile { .. } | AppError::Replan(_) => 2,
            AppError::NoneLeft { .. } => 6,
            AppError::File { .. } => 3,
            AppError::Runtime(_) => 4,
            AppError::Policy(failure) => failure.kind.exit_code(),
            AppError::Input { .. } => 2,
            AppError::Db(DbError::Missing { .. } | DbError::Exists { .. } | DbError::Needed { .. }) => 2,
            AppError::Db(DbError::Stale { .. }) => 7,
            AppError::Db(_) => 3,
            AppError::NotAllowed(_) => 8,
            AppError::Overloaded { .. } => 9,
            AppError::Fault(_) => 1,
        }
    }

    /// What was sent is not right; `field` says where.
    pub fn input(field: &str, problem: impl Into<String>) -> AppError {
        AppError::Input { field: (!field.is_empty()).then(|| field.to_owned()), problem: problem.into() }
    }

    /// There is no such thing in the gym.
    pub fn missing(what: &'static str, id: &str) -> AppError {
        AppError::Db(DbError::Missing { what, id: id.to_owned() })
    }
}

fn at(field: Option<&str>) -> String {
    field.map_or(String::new(), |field| format!("{field}: "))
}

fn count(many: usize, what: &str) -> String {
    if many == 1 { format!("1 {what}") } else { format!("{many} {what}s") }
}

fn after(because: &[String]) -> String {
    if because.is_empty() { String::new() } else { format!(" with {}", because.join(", ")) }
}

fn lines(causes: &[String]) -> String {
    causes.iter().map(|cause| format!("\n  {cause}")).collect()
}

fn meant(nearest: Option<&str>) -> String {
    nearest.map_or(String::new(), |id| format!("; did you mean `{id}`?"))
}
