//! Faults in a row: counted after every plan that is kept, until one too many takes the policy out of the order.

use std::collections::BTreeSet;

use classwright_store::db::{DbError, Write, shelf};
use serde_json::json;

use super::SetAsideDoc;
use crate::document::{FaultDoc, PlanDoc};

/// So many classes at fault in a row, and a policy is not asked any more.
pub const FAULTS_IN_A_ROW: i64 = 3;

/// Counts what a plan says of the policies on the shelf: one more for a fault, none for a class without. To be called in
/// the change that keeps the plan. A policy that was gone over to another component since is not concerned.
pub async fn note_outcome(change: &mut Write, plan: &str, document: &PlanDoc) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let asked: BTreeSet<&str> = document.components.iter().map(|component| component.digest.as_str()).collect();
    let fault = |digest: &str| document.faults.iter().rev().find(|fault| fault.digest == digest);
    for entry in shelf::whole(change.conn(), &gym).await?.into_iter().filter(shelf::Entry::is_asked) {
        match fault(&entry.digest) {
            Some(fault) if entry.faults + 1 >= FAULTS_IN_A_ROW => {
                set_aside(change, plan, document, &entry.policy, fault).await?;
            }
            Some(_) => shelf::count_faults(change, &entry.policy, entry.faults + 1).await?,
            None if entry.faults > 0 && asked.contains(entry.digest.as_str()) => {
                shelf::count_faults(change, &entry.policy, 0).await?;
            }
            None => {}
        }
    }
    Ok(())
}

/// Only ids go into entry, ledger and event: the sentences may speak of people, and stand in the plan.
async fn set_aside(
    change: &mut Write,
    plan: &str,
    document: &PlanDoc,
    policy: &str,
    fault: &FaultDoc,
) -> Result<(), DbError> {
    let class = document.session.class.clone().unwrap_or_default();
    let aside = SetAsideDoc {
        class: class.clone(),
        plan: plan.to_owned(),
        at: change.at(),
        version: fault.version.clone(),
        digest: fault.digest.clone(),
        call: fault.call.clone(),
        kind: fault.kind.clone(),
        rule: fault.rule.clone(),
    };
    let detail = json!({
        "policy": policy, "version": aside.version, "digest": aside.digest, "call": aside.call, "kind": aside.kind,
        "rule": aside.rule, "class": class, "plan": plan, "faults-in-a-row": FAULTS_IN_A_ROW,
    });
    let aside = serde_json::to_value(aside).map_err(|error| DbError::Damaged(error.to_string()))?;
    shelf::edit(change, policy, None, |entry| {
        (entry.faults, entry.set_aside) = (entry.faults + 1, Some(aside));
    })
    .await?;
    change.note("policy.set-aside", &format!("policy:{policy}"), detail.clone()).await?;
    change.tell(&class, "policy-set-aside", &detail).await
}
