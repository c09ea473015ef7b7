//! Step 8: the heat policies are asked for a floor plan, which is checked again. Where none gives one that may be
//! run, people go in turn.

use classwright_policies::{Kind, PolicyFailure};
use classwright_training::floor::{HeatsAnswer, Layout};

use crate::bouts::FloorQuestion;
use crate::draft::Draft;
use crate::floor::{self, InTurn};
use crate::plan::{By, Fault, FloorPlan};
use crate::{Class, OnShelf, ask};

/// The floor plan of a class; the draft takes the faults, the notices what the coach should know.
pub(crate) fn plan(
    class: &Class<'_>,
    question: FloorQuestion,
    draft: &mut Draft,
    notices: &mut Vec<String>,
) -> FloorPlan {
    let FloorQuestion { floor, athletes, stages, teams, misfit, notes } = question;
    notices.extend(notes);
    for part in misfit {
        let kind = class.session.parts[part].kind.id();
        notices.push(format!(
            "The teams of {kind} do not fit into the larger teams of this class, so everybody there has kit of their own."
        ));
    }
    let empty = FloorPlan {
        layout: Layout::default(),
        floor,
        athletes,
        stages,
        teams,
        lower_bound_s: None,
        optimal: false,
        by: By::Host,
    };
    if empty.athletes.is_empty() {
        notices.push("Nobody trains on the floor, so there is no floor plan.".into());
        return empty;
    }
    let causes = floor::impossible(&empty.floor);
    if !causes.is_empty() {
        notices
            .extend(causes.iter().map(|cause| named(class, &empty, &format!("No floor plan is possible: {cause}."))));
        return empty;
    }
    for entry in class.shelf.iter().filter(|entry| entry.kinds.contains(&Kind::Heats)) {
        let answer = entry.policy.plan_heats(&empty.floor, &entry.settings, class.rules.effort, &entry.limits);
        let at = draft.components.len();
        draft.components.push(ask::component(entry, Kind::Heats, answer.as_ref().ok().map(|(_, usage)| usage)));
        match answer.and_then(|(answer, _)| checked(&empty, entry, answer)) {
            Ok(answer) => {
                return FloorPlan {
                    layout: answer.plan,
                    lower_bound_s: Some(answer.lower_bound_s),
                    optimal: answer.optimal,
                    by: By::Policy(at),
                    ..empty
                };
            }
            Err(failure) => {
                let PolicyFailure { policy, version, call, kind, .. } = &failure;
                notices.push(format!("{policy} {version} ({call}): {}", kind.for_coach()));
                draft.faults.push(Fault { failure, athletes: Vec::new() });
            }
        }
    }
    in_turn(class, empty, notices)
}

/// The whole plan keeps the rules, and what is claimed of it can be true.
fn checked(plan: &FloorPlan, entry: &OnShelf, answer: HeatsAnswer) -> Result<HeatsAnswer, PolicyFailure> {
    let broken = |rule: &str, detail: String| ask::rule_broken(entry, Kind::Heats, rule, detail);
    if let Some(fault) = floor::check(&plan.floor, &answer.plan).first() {
        return Err(broken(fault.id(), fault.to_string()));
    }
    let finish = plan.floor.finish_s(&answer.plan);
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

fn in_turn(class: &Class<'_>, empty: FloorPlan, notices: &mut Vec<String>) -> FloorPlan {
    match floor::in_turn(&empty.floor) {
        Ok(InTurn { plan, heats_over }) => {
            notices
                .push("People go in turn: the plainest floor plan that keeps the rules, laid out by the host.".into());
            if heats_over > 0 {
                notices.push(format!("It has {heats_over} heats more than the gym's rules allow."));
            }
            FloorPlan { layout: plan, ..empty }
        }
        Err(causes) => {
            notices
                .extend(causes.iter().map(|cause| named(class, &empty, &format!("No floor plan was found: {cause}."))));
            empty
        }
    }
}

/// The floor counts its athletes; the coach knows them by name.
fn named(class: &Class<'_>, plan: &FloorPlan, sentence: &str) -> String {
    let mut words: Vec<String> = sentence.split(' ').map(str::to_owned).collect();
    for at in 1..words.len() {
        let digits = words[at].chars().take_while(char::is_ascii_digit).count();
        let athlete = words[at][..digits].parse().ok().and_then(|number: usize| plan.athletes.get(number));
        if let (true, Some(ix)) = (words[at - 1].to_lowercase() == "athlete", athlete) {
            words[at] = format!("{}{}", class.athlete(*ix).name, &words[at][digits..]);
            words[at - 1].clear();
        }
    }
    words.retain(|word| !word.is_empty());
    words.join(" ")
}
