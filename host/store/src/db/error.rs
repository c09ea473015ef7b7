//! What can go wrong with the data.

use std::path::Path;

use super::Place;

/// Why something could not be read or kept. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum DbError {
    /// The data cannot be opened.
    #[error("{place}: {problem}")]
    Open {
        /// The file or the server, without a password.
        place: String,
        /// Why, and what to do.
        problem: String,
    },
    /// There is no such thing.
    #[error("there is no {what} `{id}`")]
    Missing {
        /// For example `athlete`.
        what: &'static str,
        /// What was named.
        id: String,
    },
    /// There is one already.
    #[error("there is a {what} `{id}` already")]
    Exists {
        /// For example `athlete`.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// Somebody changed it since it was read.
    #[error("the {what} `{id}` was changed in the meantime: it is at revision {now}; read it again")]
    Stale {
        /// For example `athlete`.
        what: &'static str,
        /// Its id.
        id: String,
        /// The revision it is at.
        now: i64,
    },
    /// It is needed by something else.
    #[error("{what} `{id}` cannot be removed: {why}")]
    Needed {
        /// For example `session`.
        what: &'static str,
        /// Its id.
        id: String,
        /// By what.
        why: String,
    },
    /// A key of a call was used for another call.
    #[error("the key `{key}` was used for another call: choose a new key for each call")]
    OtherCall {
        /// The key.
        key: String,
    },
    /// The same call was made at the same time.
    #[error("the call with the key `{key}` was made already")]
    Repeated {
        /// The key.
        key: String,
    },
    /// Others keep the database busy for too long.
    #[error("the database is busy: try again")]
    Busy,
    /// What stands in the database is not what this host writes.
    #[error("the data is damaged: {0}")]
    Damaged(String),
    /// The database itself.
    #[error("the database: {0}")]
    Sql(#[source] sqlx::Error),
}

impl From<sqlx::Error> for DbError {
    fn from(error: sqlx::Error) -> DbError {
        match error {
            sqlx::Error::PoolTimedOut => DbError::Busy,
            other => DbError::Sql(other),
        }
    }
}

impl DbError {
    /// There is no such thing.
    pub fn missing(what: &'static str, id: &str) -> DbError {
        DbError::Missing { what, id: id.to_owned() }
    }

    /// There is one already.
    pub fn exists(what: &'static str, id: &str) -> DbError {
        DbError::Exists { what, id: id.to_owned() }
    }

    pub(crate) fn opening(place: &Place, error: impl std::fmt::Display) -> DbError {
        DbError::Open { place: place.shown(), problem: format!("cannot be opened: {error}") }
    }

    pub(crate) fn reading(path: &Path, error: impl std::fmt::Display) -> DbError {
        DbError::Open { place: path.display().to_string(), problem: format!("cannot be read: {error}") }
    }

    pub(crate) fn writing(path: &Path, error: impl std::fmt::Display) -> DbError {
        DbError::Open { place: path.display().to_string(), problem: format!("cannot be written: {error}") }
    }

    pub(crate) fn migrating(place: &Place, error: &sqlx::migrate::MigrateError) -> DbError {
        use sqlx::migrate::MigrateError::{VersionMissing, VersionTooNew};
        let problem = match error {
            VersionMissing(version) | VersionTooNew(version, _) => format!(
                "was written by a newer classwright (schema {version}): use that one, or restore a backup of before"
            ),
            other => format!("its schema cannot be brought up to date: {other}"),
        };
        DbError::Open { place: place.shown(), problem }
    }
}
