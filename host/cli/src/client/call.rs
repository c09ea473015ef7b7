//! A call and its answer, whichever way it goes.

use std::hash::{BuildHasher, Hasher, RandomState};

use serde::de::DeserializeOwned;
use serde_json::Value;

use super::path::Path;
use super::problem;
use crate::error::CliError;

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Method {
    /// Looked at.
    Get,
    /// Made or done.
    Post,
    /// Set whole.
    Put,
    /// Set in part.
    Patch,
    /// Removed.
    Delete,
}

/// What is sent.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Body {
    /// Nothing.
    Empty,
    /// JSON.
    Json(Value),
    /// A text of a media type.
    Text(&'static str, String),
    /// A file of a media type.
    Bytes(&'static str, Vec<u8>),
}

/// A call.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Call {
    pub(super) method: Method,
    pub(super) path: Path,
    pub(super) body: Body,
    pub(super) revision: Option<String>,
    /// The key by which a call that was sent twice is known.
    pub(super) key: Option<String>,
    pub(super) headers: Vec<(&'static str, String)>,
}

/// What is answered.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(super) status: u16,
    pub(super) revision: Option<String>,
    /// What a login is kept by.
    pub(super) cookie: Option<String>,
    pub(super) body: Vec<u8>,
}

impl Call {
    /// A call that sends nothing.
    pub(crate) fn new(method: Method, path: Path) -> Call {
        Call { method, path, body: Body::Empty, revision: None, key: None, headers: Vec::new() }
    }

    /// It sends this.
    pub(crate) fn body(mut self, body: impl Into<Body>) -> Call {
        self.body = body.into();
        self
    }

    /// It changes this revision.
    pub(crate) fn revision(mut self, revision: &str) -> Call {
        self.revision = Some(revision.to_owned());
        self
    }

    /// It says this too.
    pub(crate) fn header(mut self, name: &'static str, value: impl Into<String>) -> Call {
        self.headers.push((name, value.into()));
        self
    }

    /// The call, with what it shows of whoever is logged in.
    pub(super) fn shows(&self, who: &[(&'static str, String)]) -> Call {
        let mut call = self.clone();
        call.headers.extend_from_slice(who);
        call
    }

    /// It is done once, however often it is sent.
    pub(super) fn once(mut self) -> Call {
        // Each of these hashes nothing under two random numbers of the system's.
        let random = || RandomState::new().build_hasher().finish();
        self.key = Some(format!("{:016x}{:016x}", random(), random()));
        self
    }

    /// Every header with its value, but who calls and the key.
    pub(super) fn all_headers(&self) -> Vec<(&'static str, &str)> {
        let mut all: Vec<(&'static str, &str)> =
            self.headers.iter().map(|(name, value)| (*name, value.as_str())).collect();
        match &self.body {
            Body::Empty => {}
            Body::Json(_) => all.push(("content-type", "application/json")),
            Body::Text(kind, _) | Body::Bytes(kind, _) => all.push(("content-type", kind)),
        }
        all.extend(self.revision.as_deref().map(|revision| ("if-match", revision)));
        all
    }
}

impl Method {
    /// As it is sent.
    pub(super) fn name(self) -> &'static str {
        match self {
            Method::Get => "GET",
            Method::Post => "POST",
            Method::Put => "PUT",
            Method::Patch => "PATCH",
            Method::Delete => "DELETE",
        }
    }
}

impl Body {
    /// As it is sent.
    pub(super) fn bytes(&self) -> Vec<u8> {
        match self {
            Body::Empty => Vec::new(),
            Body::Json(value) => value.to_string().into_bytes(),
            Body::Text(_, text) => text.clone().into_bytes(),
            Body::Bytes(_, bytes) => bytes.clone(),
        }
    }
}

impl From<Value> for Body {
    fn from(value: Value) -> Body {
        Body::Json(value)
    }
}

impl Answer {
    /// The answer, unless it is a problem.
    pub(super) fn or_problem(self) -> Result<Answer, CliError> {
        match self.status {
            200..=299 => Ok(self),
            status => Err(problem::error(status, &self.body)),
        }
    }

    /// Whether there is no such thing; not where there is no such path, or no such gym.
    pub(super) fn is_missing(&self) -> bool {
        self.status == 404 && problem::missing(&self.body).is_some_and(|what| what != "gym")
    }

    /// Whether there is no such gym.
    pub(super) fn is_no_gym(&self) -> bool {
        self.status == 404 && problem::missing(&self.body).as_deref() == Some("gym")
    }

    /// Its text.
    pub(crate) fn text(&self) -> Result<&str, CliError> {
        std::str::from_utf8(&self.body).map_err(|error| Answer::strange(&error))
    }

    /// The document, as it was sent, with a line end.
    pub(crate) fn document(&self) -> Result<String, CliError> {
        let text = self.text()?.trim_end();
        Ok(if text.is_empty() { String::new() } else { format!("{text}\n") })
    }

    /// What it says in JSON.
    pub(crate) fn json(&self) -> Result<Value, CliError> {
        self.read()
    }

    /// What it says in JSON, as something that is known here.
    pub(crate) fn read<T: DeserializeOwned>(&self) -> Result<T, CliError> {
        serde_json::from_slice(&self.body).map_err(|error| Answer::strange(&error))
    }

    /// The revision that what was read is at.
    pub(crate) fn revision(&self) -> Result<&str, CliError> {
        self.revision.as_deref().ok_or_else(|| Answer::strange(&"it names no revision"))
    }

    /// An answer that no host of this version gives.
    pub(crate) fn strange(why: &dyn std::fmt::Display) -> CliError {
        let text = format!("error: the host's answer is not understood ({why}): is it a classwright of this version?");
        CliError::new(text, 3)
    }
}
