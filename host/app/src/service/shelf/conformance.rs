//! Whether a component does what every policy has to: asked about built-in classes, for each of its kinds, under the
//! rules that hold in a gym.
//!
//! Each class is planned twice with this policy alone. What would be a fault in a gym is one here; so are two answers to
//! one question. To decline is an answer. Nothing follows a failure of a kind: the first says enough.

use std::sync::Arc;

use classwright_planning::{OnShelf, Plan, answer, plan};
use classwright_policies::{CardQuestion, FailureKind, Kind, Limits, Policy, PolicyFailure};
use classwright_training::Kit;
use classwright_training::floor::Floor;
use classwright_training::session::Allow;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::probes::{Probe, library, probes};
use crate::document::{FaultDoc, Occasion, PlanDoc, failure_doc};
use crate::policy_doc::PolicyDoc;

/// What came of asking about the built-in classes.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ConformanceDoc {
    /// Whether every answer keeps the rules.
    pub passed: bool,
    /// What was asked, in order.
    pub probes: Vec<ProbeDoc>,
}

/// What came of one question.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ProbeDoc {
    /// `scaling`, `substitution` or `heats`.
    pub kind: String,
    /// The built-in class: `nobody`, `one`, `few` or `many`.
    pub class: String,
    /// `passed`, `declined` or `failed`.
    pub outcome: String,
    /// What went wrong, or the sentence with which it declined.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<FaultDoc>,
}

/// What a question came to.
type Asked = Result<(), PolicyFailure>;

/// Asks a policy everything.
pub(super) fn conformance(policy: &Policy, doc: &PolicyDoc) -> ConformanceDoc {
    let mut asked = Vec::new();
    for kind in doc.kinds.iter().filter_map(|kind| Kind::from_id(kind)) {
        let entry = OnShelf {
            policy: Arc::new(policy.clone()),
            name: doc.name.clone(),
            version: doc.version.clone(),
            kinds: vec![kind],
            settings: "{}".into(),
            limits: Limits::default(),
        };
        let classes = probes().iter().map(|probe| (probe.name, Some(probe)));
        for (class, probe) in [("nobody", None)].into_iter().chain(classes) {
            let came = match probe {
                None => about_nobody(&entry, kind),
                Some(probe) => about(&entry, kind, probe),
            };
            let probe = probe_doc(kind, class, came);
            let failed = probe.outcome == "failed";
            asked.push(probe);
            if failed {
                break;
            }
        }
    }
    ConformanceDoc { passed: asked.iter().all(|probe| probe.outcome != "failed"), probes: asked }
}

fn probe_doc(kind: Kind, class: &str, came: Asked) -> ProbeDoc {
    let (outcome, fault) = match came {
        Ok(()) => ("passed", None),
        Err(failure) if matches!(failure.kind, FailureKind::Declined { .. }) => ("declined", Some(failure)),
        Err(failure) => ("failed", Some(failure)),
    };
    ProbeDoc {
        kind: kind.id().into(),
        class: class.into(),
        outcome: outcome.into(),
        fault: fault.map(|failure| failure_doc(&failure, Vec::new())),
    }
}

/// A class in which nobody is: planning would not ask, and a policy has to stand it all the same.
fn about_nobody(entry: &OnShelf, kind: Kind) -> Asked {
    if kind == Kind::Heats {
        let answered = answer(&Floor { start_step_s: 1, ..Floor::default() }, std::slice::from_ref(entry), 1);
        let failure = answered.ok().and_then(|answered| answered.failures.into_iter().next());
        return failure.map_or(Ok(()), Err);
    }
    let question = CardQuestion {
        settings: &entry.settings,
        length_s: 3600,
        allow: Allow::default(),
        athletes: &[],
        parts: &[],
        cards: &[],
        floor_kit: &Kit::default(),
        home_kits: &[],
    };
    let asked = match kind {
        Kind::Scaling => entry.policy.scale(&question, library(), &entry.limits),
        _ => entry.policy.substitute(&question, library(), &entry.limits),
    };
    asked.map(|_| ())
}

/// A class planned twice the usual way.
fn about(entry: &OnShelf, kind: Kind, probe: &Probe) -> Asked {
    let shelf = std::slice::from_ref(entry);
    let class = probe.class(shelf);
    let (first, second) = (plan(&class), plan(&class));
    if let Some(fault) = first.faults.first().or(second.faults.first()) {
        return Err(fault.failure.clone());
    }
    let told = |plan: &Plan| {
        let document = PlanDoc::new(&Occasion { gym: "built-in", sheet: None }, &class, plan);
        serde_json::to_vec(&document).ok()
    };
    if told(&first) == told(&second) {
        return Ok(());
    }
    Err(PolicyFailure {
        policy: entry.name.clone(),
        version: entry.version.clone(),
        digest: entry.policy.inspection().digest.clone(),
        call: match kind {
            Kind::Scaling => "scale",
            Kind::Substitution => "substitute",
            Kind::Heats => "plan-heats",
        },
        kind: FailureKind::AnswerMalformed { what: "it answers the same question in two ways".into() },
    })
}

#[cfg(test)]
mod tests {
    use classwright_planning::By;
    use classwright_policies::{Runtime, RuntimeOptions};

    use super::*;
    use crate::policy_doc::look_into;

    /// A question that leaves a policy nothing to do would say nothing of it.
    #[test]
    fn every_built_in_class_is_asked_about_and_gives_the_house_policies_something_to_do() {
        let runtime = Runtime::new(RuntimeOptions::default()).expect("policies run on this machine");
        for kind in Kind::ALL {
            let path = format!("{}/../../plugins/{id}/{id}.wasm", env!("CARGO_MANIFEST_DIR"), id = kind.id());
            let bytes = std::fs::read(path).expect("the house policies are built");
            let (policy, doc) = look_into(&runtime, &bytes).expect("it is a policy");
            let entry = OnShelf {
                policy: Arc::new(policy),
                name: doc.name,
                version: doc.version,
                kinds: vec![kind],
                settings: "{}".into(),
                limits: Limits::default(),
            };
            for probe in probes() {
                let plan = plan(&probe.class(std::slice::from_ref(&entry)));
                assert_eq!((plan.components.len(), plan.faults.len()), (1, 0), "{kind:?}, {}", probe.name);
                let by_policy = |by: &By| matches!(by, By::Policy(_));
                let changes = plan.cards.iter().flat_map(|card| &card.trace).any(|change| by_policy(&change.by));
                match kind {
                    Kind::Heats => assert!(by_policy(&plan.floor.by), "{}", probe.name),
                    // One healthy person in a full hall needs no policy.
                    _ => assert!(changes || probe.name == "one", "{kind:?}, {}", probe.name),
                }
            }
        }
    }
}
