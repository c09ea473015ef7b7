//! The house heat policy, asked as the command asks it.

use std::path::PathBuf;

use classwright_app::floor_file::{FloorFile, read_floor};
use classwright_planning::floor::{check, objective};
use classwright_policies::{FailureKind, Limits, Policy, Runtime, RuntimeOptions};
use classwright_training::floor::{Floor, HeatsAnswer};
use serde_json::Value;

/// The component, loaded.
pub(crate) struct House {
    policy: Policy,
    _runtime: Runtime,
}

/// A file of `tests/data/heats`.
pub(crate) fn data(name: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/data/heats")).join(name)
}

/// JSON in a file of `tests/data/heats`.
pub(crate) fn json_file(name: &str) -> Value {
    let text = std::fs::read_to_string(data(name)).expect("the file is there");
    serde_json::from_str(&text).expect("the file is JSON")
}

/// A floor as the command reads it.
pub(crate) fn floor_file(floor: &Value) -> FloorFile {
    read_floor(floor.to_string().as_bytes()).unwrap_or_else(|misfits| panic!("{misfits:?}\n{floor}"))
}

impl House {
    pub(crate) fn new() -> Self {
        let cache_dir = Some(PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("heats-cache"));
        let runtime = Runtime::new(RuntimeOptions { cache_dir, ..RuntimeOptions::default() }).expect("a runtime");
        let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../plugins/heats/heats.wasm");
        let policy = runtime.load(&std::fs::read(file).expect("it is built")).expect("the host takes it");
        House { policy, _runtime: runtime }
    }

    /// An answer that the host takes: its checks find no fault, and what it claims can be true. None where the policy
    /// says that it has no plan.
    pub(crate) fn solve(&self, floor: &Floor, effort: u64) -> Option<HeatsAnswer> {
        let limits = Limits { fuel: u64::MAX / 4, wall: std::time::Duration::from_secs(600), ..Limits::default() };
        let answer = match self.policy.plan_heats(floor, "{}", effort, &limits) {
            Ok((answer, _)) => answer,
            Err(failure) => match failure.kind {
                FailureKind::Declined { .. } => return None,
                _ => panic!("{failure}"),
            },
        };
        let faults = check(floor, &answer.plan);
        assert!(faults.is_empty(), "{faults:?}");
        let finish = objective(floor, &answer.plan).0;
        assert!(answer.lower_bound_s <= finish, "bound {} of a plan that ends at {finish}", answer.lower_bound_s);
        assert!(!answer.optimal || answer.lower_bound_s == finish, "proven without a bound that says so");
        Some(answer)
    }
}
