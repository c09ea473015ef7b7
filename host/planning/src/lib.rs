//! From a class to its plan: the whole way, from the session as written to checked cards and a checked floor plan.
//!
//! [`plan()`] asks the policies on the shelf and never trusts them. Whatever a policy does, there is a card for every
//! athlete of the class and every written item is on it: kept, changed with a reason, or taken off with a reason.
//! The same class and the same components give the same plan. Apart from the policy calls everything here is pure;
//! files, clocks and people are other crates' business.
//!
//! Read next: [`checks`] for what is refused, [`floor`] for the rules of the floor, [`Plan`] for the result.

mod answer;
mod ask;
mod bouts;
pub mod checks;
mod class;
mod coach_lines;
mod draft;
pub mod floor;
mod given;
mod heats;
mod loads;
mod notices;
mod plan;
mod resolve;
mod teams;
mod waits;

pub use answer::{Answered, answer};
pub use class::{Class, OnShelf};
pub use given::{Beside, Given, wall_clock};
pub use notices::of_layout as layout_notices;
pub use plan::{By, Change, Component, Fault, FloorPlan, LoadedBar, MadeLoad, PartTime, Plan, PlannedCard};
pub use teams::PartTeams;
pub use waits::{Waits, waits};

use classwright_policies::Kind;
use classwright_training::{AthleteIx, Load};

use crate::coach_lines::Lines;
use crate::draft::Draft;

/// Plans a class. Trouble with a policy, an athlete or the kit is part of the plan; there is always one.
pub fn plan(class: &Class<'_>) -> Plan {
    plan_given(class, &Given::default())
}

/// Plans a class around what is given: other classes in the room, and people who stay together or do not.
pub fn plan_given(class: &Class<'_>, given: &Given<'_>) -> Plan {
    let mut draft = Draft::new(class);
    let mut said = notices::of_class(class);
    for failure in class.unloaded {
        ask::refuse(class, &mut draft, failure.clone());
    }
    coach_lines(class, &mut draft, Lines::Body);
    ask::ask(class, &mut draft, Kind::Scaling);
    coach_lines(class, &mut draft, Lines::Kit);
    ask::ask(class, &mut draft, Kind::Substitution);
    let loads = loads::round(class, &mut draft);
    needs_coach(class, &mut draft);
    let mut question = bouts::floor(class, &draft.cards, &loads);
    let (later, told) = given::put(class, given, &mut question.floor, &question.athletes);
    said.extend(told);
    let floor = heats::plan_before(class, question, later, &mut draft, &mut said);
    let times = notices::part_times(class, &draft.cards, &floor);
    said.extend(notices::of_plan(class, &draft.cards, &floor));
    let Draft { cards, traces, needs_coach, faults, components } = draft;
    let cards = cards
        .into_iter()
        .zip(loads)
        .zip(traces.into_iter().zip(needs_coach))
        .map(|((card, made), (trace, needs_coach))| PlannedCard { card, made, trace, needs_coach })
        .collect();
    Plan { cards, floor, faults, times, notices: said, components }
}

fn coach_lines(class: &Class<'_>, draft: &mut Draft, lines: Lines) {
    for (card, trace) in draft.cards.iter_mut().zip(&mut draft.traces) {
        trace.extend(coach_lines::apply(class, card, lines));
    }
}

/// Marks what only a person can settle: a load nobody knows, kit that is still missing, a measure that does not fit.
fn needs_coach(class: &Class<'_>, draft: &mut Draft) {
    for card in 0..draft.cards.len() {
        let ix = AthleteIx(card as u32);
        for (at, piece) in draft.cards[card].pieces.clone().into_iter().enumerate() {
            if piece.off {
                if let Some(why) = taken_off(class, draft, card, at) {
                    draft.needs_coach(card, why);
                }
                continue;
            }
            let movement = class.library.movement(piece.movement);
            let name = &movement.name;
            if !checks::measurable(movement, piece.amount.measure) {
                draft.needs_coach(card, format!("{name} is not measured as the line says: say how much of it."));
            }
            let lacking = class.lacking(ix, piece.movement);
            if !lacking.is_empty() {
                draft.needs_coach(
                    card,
                    format!("{name}: no {} here, and nothing stands in for it.", lacking.join(", ")),
                );
                continue;
            }
            // A load that was written and cannot be told; where none was written the athlete chooses, as usual.
            let written = piece.best_permille > 0 || draft.traces[card].iter().any(|change| change.piece == at);
            if let (Load::Ask(why), true) = (&piece.load, written) {
                draft.needs_coach(card, format!("{name}: {}.", why.trim_end_matches('.')));
            }
        }
    }
}

/// What the coach is told of a piece that a policy took off; the coach's own lines need no telling.
fn taken_off(class: &Class<'_>, draft: &Draft, card: usize, at: usize) -> Option<String> {
    let change = draft.traces[card].iter().rev().find(|change| change.piece == at && change.to.off)?;
    let name = &class.library.movement(change.from.movement).name;
    matches!(change.by, By::Policy(_)).then(|| format!("{name} is off, and nothing stands in for it."))
}
