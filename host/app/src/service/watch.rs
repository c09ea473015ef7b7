//! How the service is: for whoever watches over the host.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use super::Service;

/// How full the places for planning are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PoolState {
    /// How many there are.
    pub places: u32,
    /// How many are taken.
    pub running: u32,
    /// How many wait for one.
    pub waiting: u32,
    /// Whether whoever comes next may be told to come back.
    pub full: bool,
}

/// How many connections to the data there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DbState {
    /// How many are open.
    pub open: u32,
    /// How many of these nobody uses.
    pub idle: u32,
}

/// Calls of a policy that went alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GuestCalls {
    /// Digest of the component.
    pub digest: String,
    /// What was called.
    pub call: String,
    /// `answered`, or the kind of the failure.
    pub outcome: String,
    /// How many.
    pub count: u64,
}

/// The calls of policies since the start.
#[derive(Debug, Default)]
pub(super) struct Counts(Mutex<BTreeMap<(String, String, String), u64>>);

impl Counts {
    fn add(&self, digest: &str, call: &str, outcome: &str) {
        let mut counts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        *counts.entry((digest.to_owned(), call.to_owned(), outcome.to_owned())).or_default() += 1;
    }
}

impl Service {
    /// Counts a call of a policy.
    pub(super) fn count_guest_call(&self, digest: &str, call: &str, outcome: &str) {
        self.counts().add(digest, call, outcome);
    }

    /// Calls of policies since the start.
    pub fn guest_calls(&self) -> Vec<GuestCalls> {
        let counts = self.counts().0.lock().unwrap_or_else(PoisonError::into_inner);
        let calls = counts.iter().map(|((digest, call, outcome), count)| GuestCalls {
            digest: digest.clone(),
            call: call.clone(),
            outcome: outcome.clone(),
            count: *count,
        });
        calls.collect()
    }

    /// How many connections to the data there are.
    pub fn db_state(&self) -> DbState {
        let (open, idle) = self.db().connections();
        DbState { open, idle }
    }

    /// How full the places for planning are.
    pub fn pool_state(&self) -> PoolState {
        self.pool().state()
    }
}
