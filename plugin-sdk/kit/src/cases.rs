//! Case files against a built component, in the real host.
//!
//! The case's numbers and the host's are the same by construction (the SDK numbers a listed library as the host does),
//! which is checked before anything is asked; so an answer is put back into the case's terms field by field. Every case
//! is asked twice: a policy that answers the same question in two ways is not fit for the shelf.

use std::path::Path;
use std::sync::Arc;

use classwright_policies::{FailureKind, Kind, Limits, Policy, PolicyFailure, Runtime, RuntimeError, RuntimeOptions};
use classwright_sdk::cases::{Body, CardsCase, Case, CaseError, FloorCase, Report, read_folder};
use classwright_sdk::{Answer, Declined, heats};

mod cards;
mod floor;

/// The cases could not be run at all.
#[derive(Debug, thiserror::Error)]
pub enum CasesError {
    /// A case file cannot be read.
    #[error(transparent)]
    Case(#[from] CaseError),
    /// The host cannot start.
    #[error(transparent)]
    Runtime(#[from] RuntimeError),
    /// The component is not taken, or does not describe itself.
    #[error(transparent)]
    Policy(Box<PolicyFailure>),
}

impl From<PolicyFailure> for CasesError {
    fn from(failure: PolicyFailure) -> Self {
        CasesError::Policy(Box::new(failure))
    }
}

/// Runs the cases of a folder through a component, within the host's default limits.
pub fn run_cases(component: &[u8], folder: &Path) -> Result<Report, CasesError> {
    let cases = read_folder(folder)?;
    let policy = Runtime::new(RuntimeOptions::default())?.load(component)?;
    let limits = Limits::default();
    let kinds = policy.describe(&limits)?.kinds;
    let outcomes = cases.into_iter().map(|case| {
        let differences = run(&policy, &kinds, &case, &limits).unwrap_or_else(|problem| vec![problem]);
        (case.name, differences)
    });
    Ok(Report { outcomes: outcomes.collect() })
}

/// How the policy differs from a case; the error says why it could not be asked.
fn run(policy: &Policy, kinds: &[Kind], case: &Case, limits: &Limits) -> Result<Vec<String>, String> {
    match &case.body {
        Body::Cards(case) => {
            let kind = kind(kinds, case)?;
            let mut differences = case.check(&card_answer(policy, kind, case, limits)?);
            if card_answer(policy, kind, case, limits)? != card_answer(policy, kind, case, limits)? {
                differences.push("answers the same question in two ways".into());
            }
            Ok(differences)
        }
        Body::Floor(case) => {
            if !kinds.contains(&Kind::Heats) {
                return Err("a heats case, and the policy answers no such question".into());
            }
            let answer = floor_answer(policy, case, limits)?;
            let mut differences = case.check(&answer);
            if answer != floor_answer(policy, case, limits)? {
                differences.push("answers the same question in two ways".into());
            }
            Ok(differences)
        }
    }
}

/// The kind that a card case is for: the one it names, or the only one there is.
fn kind(kinds: &[Kind], case: &CardsCase) -> Result<Kind, String> {
    let mut of_cards = kinds.iter().copied().filter(|kind| *kind != Kind::Heats);
    match (&case.kind, of_cards.next(), of_cards.next()) {
        (Some(named), _, _) => Kind::from_id(named)
            .filter(|kind| *kind != Kind::Heats && kinds.contains(kind))
            .ok_or_else(|| format!("a {named} case, and the policy answers no such question")),
        (None, Some(only), None) => Ok(only),
        (None, Some(_), Some(_)) => {
            Err("the policy answers two kinds about cards: the case must name its `kind`".into())
        }
        (None, None, _) => Err("a case about cards, and the policy answers no such question".into()),
    }
}

fn card_answer(
    policy: &Policy,
    kind: Kind,
    case: &CardsCase,
    limits: &Limits,
) -> Result<Result<Answer, Declined>, String> {
    let host = cards::Host::new(case)?;
    let library = Arc::clone(&host.library);
    let asked = match kind {
        Kind::Scaling => policy.scale(&host.question(case), &library, limits),
        _ => policy.substitute(&host.question(case), &library, limits),
    };
    Ok(declined(asked)?.map(|(answer, _)| cards::answer(case, answer)))
}

fn floor_answer(policy: &Policy, case: &FloorCase, limits: &Limits) -> Result<Result<heats::Answer, Declined>, String> {
    let question = &case.question;
    let asked = policy.plan_heats(&floor::floor(question), &question.settings, question.effort, limits);
    Ok(declined(asked)?.map(|(answer, _)| floor::answer(question, answer)))
}

/// To decline is an answer; every other failure is the policy's fault.
fn declined<T>(asked: Result<T, PolicyFailure>) -> Result<Result<T, Declined>, String> {
    match asked {
        Ok(answer) => Ok(Ok(answer)),
        Err(PolicyFailure { kind: FailureKind::Declined { sentence }, .. }) => Ok(Err(Declined(sentence))),
        Err(failure) => Err(failure.to_string()),
    }
}
