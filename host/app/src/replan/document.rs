//! The document of a class that was planned anew: what hangs on the floor plan is told anew, the rest stays.

use std::collections::BTreeSet;

use classwright_planning::floor::Cause;
use classwright_planning::layout_notices;
use classwright_policies::PolicyFailure;
use classwright_training::time::clock;

use super::answer::{Found, with_names};
use super::request::Event;
use super::words::{Words, and};
use crate::document::{CautionDoc, FloorDoc, NamedFloor, NeededDoc, PlanDoc, component_doc, failure_doc};
use crate::plan_file::StoodPlan;

/// How the host begins what only a longer class, or more heats, would mend.
const IN_TIME: &str = "No plan is done in time";
const MORE_HEATS: &str = "The plan takes more heats than the gym's rules allow";

/// What is said where the host lays the plan out.
const IN_TURN: &str = "People go in turn: the plainest floor plan that keeps the rules, laid out by the host.";

/// The document, without its changes.
pub(super) fn new(stood: &StoodPlan, found: &Found, events: &[Event], words: &Words) -> PlanDoc {
    let mut doc = stood.doc.clone();
    let Found { named, layout, .. } = found;
    doc.floor = FloorDoc::laid_out(named, layout, found.lower_bound_s, found.optimal, found.by_host);
    let there: BTreeSet<&str> = named.athletes.iter().map(String::as_str).collect();
    let left = |id: &str| stood.named.athletes.iter().any(|own| own == id) && !there.contains(id);
    doc.cards.retain(|card| !left(&card.athlete));
    times(&mut doc, named, &left);
    cautions(&mut doc, stood, found, events, words);
    doc.faults.retain(|fault| fault.call != "plan-heats");
    doc.faults.extend(found.failures.iter().map(|failure| failure_doc(failure, Vec::new())));
    doc.components.retain(|component| component.call != "plan-heats");
    doc.components.extend(found.components.iter().map(component_doc));
    (doc.changes, doc.why) = (Vec::new(), None);
    doc
}

fn times(doc: &mut PlanDoc, named: &NamedFloor, left: &dyn Fn(&str) -> bool) {
    let finish_s = doc.floor.finish_s;
    doc.session.finish_s = finish_s;
    doc.session.fits = finish_s <= doc.session.length_s;
    for part in &mut doc.session.parts {
        let starts = || doc.floor.heats.iter().flat_map(|heat| &heat.starts).filter(|start| start.part == part.part);
        part.start_s = starts().map(|start| start.start_s).min().unwrap_or(0);
        part.end_s = starts().map(|start| start.end_s).max().unwrap_or(0);
        part.teams.iter_mut().for_each(|team| team.retain(|id| !left(id)));
        part.teams.retain(|team| !team.is_empty());
        if [&part.quickest, &part.slowest].into_iter().flatten().any(|needed| left(&needed.athlete)) {
            let needed: Vec<NeededDoc> =
                (0..named.athletes.len()).filter_map(|at| needed(named, at, part.part)).collect();
            part.quickest = needed.iter().min_by_key(|needed| needed.seconds).cloned();
            part.slowest = needed.iter().min_by_key(|needed| std::cmp::Reverse(needed.seconds)).cloned();
        }
    }
}

/// How long somebody needs for a part, rests within it included.
fn needed(named: &NamedFloor, athlete: usize, part: u32) -> Option<NeededDoc> {
    let of_part = |stage: u32| named.stages[stage as usize].0 == part;
    let own = named.floor.bouts.iter().filter(|bout| bout.athlete as usize == athlete && of_part(bout.stage));
    let own: Vec<_> = own.collect();
    let (last, before) = own.split_last()?;
    let seconds = before.iter().map(|bout| bout.duration_s + bout.rest_least_s).sum::<u32>() + last.duration_s;
    Some(NeededDoc { athlete: named.athletes[athlete].clone(), seconds })
}

/// What the coach should know: of the floor plan what holds now, of everything else what held before.
fn cautions(doc: &mut PlanDoc, stood: &StoodPlan, found: &Found, events: &[Event], words: &Words) {
    let kinds: Vec<&str> = doc.session.parts.iter().map(|part| part.kind.as_str()).collect();
    let said = |named: &NamedFloor, layout: &_| {
        let stages: Vec<(usize, u32)> = named.stages.iter().map(|(part, set)| (*part as usize - 1, *set)).collect();
        layout_notices(&named.floor, layout, &stages, &kinds)
    };
    let mut old = stood.layout.as_ref().map(|layout| said(&stood.named, layout)).unwrap_or_default();
    old.push(IN_TURN.into());
    let of_floor = |text: &str| {
        ["No floor plan ", "Planned anew ", IN_TIME, MORE_HEATS].iter().any(|start| text.starts_with(start))
            || text.contains(" (plan-heats): ")
            || (text.starts_with("It has ") && text.ends_with("gym's rules allow."))
    };
    let mut new = said(&found.named, &found.layout);
    for cause in &found.tight {
        let start = if matches!(cause, Cause::LongRest { .. } | Cause::Window { .. }) { IN_TIME } else { MORE_HEATS };
        new.push(format!("{start}: {}.", with_names(&cause.to_string(), &found.named, words)));
    }
    for failure in &found.failures {
        let PolicyFailure { policy, version, call, kind, .. } = failure;
        new.push(format!("{policy} {version} ({call}): {}", kind.for_coach()));
    }
    if found.by_host {
        new.push(IN_TURN.into());
    }
    if found.heats_over > 0 {
        let heats = if found.heats_over == 1 { "heat" } else { "heats" };
        new.push(format!("It has {} {heats} more than the gym's rules allow.", found.heats_over));
    }
    for event in events {
        let Event::Gone(id) = event else { continue };
        for part in &stood.doc.session.parts {
            for team in part.teams.iter().filter(|team| team.contains(id)) {
                let name =
                    |id: &String| stood.doc.cards.iter().find(|card| card.athlete == *id).map(|card| card.name.clone());
                let others: Vec<String> = team.iter().filter(|own| *own != id).filter_map(name).collect();
                if let (Some(who), Some(gone)) = (and(&others), name(id)) {
                    let go = if others.len() == 1 { "goes" } else { "go" };
                    new.push(format!(
                        "In {} {who} {go} on without {gone}: the work is the team's, so share it anew.",
                        part.kind
                    ));
                }
            }
        }
    }
    doc.cautions.retain(|caution| {
        let text = &caution.text;
        caution.about != "class" || !(old.contains(text) || of_floor(text))
    });
    let when = match found.named.floor.now_s {
        0 => "before the class".to_owned(),
        now => format!("{} into the class", clock(now)),
    };
    doc.cautions.push(CautionDoc { about: "class".into(), text: format!("Planned anew {when}.") });
    doc.cautions.extend(new.into_iter().map(|text| CautionDoc { about: "class".into(), text }));
}
