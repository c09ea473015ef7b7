//! Solving a floor that stands in a file by itself, so that anybody can hold the heat policy against other solvers.
//!
//! The question goes the whole way: through the component, within limits, and the answer through the host's own
//! checks. A floor that no plan fits is told with its causes, never answered with an empty plan.

use std::path::{Path, PathBuf};

use classwright_planning::OnShelf;
use classwright_planning::floor::{check, impossible, too_tight};
use classwright_policies::{FailureKind, Kind, PolicyFailure, Runtime, RuntimeOptions};
use classwright_training::floor::HeatsAnswer;

use crate::AppError;
use crate::floor_file::{FloorFile, MAX_BYTES, Misfit, SolutionDoc, read_floor};
use crate::house::{heats_policy, house_heats};

/// Fuel that a step of effort may cost, at least; what a policy calls a step is its own.
const FUEL_A_STEP: u64 = 50_000;
/// Fuel that goes into a second of the backstop by the clock, on a slow machine.
const FUEL_A_SECOND: u64 = 100_000_000;

/// The setting of the house policy for the trade between an early end and few people moved.
const SECONDS_A_PERSON: &str = "seconds-a-person";

/// What is to be solved, and by whom.
#[derive(Clone, Debug)]
pub struct SolveRequest<'a> {
    /// The floor, a file in the format `heats-1`.
    pub floor: &'a Path,
    /// The plan there is, a file in the format `heats-solution-1`: the new one changes little of it.
    pub previous: Option<&'a Path>,
    /// How long to search, in the policy's own steps; 0 leaves it to the policy.
    pub effort: u64,
    /// Another heat policy than the house's.
    pub policy: Option<&'a Path>,
    /// Where compiled components are kept between runs.
    pub cache_dir: Option<PathBuf>,
}

/// A solved floor.
#[derive(Debug)]
pub struct Solved {
    /// The floor with its names.
    pub floor: FloorFile,
    /// The plan.
    pub solution: SolutionDoc,
}

/// Solves a floor.
pub fn heats_solve(request: &SolveRequest<'_>) -> Result<Solved, AppError> {
    let mut file = read(request.floor, read_floor)?;
    let before = request.previous.map(|path| read(path, |bytes| file.read_before(bytes))).transpose()?;
    let mut causes = impossible(&file.floor);
    if causes.is_empty() {
        // The file's number of heats is no wish, as it is in a gym.
        causes = too_tight(&file.floor);
    }
    if !causes.is_empty() {
        let causes = causes.iter().map(|cause| file.named(&cause.to_string())).collect();
        return Err(AppError::NoneLeft { because: Vec::new(), causes });
    }
    let options = RuntimeOptions { cache_dir: request.cache_dir.clone(), ..RuntimeOptions::default() };
    let runtime = Runtime::new(options)?;
    let mut policy = match request.policy {
        Some(path) => named_policy(&runtime, path)?,
        None => house_heats(&runtime)?,
    };
    if before.is_some() {
        policy.settings = strict_settings(&policy)?;
    }
    widen(&mut policy, request.effort);
    file.floor.present = before.as_ref().map(|before| before.layout.clone());
    let answer = asked(&policy, &file, request.effort).map_err(|failure| AppError::Policy(Box::new(failure)))?;
    let mut solution = file.solution(&answer);
    solution.changed = before.map(|before| before.changed(&file.athletes, &file.floor, &answer.plan));
    Ok(Solved { floor: file, solution })
}

/// A heat policy from a file, or what the file is instead.
fn named_policy(runtime: &Runtime, path: &Path) -> Result<OnShelf, AppError> {
    let component = bytes(path, u64::MAX)?;
    let wrong = |problem: String| AppError::PlanFile { path: path.into(), problem };
    if !component.starts_with(b"\0asm") {
        return Err(wrong("is no WebAssembly component; name the .wasm file of a heat policy".into()));
    }
    let policy = heats_policy(runtime, &component)?;
    if !policy.kinds.contains(&Kind::Heats) {
        let kinds: Vec<&str> = policy.kinds.iter().map(|kind| kind.id()).collect();
        return Err(wrong(format!("is a policy for {}; name one for heats", kinds.join(" and "))));
    }
    Ok(policy)
}

/// JSON Schema (draft 2020-12) of a plan of a floor.
pub fn solution_schema() -> serde_json::Value {
    crate::plan_class::schema::<SolutionDoc>()
}

fn bytes(path: &Path, most: u64) -> Result<Vec<u8>, AppError> {
    use std::io::Read;
    let failed = |error: std::io::Error| AppError::File { path: path.into(), problem: error.to_string() };
    let mut bytes = Vec::new();
    std::fs::File::open(path).map_err(failed)?.take(most).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

fn read<T>(path: &Path, read: impl FnOnce(&[u8]) -> Result<T, Vec<Misfit>>) -> Result<T, AppError> {
    read(&bytes(path, MAX_BYTES + 1)?).map_err(|misfits| AppError::FloorFile { path: path.into(), misfits })
}

/// The statement's order: first everybody is done earliest, and only then few people change. A policy that trades
/// one for the other is told not to, where its schema says that it can be.
fn strict_settings(policy: &OnShelf) -> Result<String, AppError> {
    let description = policy.policy.describe(&policy.limits).map_err(|failure| AppError::Policy(Box::new(failure)))?;
    let schema: serde_json::Value = serde_json::from_str(&description.settings_schema).unwrap_or_default();
    let there = !schema["properties"][SECONDS_A_PERSON].is_null();
    Ok(if there { format!("{{\"{SECONDS_A_PERSON}\":0}}") } else { "{}".into() })
}

/// Who asks for more effort waits for it.
pub(crate) fn widen(policy: &mut OnShelf, effort: u64) {
    let fuel = effort.saturating_mul(FUEL_A_STEP).min(u64::MAX / 4);
    if fuel > policy.limits.fuel {
        policy.limits.fuel = fuel;
        policy.limits.wall += std::time::Duration::from_secs(fuel / FUEL_A_SECOND);
    }
}

/// The answer, if it keeps every rule and what it claims of itself can be true.
fn asked(policy: &OnShelf, file: &FloorFile, effort: u64) -> Result<HeatsAnswer, PolicyFailure> {
    let failed = |kind| PolicyFailure {
        policy: policy.name.clone(),
        version: policy.version.clone(),
        digest: policy.policy.inspection().digest.clone(),
        call: "plan-heats",
        kind,
    };
    let floor = &file.floor;
    let (answer, _) = policy.policy.plan_heats(floor, &policy.settings, effort, &policy.limits)?;
    let broken = |rule: &str, detail| failed(FailureKind::RuleBroken { rule: rule.into(), detail });
    if let Some(fault) = check(floor, &answer.plan).first() {
        return Err(broken(fault.id(), file.named(&fault.to_string())));
    }
    let (finish, bound) = (floor.finish_s(&answer.plan), answer.lower_bound_s);
    if bound > finish {
        let detail = format!("its plan ends at {finish} s, before its own bound of {bound} s");
        return Err(broken("bound-above-plan", detail));
    }
    if answer.optimal && bound < finish {
        let detail = format!("it calls {finish} s the best and bounds it by {bound} s only");
        return Err(broken("optimal-without-proof", detail));
    }
    Ok(answer)
}
