//! The coach's own lines: what they wrote for a limitation or for ability goes before the scaling policies, what
//! they wrote for missing kit before the substitution policies.

use classwright_training::session::{Fallback, Replacement, When};
use classwright_training::{AthleteIx, Card, Load, LoadKind, Piece, Region};

use crate::plan::{By, Change};
use crate::{Class, resolve};

/// Which lines are meant.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lines {
    /// For a limitation, and for ability.
    Body,
    /// For missing kit.
    Kit,
}

/// Applies the lines that hold for this athlete and gives the changes made.
pub(crate) fn apply(class: &Class<'_>, card: &mut Card, lines: Lines) -> Vec<Change> {
    let mut changes = Vec::new();
    for (number, part, item) in class.session.items() {
        let own = &item.fallbacks;
        let for_part = &class.session.parts[part].fallbacks;
        let first = card.pieces.iter().position(|piece| piece.item == number && !piece.off);
        let Some(first) = first else { continue };
        let holds = |fallback: &&Fallback, of_part: bool| holds(class, card, first, fallback, lines, of_part);
        let fallback = own.iter().find(|f| holds(f, false)).or_else(|| for_part.iter().find(|f| holds(f, true)));
        if let Some(fallback) = fallback {
            replace(class, card, first, fallback, lines, &mut changes);
        }
    }
    changes
}

fn holds(class: &Class<'_>, card: &Card, first: usize, fallback: &Fallback, lines: Lines, of_part: bool) -> bool {
    let athlete = class.athlete(card.athlete);
    let item = card.pieces[first].item;
    let mut movements =
        card.pieces.iter().filter(|p| p.item == item && !p.off).map(|p| class.library.movement(p.movement));
    match fallback.when {
        When::NoKit(kit) => {
            let there = class.kit_of(card.athlete).count(kit);
            let mut needs = movements.flat_map(|movement| &movement.needs);
            lines == Lines::Kit && needs.any(|need| need.kit == kit && need.count > there)
        }
        When::Limited(region, severity) => {
            let limited = athlete.limitation(region).is_some_and(|limit| limit.severity >= severity);
            // A line for the whole part is meant for the items that load the region.
            lines == Lines::Body && limited && (!of_part || movements.any(|m| m.demand_on(region) > 0))
        }
        When::Ability => lines == Lines::Body && movements.any(|movement| movement.skill > athlete.skill),
    }
}

fn replace(
    class: &Class<'_>,
    card: &mut Card,
    first: usize,
    fallback: &Fallback,
    lines: Lines,
    changes: &mut Vec<Change>,
) {
    let before = card.pieces[first].clone();
    let after = match &fallback.instead {
        None => Piece { off: true, ..before.clone() },
        Some(instead) => replaced(class, card.athlete, &before, instead),
    };
    if lines == Lines::Kit && brings_back(class, card.athlete, &before, &after) {
        return;
    }
    let why = why(class, fallback, &before);
    let rule = "coach-line";
    // The line stands for the whole item: the other movements of a complex go.
    for at in first..card.pieces.len() {
        let piece = &card.pieces[at];
        if piece.item != before.item || piece.off {
            continue;
        }
        let to = if at == first { after.clone() } else { Piece { off: true, ..piece.clone() } };
        if *piece != to {
            let from = std::mem::replace(&mut card.pieces[at], to.clone());
            changes.push(Change { piece: at, by: By::Coach, rule: rule.into(), why: why.clone(), from, to });
        }
    }
}

/// True where the line would load a limited region more than scaling left.
fn brings_back(class: &Class<'_>, athlete: AthleteIx, before: &Piece, after: &Piece) -> bool {
    let demand = |piece: &Piece, region: Region| match piece.off {
        true => 0,
        false => class.library.movement(piece.movement).demand_on(region),
    };
    let mut limited = class.athlete(athlete).limitations.iter();
    limited.any(|limit| demand(after, limit.region) > demand(before, limit.region))
}

fn replaced(class: &Class<'_>, athlete: AthleteIx, before: &Piece, instead: &Replacement) -> Piece {
    let movement = instead.movement.unwrap_or(before.movement);
    let mut amount = instead.amount.unwrap_or(before.amount);
    let add = |reps: u32| if reps == 0 { 0 } else { reps.saturating_add_signed(instead.add_reps).max(1) };
    (amount.low, amount.high) = (add(amount.low), add(amount.high));
    let kind = class.library.movement(movement).load_kind;
    let same_kind = kind == class.library.movement(before.movement).load_kind;
    let load = match &instead.load {
        written @ Some(_) => {
            resolve::load(class, athlete, written.as_ref(), movement, before.times, before.effort_tenths, amount)
        }
        None if same_kind => before.load.clone(),
        None if matches!(kind, LoadKind::Bar | LoadKind::Pair | LoadKind::Single) => {
            Load::Ask("the coach's line gives no load: choose one that leaves every repetition clean".into())
        }
        None => Load::None,
    };
    let kept = movement == before.movement;
    Piece {
        movement,
        amount,
        load,
        best_permille: if instead.load.is_none() && same_kind { before.best_permille } else { 0 },
        rep_ms: if kept { before.rep_ms } else { None },
        ..before.clone()
    }
}

fn why(class: &Class<'_>, fallback: &Fallback, before: &Piece) -> String {
    let name = &class.library.movement(before.movement).name;
    match fallback.when {
        When::NoKit(kit) => format!("No {} here: the coach's own line for {name}.", class.library.kit(kit).name),
        When::Limited(region, _) => {
            format!("Reported {}: the coach's own line for {name}.", region.id().replace('-', " "))
        }
        When::Ability => format!("The coach's own easier choice for {name}."),
    }
}
