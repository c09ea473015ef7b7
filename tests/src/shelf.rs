//! Policies on a shelf, and what a plan says of them.

use std::sync::Arc;

use classwright_planning::{By, OnShelf, Plan};
use classwright_policies::{Limits, PolicyFailure, Runtime, RuntimeOptions};
use classwright_training::Piece;

/// A runtime as a test wants it: nothing kept on disk.
pub fn runtime() -> Runtime {
    Runtime::new(RuntimeOptions::default()).expect("the policy runtime starts on this machine")
}

/// Loads a component and asks it what it is, as the app does when it opens a gym's shelf.
pub fn shelve(runtime: &Runtime, bytes: &[u8], limits: Limits) -> Result<OnShelf, PolicyFailure> {
    let policy = runtime.load(bytes)?;
    let description = policy.describe(&limits)?;
    let (name, version, kinds) = (description.name, description.version, description.kinds);
    Ok(OnShelf { policy: Arc::new(policy), name, version, kinds, settings: "{}".into(), limits })
}

/// Everything that a plan says to people, but for who failed: each card with its loads and trace, with policies by
/// name. Two plans that tell the same are the same to the class.
pub fn told(plan: &Plan) -> Vec<String> {
    let by = |by: &By| match by {
        By::Policy(at) => format!("{} {}", plan.components[*at].name, plan.components[*at].version),
        By::Coach => "coach".to_owned(),
        By::Host => "host".to_owned(),
    };
    let card = |card: &classwright_planning::PlannedCard| {
        let trace = card.trace.iter().map(|change| {
            let classwright_planning::Change { piece, by: who, rule, why, from, to } = change;
            format!("\n  piece {piece}, {}, {rule}: {why}\n    {from:?}\n    {to:?}", by(who))
        });
        format!("{:?}\n{:?}{}", card.card, card.made, trace.collect::<String>())
    };
    let cards = plan.cards.iter().map(card);
    cards.chain([format!("{:?}\n{:?}", plan.floor.floor, plan.floor.layout)]).collect()
}

/// The pieces of an athlete's card before anybody changed them.
pub fn undone(plan: &Plan, athlete: usize) -> Vec<Piece> {
    let planned = &plan.cards[athlete];
    let mut pieces = planned.card.pieces.clone();
    for change in planned.trace.iter().rev() {
        pieces[change.piece] = change.from.clone();
    }
    pieces
}
