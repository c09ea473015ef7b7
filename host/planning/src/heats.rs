//! Step 8: the heat policies are asked for a floor plan, which is checked again. Where none gives one that may be
//! run, people go in turn.

use classwright_policies::{Kind, PolicyFailure};
use classwright_training::floor::{Floor, Layout};

use crate::answer::{answer, checked};
use crate::bouts::FloorQuestion;
use crate::draft::Draft;
use crate::floor::{self, Cause, InTurn, NeededLater};
use crate::plan::{By, Fault, FloorPlan};
use crate::{Class, ask};

/// The floor plan of a class that is done with some bars before another class needs them. Where it is not, those bars
/// are not to be had before the other class has put them away, and the plan is made anew.
pub(crate) fn plan_before(
    class: &Class<'_>,
    mut question: FloorQuestion,
    mut later: Vec<NeededLater>,
    draft: &mut Draft,
    notices: &mut Vec<String>,
) -> FloorPlan {
    let all = later.clone();
    let (components, faults, said) = (draft.components.len(), draft.faults.len(), notices.len());
    loop {
        let made = FloorPlan { later: all.clone(), ..plan(class, question.clone(), draft, notices) };
        let reached =
            if made.layout.starts.is_empty() { Vec::new() } else { floor::reached(&made.floor, &made.layout, &later) };
        if reached.is_empty() {
            return made;
        }
        draft.components.truncate(components);
        draft.faults.truncate(faults);
        notices.truncate(said);
        for bar in &reached {
            let free_from_s = &mut question.floor.bars[bar.bar as usize].free_from_s;
            *free_from_s = bar.to_s.max(*free_from_s);
        }
        later.retain(|bar| !reached.contains(bar));
    }
}

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
    let mut empty = FloorPlan {
        layout: Layout::default(),
        floor,
        athletes,
        stages,
        teams,
        lower_bound_s: None,
        optimal: false,
        by: By::Host,
        later: Vec::new(),
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
    for cause in floor::too_tight(&empty.floor) {
        notices.push(match cause {
            Cause::LongRest { .. } | Cause::Window { .. } => {
                named(class, &empty, &format!("No plan is done in time: {cause}."))
            }
            _ => named(class, &empty, &format!("The plan takes more heats than the gym's rules allow: {cause}.")),
        });
    }
    // Where counting asks for more heats than the rules allow, it may ask for too few still.
    let (least, rule) = (floor::heats_needed(&empty.floor), empty.floor.max_heats);
    let wide = least.saturating_mul(2).min(empty.athletes.len() as u32);
    let most = if least > rule { vec![least, wide.max(least)] } else { vec![rule] };
    let (components, faults, said) = (draft.components.len(), draft.faults.len(), notices.len());
    for most in most {
        empty.floor.max_heats = most;
        draft.components.truncate(components);
        draft.faults.truncate(faults);
        notices.truncate(said);
        if let Some(plan) = by_policy(class, &empty, draft, notices) {
            return plan;
        }
    }
    in_turn(class, empty, notices)
}

/// The first answer of the shelf that keeps every rule.
fn by_policy(class: &Class<'_>, empty: &FloorPlan, draft: &mut Draft, notices: &mut Vec<String>) -> Option<FloorPlan> {
    for entry in class.shelf.iter().filter(|entry| entry.kinds.contains(&Kind::Heats)) {
        let answer = entry.policy.plan_heats(&empty.floor, &entry.settings, class.rules.effort, &entry.limits);
        let at = draft.components.len();
        draft.components.push(ask::component(entry, Kind::Heats, answer.as_ref().ok().map(|(_, usage)| usage)));
        match answer.and_then(|(answer, _)| checked(&empty.floor, entry, answer)) {
            Ok(answer) => {
                return Some(FloorPlan {
                    layout: answer.plan,
                    lower_bound_s: Some(answer.lower_bound_s),
                    optimal: answer.optimal,
                    by: By::Policy(at),
                    ..empty.clone()
                });
            }
            Err(failure) => {
                let PolicyFailure { policy, version, call, kind, .. } = &failure;
                notices.push(format!("{policy} {version} ({call}): {}", kind.for_coach()));
                draft.faults.push(Fault { failure, athletes: Vec::new() });
            }
        }
    }
    None
}

/// When a floor is done as the shelf would plan it; none where there is no plan.
pub(crate) fn finish_s(class: &Class<'_>, floor: &Floor) -> Option<u32> {
    answer(floor, class.shelf, class.rules.effort).ok().map(|answered| floor.finish_s(&answered.plan))
}

fn in_turn(class: &Class<'_>, empty: FloorPlan, notices: &mut Vec<String>) -> FloorPlan {
    match floor::in_turn(&empty.floor) {
        Ok(InTurn { plan, .. }) => {
            let heats_over = (plan.starts.len() as u32).saturating_sub(class.rules.max_heats);
            notices
                .push("People go in turn: the plainest floor plan that keeps the rules, laid out by the host.".into());
            if heats_over > 0 {
                let heats = if heats_over == 1 { "heat" } else { "heats" };
                notices.push(format!("It has {heats_over} {heats} more than the gym's rules allow."));
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

/// The floor counts athletes, bouts and stages; the coach knows people and sets by name.
fn named(class: &Class<'_>, plan: &FloorPlan, sentence: &str) -> String {
    let stage = |stage: u32| {
        let &(part, set) = plan.stages.get(stage as usize)?;
        let kind = class.session.parts[part].kind.id();
        let sets = plan.stages.iter().filter(|(own, _)| *own == part).count();
        Some(if sets > 1 { format!("set {} of {kind}", set + 1) } else { kind.to_owned() })
    };
    let said = |what: &str, number: u32| match what {
        "athlete" => plan.athletes.get(number as usize).map(|ix| class.athlete(*ix).name.clone()),
        "bout" => stage(plan.floor.bouts.get(number as usize)?.stage),
        "stage" => stage(number),
        _ => None,
    };
    let mut words: Vec<String> = Vec::new();
    for word in sentence.split(' ') {
        let digits = word.chars().take_while(char::is_ascii_digit).count();
        let (number, rest) = word.split_at(digits);
        let name = number.parse().ok().and_then(|number| said(&words.last()?.to_lowercase(), number));
        match name {
            Some(name) => {
                words.pop();
                words.push(name + rest);
            }
            None => words.push(word.to_owned()),
        }
    }
    words.join(" ")
}
