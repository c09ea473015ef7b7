//! The gym's shelf: components loaded, asked what they are, their settings held against their own schema.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use classwright_planning::OnShelf;
use classwright_policies::{Description, FailureKind, Limits, Policy, PolicyFailure, Runtime};
use classwright_store::{FileError, Gym, ShelfLimits};
use serde_json::Value;

use crate::AppError;

/// What stands on a shelf.
#[derive(Default)]
pub struct Shelf {
    /// Ready to be asked, in order.
    pub policies: Vec<OnShelf>,
    /// Enabled, and not to be had.
    pub unloaded: Vec<PolicyFailure>,
}

/// Loads every enabled policy of a gym. A policy that does not load is no reason not to plan; a setting that its
/// schema refuses is, since only the owner can mend it.
pub fn open_shelf(gym: &Gym, runtime: &Runtime) -> Result<Shelf, AppError> {
    let mut shelf = Shelf::default();
    let mut errors = Vec::new();
    for (at, entry) in gym.shelf.iter().enumerate().filter(|(_, entry)| entry.enabled) {
        let limits = limits(&entry.limits);
        let bytes = std::fs::read(&entry.file).map_err(|error| unreadable(&entry.file, &error));
        let loaded = bytes.and_then(|bytes| Loaded::new(runtime, &bytes, &limits));
        if let Ok(loaded) = &loaded {
            let settings = settings_errors(&entry.settings, &loaded.description.settings_schema).into_iter();
            errors.extend(settings.map(|(field, problem)| FileError {
                file: gym.folder.join("shelf.toml"),
                line: None,
                field: Some(format!("policy[{}].settings{field}", at + 1)),
                problem,
            }));
        }
        shelf.put(loaded.as_ref(), &entry.settings, limits);
    }
    if errors.is_empty() { Ok(shelf) } else { Err(AppError::Gym(errors)) }
}

/// A component with what it says of itself.
#[derive(Clone)]
pub(crate) struct Loaded {
    pub(crate) policy: Arc<Policy>,
    pub(crate) description: Description,
}

impl Loaded {
    /// Takes a component and asks it what it is.
    pub(crate) fn new(runtime: &Runtime, bytes: &[u8], limits: &Limits) -> Result<Loaded, PolicyFailure> {
        let policy = runtime.load(bytes)?;
        let description = policy.describe(limits)?;
        Ok(Loaded { policy: Arc::new(policy), description })
    }
}

impl Shelf {
    /// Puts a policy at the end, or what came of loading it.
    pub(crate) fn put(&mut self, loaded: Result<&Loaded, &PolicyFailure>, settings: &str, limits: Limits) {
        match loaded {
            Ok(Loaded { policy, description }) => self.policies.push(OnShelf {
                policy: Arc::clone(policy),
                name: description.name.clone(),
                version: description.version.clone(),
                kinds: description.kinds.clone(),
                settings: settings.to_owned(),
                limits,
            }),
            Err(failure) => self.unloaded.push(failure.clone()),
        }
    }
}

fn unreadable(file: &Path, error: &std::io::Error) -> PolicyFailure {
    let kind = FailureKind::Incompatible {
        found: format!("{}: {error}", file.display()),
        wanted: "a component file; see `classwright policy build`".into(),
    };
    let policy = file.file_stem().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    PolicyFailure { policy, version: String::new(), digest: String::new(), call: "load", kind }
}

/// The limits of a call, where the owner has set some of them.
pub(crate) fn limits(own: &ShelfLimits) -> Limits {
    let usual = Limits::default();
    Limits {
        fuel: own.fuel.unwrap_or(usual.fuel),
        wall: own.wall_ms.map_or(usual.wall, Duration::from_millis),
        memory_bytes: own.memory_mib.map_or(usual.memory_bytes, |mib| mib << 20),
        answer_bytes: own.answer_mib.map_or(usual.answer_bytes, |mib| mib << 20),
        ..usual
    }
}

/// What a policy's own schema says against the settings that the owner gave it: where in them, and what.
pub(crate) fn settings_errors(settings: &str, schema: &str) -> Vec<(String, String)> {
    let whole = |problem: String| vec![(String::new(), problem)];
    let settings: Value = match serde_json::from_str(settings) {
        Ok(settings) => settings,
        Err(error) => return whole(error.to_string()),
    };
    let schema: Result<Value, String> = serde_json::from_str(schema).map_err(|error| error.to_string());
    let validator = schema.and_then(|schema| jsonschema::draft202012::new(&schema).map_err(|error| error.to_string()));
    match validator {
        Ok(validator) => {
            let errors = validator.iter_errors(&settings);
            errors.map(|error| (error.instance_path().to_string().replace('/', "."), error.to_string())).collect()
        }
        Err(error) => whole(format!("the policy's own schema is not one: {error}")),
    }
}
