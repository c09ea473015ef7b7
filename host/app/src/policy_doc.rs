//! What a component is and what it says of itself: what `policy show` prints, and what is kept of an installed one.
//!
//! A component is refused here with the same failures that a plan would have: for another contract, for imports that no
//! policy gets, for words about itself that make no sense.

use classwright_policies::{FailureKind, Limits, Policy, PolicyFailure, Runtime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::AppError;

/// What a component is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PolicyDoc {
    /// The policy's name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its licence, an SPDX expression.
    pub licence: String,
    /// What it is for, in a line.
    pub purpose: String,
    /// What it is asked for: `scaling`, `substitution`, `heats`.
    pub kinds: Vec<String>,
    /// The newest version of the contract that it names.
    pub contract: String,
    /// SHA-256 of the component, hexadecimal.
    pub digest: String,
    /// Bytes of the component.
    pub size: u64,
    /// What it imports, sorted.
    pub imports: Vec<String>,
    /// What it exports, sorted.
    pub exports: Vec<String>,
    /// JSON Schema (2020-12) of its settings.
    pub settings_schema: Value,
}

/// Looks into a component: loads it and asks it what it is.
pub fn look_into(runtime: &Runtime, bytes: &[u8]) -> Result<(Policy, PolicyDoc), AppError> {
    let failed = |failure| AppError::Policy(Box::new(failure));
    let policy = runtime.load(bytes).map_err(failed)?;
    let doc = described(&policy).map_err(failed)?;
    Ok((policy, doc))
}

fn described(policy: &Policy) -> Result<PolicyDoc, PolicyFailure> {
    let said = policy.describe(&Limits::default())?;
    let inspection = policy.inspection();
    let malformed = |what: String| PolicyFailure {
        policy: said.name.clone(),
        version: said.version.clone(),
        digest: inspection.digest.clone(),
        call: "describe",
        kind: FailureKind::AnswerMalformed { what },
    };
    let settings_schema: Value = serde_json::from_str(&said.settings_schema)
        .map_err(|error| malformed(format!("the schema of its settings is not JSON: {error}")))?;
    jsonschema::draft202012::new(&settings_schema)
        .map_err(|error| malformed(format!("the schema of its settings is no JSON Schema: {error}")))?;
    Ok(PolicyDoc {
        name: said.name.clone(),
        version: said.version.clone(),
        licence: said.licence.clone(),
        purpose: said.purpose.clone(),
        kinds: said.kinds.iter().map(|kind| kind.id().to_owned()).collect(),
        contract: inspection.contract.to_string(),
        digest: inspection.digest.clone(),
        size: inspection.size,
        imports: inspection.imports.clone(),
        exports: inspection.exports.clone(),
        settings_schema,
    })
}
