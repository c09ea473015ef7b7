//! How the parts lie in the class, and what the coach should know about the class as a whole.

use classwright_training::floor::{Floor, Layout};
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
            let (start_s, end_s) = span(&plan.floor, &plan.layout, &plan.stages, part, None).unwrap_or((0, 0));
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
pub(crate) fn of_plan(class: &Class<'_>, cards: &[Card], plan: &FloorPlan) -> Vec<String> {
    let kinds: Vec<&str> = class.session.parts.iter().map(|part| part.kind.id()).collect();
    let mut said = of_layout(&plan.floor, &plan.layout, &plan.stages, &kinds);
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

/// What can be said of a plan of the floor by itself: how far it runs over, and heats that stand about for long.
/// `stages` names the part of each stage, from 0, and `kinds` the kind of each part.
pub fn of_layout(floor: &Floor, layout: &Layout, stages: &[(usize, u32)], kinds: &[&str]) -> Vec<String> {
    let mut said = Vec::new();
    if layout.starts.is_empty() {
        return said;
    }
    let spans = |heat| (0..kinds.len()).filter_map(move |part| Some((part, span(floor, layout, stages, part, heat)?)));
    let over = floor::overrun_s(floor, layout);
    if over > 0 {
        let longest = spans(None).max_by_key(|(part, (start, end))| (end - start, *part));
        let part = longest.map_or("", |(part, _)| kinds[part]);
        let (end, length) = (clock(floor.window_s + over), clock(floor.window_s));
        said.push(format!(
            "The class ends at {end}, {} over its {length}; {part} takes longest. Fewer rounds, shorter rests or more kit would mend it.",
            clock(over)
        ));
    }
    for heat in 0..layout.starts.len() as u32 {
        let spans: Vec<(usize, (u32, u32))> = spans(Some(heat)).collect();
        for pair in spans.windows(2) {
            let [(before, (_, end)), (after, (start, _))] = pair else { continue };
            let wait = start.saturating_sub(*end);
            if wait > LONG_WAIT_S {
                said.push(format!(
                    "Heat {} waits {} between {} and {}: have something easy ready.",
                    heat + 1,
                    clock(wait),
                    kinds[*before],
                    kinds[*after]
                ));
            }
        }
    }
    said
}

/// First start and last end of a part, of one heat or of all.
fn span(floor: &Floor, layout: &Layout, stages: &[(usize, u32)], part: usize, only: Option<u32>) -> Option<(u32, u32)> {
    let mut span: Option<(u32, u32)> = None;
    for bout in &floor.bouts {
        let heat = *layout.heat_of.get(bout.athlete as usize)?;
        if stages[bout.stage as usize].0 != part || only.is_some_and(|only| only != heat) {
            continue;
        }
        let start = layout.starts[heat as usize][bout.stage as usize]?;
        let end = start + bout.duration_s;
        span = Some(span.map_or((start, end), |(first, last)| (first.min(start), last.max(end))));
    }
    span
}
