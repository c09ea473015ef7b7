//! Components that plans are made with: fetched from the gym's data, loaded once, kept by digest while there is room.

use std::collections::BTreeMap;
use std::sync::Arc;

use classwright_policies::{FailureKind, Limits, PolicyFailure, Runtime};
use classwright_store::db::{AnyConnection, DbError, components};
use moka::sync::Cache;

use crate::AppError;
use crate::inputs::ShelfInput;
use crate::shelf::Loaded;

/// Components that are kept loaded, of all gyms together.
const KEPT: u64 = 64;

/// Loaded components by digest and the limits under which they said what they are.
#[derive(Clone)]
pub(super) struct Components {
    runtime: Runtime,
    loaded: Cache<(String, String), Loaded>,
}

/// What one plan is made with.
pub(super) struct AtHand {
    components: Components,
    /// Bytes of what is not loaded yet; `None` where the gym does not have it any more.
    fetched: BTreeMap<String, Option<Arc<[u8]>>>,
}

impl Components {
    pub(super) fn new(runtime: &Runtime) -> Components {
        Components { runtime: runtime.clone(), loaded: Cache::new(KEPT) }
    }

    /// Fetches what a gym's shelf needs. Nothing is compiled or called yet.
    pub(super) async fn fetch(
        &self,
        conn: &mut AnyConnection,
        gym: &str,
        shelf: &[ShelfInput],
    ) -> Result<AtHand, AppError> {
        let mut fetched = BTreeMap::new();
        for entry in shelf {
            if fetched.contains_key(&entry.digest) {
                continue;
            }
            if self.loaded.contains_key(&key(&entry.digest, &entry.limits())) {
                // Loaded for whichever gym: this one must have it too.
                if components::find(conn, gym, &entry.digest).await?.is_none() {
                    fetched.insert(entry.digest.clone(), None);
                }
                continue;
            }
            let bytes = match components::bytes(conn, gym, &entry.digest).await {
                Ok(bytes) => Some(bytes.into()),
                Err(DbError::Missing { .. }) => None,
                Err(error) => return Err(error.into()),
            };
            fetched.insert(entry.digest.clone(), bytes);
        }
        Ok(AtHand { components: self.clone(), fetched })
    }
}

impl AtHand {
    /// Digests of what the gym does not have any more.
    pub(super) fn gone(&self) -> Vec<String> {
        let gone = self.fetched.iter().filter(|(_, bytes)| bytes.is_none());
        gone.map(|(digest, _)| digest.clone()).collect()
    }

    /// A component, asked what it is. Long where it is not compiled yet: for the pool only.
    pub(super) fn load(&self, digest: &str, limits: &Limits) -> Result<Loaded, PolicyFailure> {
        let Components { runtime, loaded } = &self.components;
        let key = key(digest, limits);
        let bytes = match self.fetched.get(digest) {
            Some(None) => return Err(gone(digest)),
            Some(Some(bytes)) => Some(bytes),
            None => None,
        };
        if let Some(loaded) = loaded.get(&key) {
            return Ok(loaded);
        }
        let bytes = bytes.ok_or_else(|| gone(digest))?;
        let new = Loaded::new(runtime, bytes, limits)?;
        loaded.insert(key, new.clone());
        Ok(new)
    }
}

fn key(digest: &str, limits: &Limits) -> (String, String) {
    (digest.to_owned(), format!("{limits:?}"))
}

fn gone(digest: &str) -> PolicyFailure {
    let kind = FailureKind::Incompatible {
        found: "nothing: the component is not kept any more".into(),
        wanted: "a component of the gym".into(),
    };
    PolicyFailure { policy: String::new(), version: String::new(), digest: digest.to_owned(), call: "load", kind }
}
