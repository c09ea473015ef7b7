//! How the parts lie in the class, and what the coach should know about the class as a whole.

use classwright_training::time::{Speed, clock, part_s};
use classwright_training::{AthleteIx, Card, Place};

use crate::plan::{FloorPlan, PartTime};
use crate::{Class, bouts, floor, teams};

/// What can be said before anything is planned.
pub(crate) fn of_class(class: &Class<'_>) -> Vec<String> {
    let mut said = Vec::new();
    if class.athletes.is_empty() {
        said.push("Nobody is checked in: there is no card to make.".to_owned());
    }
    let on_floor = class.athletes.iter().filter(|athlete| athlete.place == Place::Floor).count();
    for part in &class.session.parts {
        let Some(size) = teams::size(part.team) else { continue };
        if on_floor % size != 0 {
            said.push(format!(
                "{} people on the floor do not make full teams of {size}: {} left over in {}.",
                on_floor,
                on_floor % size,
                part.kind.id()
            ));
        }
    }
    said
}

/// When each part runs on the floor, and who needs the least and the most time for it.
pub(crate) fn part_times(class: &Class<'_>, cards: &[Card], plan: &FloorPlan) -> Vec<PartTime> {
    let needed: Vec<Vec<u32>> = cards
        .iter()
        .map(|card| bouts::stages(class, card, Speed::Typical).iter().map(|stages| part_s(stages)).collect())
        .collect();
    (0..class.session.parts.len())
        .map(|part| {
            // Whoever has nothing to do in a part is no measure of it.
            let does = |at: usize| cards[at].pieces.iter().any(|piece| piece.part as usize == part && !piece.off);
            let each = || {
                let busy = needed.iter().enumerate().filter(|(at, _)| does(*at));
                busy.map(|(at, parts)| (AthleteIx(at as u32), parts[part]))
            };
            let (start_s, end_s) = span(plan, part).unwrap_or((0, 0));
            PartTime {
                start_s,
                end_s,
                quickest: each().min_by_key(|&(_, seconds)| seconds),
                slowest: each().min_by_key(|&(_, seconds)| std::cmp::Reverse(seconds)),
            }
        })
        .collect()
}

/// What can be said of the finished plan.
pub(crate) fn of_plan(class: &Class<'_>, cards: &[Card], plan: &FloorPlan, times: &[PartTime]) -> Vec<String> {
    let mut said = Vec::new();
    if !plan.layout.starts.is_empty() {
        let over = floor::overrun_s(&plan.floor, &plan.layout);
        if over > 0 {
            let longest = times.iter().enumerate().max_by_key(|(_, time)| time.end_s - time.start_s);
            let part = longest.map_or("", |(at, _)| class.session.parts[at].kind.id());
            let (end, length) = (clock(class.session.length_s + over), clock(class.session.length_s));
            said.push(format!(
                "The class ends at {end}, {} over its {length}; {part} takes longest. Fewer rounds, shorter rests or more kit would mend it.",
                clock(over)
            ));
        }
    }
    said.extend(waits(class, plan));
    for (part, written) in class.session.parts.iter().enumerate() {
        let over = |card: &Card| {
            let stages = &bouts::stages(class, card, Speed::Typical)[part];
            stages.iter().map(|stage| stage.over_s).max().unwrap_or(0)
        };
        let late: Vec<(&str, u32)> = cards
            .iter()
            .map(|card| (class.athlete(card.athlete).name.as_str(), over(card)))
            .filter(|(_, over)| *over > 0)
            .collect();
        if let Some((name, most)) = late.iter().max_by_key(|(_, over)| *over) {
            said.push(format!(
                "In {} {} of {} need longer than the clock gives, {name} most: {most} s over.",
                written.kind.id(),
                late.len(),
                cards.len()
            ));
        }
    }
    said
}

/// A heat that waits longer than this between two parts is told of.
const LONG_WAIT_S: u32 = 480;

/// Heats that stand about for long.
fn waits(class: &Class<'_>, plan: &FloorPlan) -> Vec<String> {
    let mut said = Vec::new();
    for heat in 0..plan.layout.starts.len() {
        let spans: Vec<(usize, u32, u32)> = (0..class.session.parts.len())
            .filter_map(|part| span_of(plan, part, Some(heat as u32)).map(|(start, end)| (part, start, end)))
            .collect();
        for pair in spans.windows(2) {
            let [(before, _, end), (after, start, _)] = pair else { continue };
            let wait = start.saturating_sub(*end);
            if wait > LONG_WAIT_S {
                let kind = |part: usize| class.session.parts[part].kind.id();
                said.push(format!(
                    "Heat {} waits {} between {} and {}: have something easy ready.",
                    heat + 1,
                    clock(wait),
                    kind(*before),
                    kind(*after)
                ));
            }
        }
    }
    said
}

fn span(plan: &FloorPlan, part: usize) -> Option<(u32, u32)> {
    span_of(plan, part, None)
}

/// First start and last end of a part, of one heat or of all.
fn span_of(plan: &FloorPlan, part: usize, only: Option<u32>) -> Option<(u32, u32)> {
    let mut span: Option<(u32, u32)> = None;
    for bout in &plan.floor.bouts {
        let heat = *plan.layout.heat_of.get(bout.athlete as usize)?;
        if plan.stages[bout.stage as usize].0 != part || only.is_some_and(|only| only != heat) {
            continue;
        }
        let start = plan.layout.starts[heat as usize][bout.stage as usize]?;
        let end = start + bout.duration_s;
        span = Some(span.map_or((start, end), |(first, last)| (first.min(start), last.max(end))));
    }
    span
}
