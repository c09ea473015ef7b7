//! The house heat policy, which ships within the command.
//!
//! It stands in where no shelf is at hand, and for questions that ask for it by name. It goes the same way as every
//! other policy: loaded, limited, and held against the host's own checks.

use std::sync::Arc;
use std::time::Duration;

use classwright_planning::OnShelf;
use classwright_policies::{Limits, Runtime};

use crate::AppError;

/// The component as it is built and pinned in `plugins/heats`.
const HEATS: &[u8] = include_bytes!("../../../plugins/heats/heats.wasm");

/// The house heat policy, with its own defaults for settings.
pub(crate) fn house_heats(runtime: &Runtime) -> Result<OnShelf, AppError> {
    heats_policy(runtime, HEATS)
}

/// A heat policy by itself, with room for a long search and without settings.
pub(crate) fn heats_policy(runtime: &Runtime, component: &[u8]) -> Result<OnShelf, AppError> {
    let limits = heats_limits();
    let failed = |failure| AppError::Policy(Box::new(failure));
    let policy = runtime.load(component).map_err(failed)?;
    let description = policy.describe(&limits).map_err(failed)?;
    Ok(OnShelf {
        policy: Arc::new(policy),
        name: description.name,
        version: description.version,
        kinds: description.kinds,
        settings: "{}".into(),
        limits,
    })
}

/// The search for a floor plan is the long call; memory is what the runtime's pool gives.
fn heats_limits() -> Limits {
    Limits { fuel: 20_000_000_000, wall: Duration::from_secs(60), ..Limits::default() }
}
