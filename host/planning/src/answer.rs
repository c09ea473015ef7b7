//! A floor by itself, asked of heat policies: the first answer that keeps the rules, or people in turn, or the causes.

use classwright_policies::{Kind, PolicyFailure};
use classwright_training::floor::{Floor, HeatsAnswer, Layout};

use crate::floor::{self, Cause, InTurn};
use crate::plan::Component;
use crate::{OnShelf, ask};

/// What came of asking for a plan of a floor.
#[derive(Clone, Debug)]
pub struct Answered {
    /// The plan.
    pub plan: Layout,
    /// No plan ends before this second; none where people go in turn.
    pub lower_bound_s: Option<u32>,
    /// True where the policy proved that no plan is better.
    pub optimal: bool,
    /// True where no policy gave a plan that may be run, and people go in turn.
    pub by_host: bool,
    /// Heats above the most that are allowed; people in turn may take more.
    pub heats_over: u32,
    /// The policies asked, in order.
    pub components: Vec<Component>,
    /// What went wrong with them.
    pub failures: Vec<PolicyFailure>,
}

/// A checked plan of a floor, or why there is none.
pub fn answer(floor: &Floor, shelf: &[OnShelf], effort: u64) -> Result<Answered, Vec<Cause>> {
    let causes = floor::impossible(floor);
    if !causes.is_empty() {
        return Err(causes);
    }
    let (mut components, mut failures) = (Vec::new(), Vec::new());
    for entry in shelf.iter().filter(|entry| entry.kinds.contains(&Kind::Heats)) {
        let asked = entry.policy.plan_heats(floor, &entry.settings, effort, &entry.limits);
        components.push(ask::component(entry, Kind::Heats, asked.as_ref().ok().map(|(_, usage)| usage)));
        match asked.and_then(|(answer, _)| checked(floor, entry, answer)) {
            Ok(HeatsAnswer { plan, lower_bound_s, optimal }) => {
                let lower_bound_s = Some(lower_bound_s);
                return Ok(Answered {
                    plan,
                    lower_bound_s,
                    optimal,
                    by_host: false,
                    heats_over: 0,
                    components,
                    failures,
                });
            }
            Err(failure) => failures.push(failure),
        }
    }
    let InTurn { plan, heats_over } = floor::in_turn(floor)?;
    Ok(Answered { plan, lower_bound_s: None, optimal: false, by_host: true, heats_over, components, failures })
}

/// The whole plan keeps the rules, and what is claimed of it can be true.
pub(crate) fn checked(floor: &Floor, entry: &OnShelf, answer: HeatsAnswer) -> Result<HeatsAnswer, PolicyFailure> {
    let broken = |rule: &str, detail: String| ask::rule_broken(entry, Kind::Heats, rule, detail);
    if let Some(fault) = floor::check(floor, &answer.plan).first() {
        return Err(broken(fault.id(), fault.to_string()));
    }
    let finish = floor.finish_s(&answer.plan);
    if answer.lower_bound_s > finish {
        let detail = format!("its plan ends at {finish} s, before its own bound of {} s", answer.lower_bound_s);
        return Err(broken("bound-above-plan", detail));
    }
    if answer.optimal && answer.lower_bound_s < finish {
        let detail = format!("it calls {finish} s the best and bounds it by {} s only", answer.lower_bound_s);
        return Err(broken("optimal-without-proof", detail));
    }
    Ok(answer)
}
