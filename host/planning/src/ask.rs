//! Steps 3 and 4: the scaling and the substitution policies are asked in shelf order. An answer is taken whole or
//! refused whole.

use classwright_policies::{CardAnswer, CardQuestion, FailureKind, Kind, NewPiece, PartFacts, PolicyFailure, Usage};
use classwright_training::session::Scheme;
use classwright_training::{AthleteIx, Load, LoadKind, Mass, Part, Piece};

use crate::draft::Draft;
use crate::plan::{By, Component, Fault};
use crate::{Class, OnShelf, checks};

/// Asks every policy of a kind in turn.
pub(crate) fn ask(class: &Class<'_>, draft: &mut Draft, kind: Kind) {
    if class.athletes.is_empty() {
        return;
    }
    let parts: Vec<PartFacts> = class.session.parts.iter().map(facts).collect();
    for entry in class.shelf.iter().filter(|entry| entry.kinds.contains(&kind)) {
        let question = CardQuestion {
            settings: &entry.settings,
            length_s: class.session.length_s,
            allow: class.session.allow,
            athletes: class.athletes,
            parts: &parts,
            cards: &draft.cards,
            floor_kit: class.floor_kit,
            home_kits: class.home_kits,
        };
        let answer = match kind {
            Kind::Scaling => entry.policy.scale(&question, class.library, &entry.limits),
            _ => entry.policy.substitute(&question, class.library, &entry.limits),
        };
        let at = draft.components.len();
        draft.components.push(component(entry, kind, answer.as_ref().ok().map(|(_, usage)| usage)));
        match answer.and_then(|(answer, _)| checked(class, draft, entry, kind, answer)) {
            Ok(answer) => take(class, draft, at, &answer),
            Err(failure) => refuse(class, draft, failure),
        }
    }
}

/// What is written down of a policy that was asked.
pub(crate) fn component(entry: &OnShelf, kind: Kind, usage: Option<&Usage>) -> Component {
    Component {
        name: entry.name.clone(),
        version: entry.version.clone(),
        digest: entry.policy.inspection().digest.clone(),
        call: call(kind),
        fuel: usage.map_or(0, |usage| usage.fuel),
    }
}

/// A failure of a policy that answered, but not as it may.
pub(crate) fn rule_broken(entry: &OnShelf, kind: Kind, rule: &str, detail: String) -> PolicyFailure {
    PolicyFailure {
        policy: entry.name.clone(),
        version: entry.version.clone(),
        digest: entry.policy.inspection().digest.clone(),
        call: call(kind),
        kind: FailureKind::RuleBroken { rule: rule.into(), detail },
    }
}

const fn call(kind: Kind) -> &'static str {
    match kind {
        Kind::Scaling => "scale",
        Kind::Substitution => "substitute",
        Kind::Heats => "plan-heats",
    }
}

fn checked(
    class: &Class<'_>,
    draft: &Draft,
    entry: &OnShelf,
    kind: Kind,
    answer: CardAnswer,
) -> Result<CardAnswer, PolicyFailure> {
    for change in &answer.changes {
        let Some(to) = &change.becomes else { continue };
        let ix = AthleteIx(change.athlete);
        let from = &draft.cards[change.athlete as usize].pieces[change.piece as usize];
        if let Some(broken) = checks::broken(class, kind, ix, from, to) {
            let detail = format!("{}, item {}: {}", class.athlete(ix).name, from.item + 1, broken.detail);
            return Err(rule_broken(entry, kind, broken.rule.id(), detail));
        }
    }
    Ok(answer)
}

fn take(class: &Class<'_>, draft: &mut Draft, component: usize, answer: &CardAnswer) {
    for change in &answer.changes {
        let (card, piece) = (change.athlete as usize, change.piece as usize);
        let from = &draft.cards[card].pieces[piece];
        let to = match &change.becomes {
            None => Piece { off: true, ..from.clone() },
            Some(new) => changed(class, from, new),
        };
        let reason = &answer.reasons[change.reason as usize];
        draft.change(card, piece, to, By::Policy(component), &reason.rule, &reason.text);
    }
}

/// Nothing of the policy is used; every card stands as it was and needs the coach.
pub(crate) fn refuse(class: &Class<'_>, draft: &mut Draft, failure: PolicyFailure) {
    let why = sentence_for_cards(&failure);
    for card in 0..class.athletes.len() {
        draft.needs_coach(card, why.clone());
    }
    let athletes = (0..class.athletes.len() as u32).map(AthleteIx).collect();
    draft.faults.push(Fault { failure, athletes });
}

/// What every card says of a refused answer: policy, version and rule, and nothing about any other athlete.
fn sentence_for_cards(failure: &PolicyFailure) -> String {
    let PolicyFailure { policy, version, call, kind, .. } = failure;
    let what = match kind {
        FailureKind::RuleBroken { rule, .. } => {
            format!("its answer breaks the rule `{rule}`, so nothing of it was used.")
        }
        other => other.for_coach(),
    };
    // A policy that did not load has said no version.
    let space = if version.is_empty() { "" } else { " " };
    format!("{policy}{space}{version} ({call}): {what} This card stands as it was before.")
}

/// The piece with a policy's numbers. Loads between the first and the heaviest move in proportion.
fn changed(class: &Class<'_>, from: &Piece, new: &NewPiece) -> Piece {
    let same_movement = from.movement == new.movement;
    let load = match &from.load {
        // Fewer sets: the first ones stay, so that a load that builds up ends lighter.
        Load::Known { each_time, up_to } if (1..from.times).contains(&new.times) => {
            first_times(known(each_time, *up_to, new), new.times)
        }
        Load::Known { each_time, up_to } => known(each_time, *up_to, new),
        Load::Ask(why) if same_movement => Load::Ask(why.clone()),
        Load::Ask(_) | Load::None => Load::None,
    };
    // A movement that is loaded, with a load that nobody named: the athlete is asked.
    let load = match (load, class.library.movement(new.movement).load_kind) {
        (Load::None, LoadKind::Bar | LoadKind::Pair | LoadKind::Single) if from.load != Load::None => {
            Load::Ask("no load is given: choose one that leaves every repetition clean, no heavier than written".into())
        }
        (load, _) => load,
    };
    let load_kept = from.load == load;
    Piece {
        movement: new.movement,
        times: new.times,
        amount: new.amount,
        load,
        best_permille: if load_kept { from.best_permille } else { 0 },
        effort_tenths: new.effort_tenths,
        range_percent: new.range_percent,
        rep_ms: if same_movement { from.rep_ms } else { None },
        ..from.clone()
    }
}

fn first_times(load: Load, times: u32) -> Load {
    match load {
        Load::Known { mut each_time, up_to } => {
            each_time.truncate(times as usize);
            Load::Known { each_time, up_to }
        }
        load => load,
    }
}

fn known(each_time: &[Mass], up_to: Option<Mass>, new: &NewPiece) -> Load {
    if new.top.is_zero() {
        return Load::None;
    }
    let first = each_time.first().copied().unwrap_or(Mass::ZERO);
    let top = each_time.iter().max().copied().unwrap_or(Mass::ZERO);
    if (first, top) == (new.first, new.top) {
        return Load::Known { each_time: each_time.to_vec(), up_to };
    }
    let (low, high) = (i64::from(first.grams()), i64::from(top.grams()));
    let (to_low, to_high) = (i64::from(new.first.grams()), i64::from(new.top.grams()));
    // Where neither end goes up, nothing between them does.
    let lowered = new.first <= first && new.top <= top;
    let moved = |mass: &Mass| {
        let grams = i64::from(mass.grams());
        let at = if high > low {
            to_low + (to_high - to_low) * (grams - low) / (high - low)
        } else {
            to_high * grams / high.max(1)
        };
        let at = if lowered { at.min(grams) } else { at };
        Mass::from_grams(at.clamp(0, to_high) as u32)
    };
    Load::Known { each_time: each_time.iter().map(moved).collect(), up_to: None }
}

fn facts(part: &Part) -> PartFacts {
    let (rounds, interval_s, limit_s) = match &part.scheme {
        Scheme::Rounds { rounds, .. } => (*rounds, 0, 0),
        Scheme::Sets { sets, .. } => (*sets, 0, 0),
        Scheme::IntervalSets { every_s, sets } => (*sets, *every_s, every_s * sets),
        Scheme::ForTime { rounds, cap_s, .. } => (*rounds, 0, cap_s.unwrap_or(0)),
        Scheme::RepsForTime { reps, cap_s } => (reps.len() as u32, 0, cap_s.unwrap_or(0)),
        Scheme::AsManyRounds { limit_s } | Scheme::Ladder { limit_s, .. } => (0, 0, *limit_s),
        Scheme::EveryMinute { total_s } => (total_s / 60, 60, *total_s),
        Scheme::WorkRest { intervals, work_s, rest_s } => (*intervals, work_s + rest_s, (work_s + rest_s) * intervals),
    };
    PartFacts { kind: part.kind, scheme: part.scheme.id(), rounds, interval_s, limit_s }
}
