//! Cards on the wire.

use classwright_planning::{Change, Class, MadeLoad, Plan, PlannedCard};
use classwright_training::session::{Item, Line, Scheme};
use classwright_training::time::scheme_reps;
use classwright_training::{Load, MovementIx, Part, Piece, Place};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{by, words};

/// What one athlete does.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardDoc {
    /// Athlete id.
    pub athlete: String,
    /// Name.
    pub name: String,
    /// `floor`, or `home`.
    pub place: String,
    /// Every written item, in order.
    pub items: Vec<ItemDoc>,
    /// Every change in order, with its reason. For this athlete and the coach only.
    pub trace: Vec<TraceDoc>,
    /// Why the coach is needed; empty where they are not.
    pub needs_coach: Vec<String>,
}

/// One written item, as this athlete does it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemDoc {
    /// From 1 through the whole session.
    pub item: u32,
    /// From 1.
    pub part: u32,
    /// `kept`, `changed` or `off`.
    pub state: String,
    /// The rounds, sets, intervals or minutes in which it is done, where not in all: `sets 2-3`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub only_in: Option<String>,
    /// The line in words.
    pub text: String,
    /// One movement, or several for a complex; without those taken off.
    pub movements: Vec<MovementDoc>,
    /// The heaviest load, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<LoadDoc>,
    /// The load of each set, where they differ.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<LoadDoc>,
    /// Upper end of a written range of loads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub up_to_kg: Option<f64>,
    /// What to ask the athlete, where the load is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ask: Option<String>,
    /// Rest that is written after it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_after_s: Option<u32>,
    /// Movements they may choose instead: as the coach wrote, less what does not suit this athlete.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub or_choose: Vec<String>,
    /// The coach's cues, and the library's for a movement that was not written.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cues: Vec<String>,
}

/// A movement of an item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MovementDoc {
    /// Movement id.
    pub movement: String,
    /// Its name.
    pub name: String,
    /// Sets or rounds; absent where the clock decides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub times: Option<u32>,
    /// `repetitions`, `seconds`, `metres` or `calories`.
    pub measure: String,
    /// `both`, `each` or `alternating`.
    pub sides: String,
    /// Low end of the amount; 0 with `most` 0 for as many as they can.
    pub least: u32,
    /// High end of the amount.
    pub most: u32,
    /// Repetitions of each round, where the scheme gives them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub by_round: Vec<u32>,
    /// Effort aimed at on the 1-10 scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub effort: Option<f64>,
    /// Range of movement, percent; 100 is full.
    pub range_percent: u32,
}

/// A load that can be made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadDoc {
    /// Of a bar with its plates, or of each implement.
    pub total_kg: f64,
    /// The bar alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar_kg: Option<f64>,
    /// Plates on each sleeve, inner to outer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side_kg: Option<Vec<f64>>,
}

/// One change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TraceDoc {
    /// Item, from 1.
    pub item: u32,
    /// `coach`, `host` or `policy`.
    pub by: String,
    /// Which policy.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub policy: Option<String>,
    /// Of which version.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub version: Option<String>,
    /// The rule's id.
    pub rule: String,
    /// One sentence.
    pub why: String,
    /// Before, in words.
    pub from: String,
    /// After, in words; `off` where it was taken off.
    pub to: String,
}

impl CardDoc {
    pub(super) fn new(class: &Class<'_>, plan: &Plan, planned: &PlannedCard) -> Self {
        let athlete = class.athlete(planned.card.athlete);
        let items = class.session.items().map(|(number, part, item)| item_doc(class, planned, number, part, item));
        CardDoc {
            athlete: athlete.id.clone(),
            name: athlete.name.clone(),
            place: if athlete.place == Place::Floor { "floor".into() } else { "home".into() },
            items: items.collect(),
            trace: planned.trace.iter().map(|change| trace(class, plan, change)).collect(),
            needs_coach: planned.needs_coach.clone(),
        }
    }
}

fn item_doc(class: &Class<'_>, planned: &PlannedCard, number: u32, part: usize, item: &Item) -> ItemDoc {
    let pieces = planned.card.pieces.iter().zip(&planned.made).enumerate();
    let own: Vec<(usize, &Piece, &Vec<MadeLoad>)> =
        pieces.filter(|(_, (p, _))| p.item == number).map(|(at, (p, made))| (at, p, made)).collect();
    let written = &class.session.parts[part];
    let place = Standing::of(written, item);
    let done: Vec<(&Piece, Vec<u32>)> = own
        .iter()
        .filter(|(_, p, _)| !p.off)
        .map(|(_, p, _)| (*p, by_round(&written.scheme, &place, item, p)))
        .collect();
    // Rounding a load to what the kit can make is not a change to the work.
    let touched = |at: usize| planned.trace.iter().any(|change| change.piece == at && change.rule != "loadable");
    let state = if done.is_empty() {
        "off"
    } else if own.iter().any(|(at, ..)| touched(*at)) {
        "changed"
    } else {
        "kept"
    };
    let made = own.iter().map(|(_, _, made)| *made).find(|made| !made.is_empty());
    let load = made.and_then(|made| made.iter().max_by_key(|m| m.total)).map(load_doc);
    let loads: Vec<LoadDoc> = made.map(|made| made.iter().map(load_doc).collect()).unwrap_or_default();
    let differ = loads.iter().any(|load| Some(load) != loads.first());
    let new = done.iter().filter(|(p, _)| item.pieces.iter().all(|written| written.movement != p.movement));
    let own_cues = new.flat_map(|(p, _)| class.library.movement(p.movement).cues.iter().take(1));
    // A cue is meant for the movement that it was written for.
    let as_written = done.first().is_some_and(|(p, _)| item.pieces.iter().any(|piece| piece.movement == p.movement));
    let written_cues: &[String] = if as_written { &item.cues } else { &[] };
    let first_load = done.first().map(|(p, _)| &p.load);
    let mut words =
        done.iter().map(|(p, rounds)| words::piece(class.library, p, rounds)).collect::<Vec<_>>().join(" + ");
    if let (Scheme::Ladder { .. }, Some(_)) = (&written.scheme, done.iter().find(|(_, rounds)| !rounds.is_empty())) {
        words += ", and so on";
    }
    if let Some((piece, ..)) = done.first() {
        let before =
            planned.trace.iter().find(|change| change.from.item == number).map_or(piece.times, |c| c.from.times);
        if before != piece.times {
            words += &format!(", {} of {before} times", piece.times);
        }
    }
    ItemDoc {
        item: number + 1,
        part: part as u32 + 1,
        state: state.into(),
        only_in: place.only_in,
        rest_after_s: place.rest_after_s,
        text: if done.is_empty() { "off".into() } else { words },
        movements: done.iter().map(|(p, rounds)| movement(class, p, rounds)).collect(),
        load,
        loads: if differ { loads } else { Vec::new() },
        up_to_kg: match first_load {
            Some(Load::Known { up_to: Some(most), .. }) => Some(most.kg()),
            _ => None,
        },
        ask: match first_load {
            Some(Load::Ask(why)) => Some(why.clone()),
            _ => None,
        },
        or_choose: choices(class, planned, &done, item),
        cues: written_cues.iter().chain(own_cues).cloned().collect(),
    }
}

/// Where an item stands within its part.
struct Standing {
    span: Option<(u32, u32)>,
    only_in: Option<String>,
    rest_after_s: Option<u32>,
}

impl Standing {
    fn of(part: &Part, item: &Item) -> Standing {
        let is_item = |line: &Line| matches!(line, Line::Work(work) if std::ptr::eq(work, item));
        let group = part.groups.iter().find(|group| group.lines.iter().any(is_item));
        let span = group.and_then(|group| group.span);
        let after = group.and_then(|group| {
            let at = group.lines.iter().position(is_item)?;
            group.lines.get(at + 1)
        });
        let rest_after_s = after.and_then(|line| if let Line::Rest(seconds) = line { Some(*seconds) } else { None });
        Standing { span, only_in: span.map(|span| words::only_in(&part.scheme, span)), rest_after_s }
    }
}

/// The choices that suit: kit there, skill enough, and no more demand on a limited region than what was written. An
/// item that was changed leaves nothing to choose.
fn choices(class: &Class<'_>, planned: &PlannedCard, done: &[(&Piece, Vec<u32>)], item: &Item) -> Vec<String> {
    let athlete = class.athlete(planned.card.athlete);
    let Some((piece, _)) = done.first().filter(|(p, _)| item.pieces.iter().any(|w| w.movement == p.movement)) else {
        return Vec::new();
    };
    let written = class.library.movement(piece.movement);
    let suits = |ix: &&MovementIx| {
        let choice = class.library.movement(**ix);
        let limits = &athlete.limitations;
        class.lacking(planned.card.athlete, **ix).is_empty()
            && choice.skill <= athlete.skill.max(written.skill)
            && limits.iter().all(|limit| choice.demand_on(limit.region) <= written.demand_on(limit.region))
    };
    item.choices.iter().filter(suits).map(|ix| class.library.movement(*ix).name.clone()).collect()
}

fn by_round(scheme: &Scheme, standing: &Standing, item: &Item, piece: &Piece) -> Vec<u32> {
    let from_scheme = item.pieces.get(piece.step as usize).is_some_and(|written| written.amount.is_none());
    let rounds = match scheme {
        Scheme::RepsForTime { reps, .. } if from_scheme => reps.len() as u32,
        // A ladder has no last round: its first three show how it goes on.
        Scheme::Ladder { .. } if from_scheme => 3,
        _ => return Vec::new(),
    };
    let (first, last) = standing.span.unwrap_or((1, rounds));
    let most = if piece.times == 0 { u32::MAX } else { piece.times };
    (first..=last.min(rounds)).filter_map(|round| scheme_reps(scheme, round, piece)).take(most as usize).collect()
}

fn movement(class: &Class<'_>, piece: &Piece, by_round: &[u32]) -> MovementDoc {
    let movement = class.library.movement(piece.movement);
    MovementDoc {
        movement: movement.id.clone(),
        name: movement.name.clone(),
        times: Some(piece.times).filter(|&times| times > 0),
        measure: piece.amount.measure.id().into(),
        sides: piece.amount.sides.id().into(),
        least: piece.amount.low,
        most: piece.amount.high,
        by_round: by_round.to_vec(),
        effort: Some(piece.effort_tenths).filter(|&e| e > 0).map(|e| f64::from(e) / 10.0),
        range_percent: piece.range_percent,
    }
}

fn load_doc(made: &MadeLoad) -> LoadDoc {
    LoadDoc {
        total_kg: made.total.kg(),
        bar_kg: made.bar.as_ref().map(|bar| bar.bar.kg()),
        side_kg: made.bar.as_ref().map(|bar| bar.side.iter().map(|plate| plate.kg()).collect()),
    }
}

fn trace(class: &Class<'_>, plan: &Plan, change: &Change) -> TraceDoc {
    let (by, policy) = by(plan, &change.by);
    let (policy, version) = policy.unzip();
    let words = |piece: &Piece| match piece.off {
        true => "off".to_owned(),
        false => words::piece_with_load(class.library, piece),
    };
    TraceDoc {
        item: change.from.item + 1,
        by: by.into(),
        policy,
        version,
        rule: change.rule.clone(),
        why: change.why.clone(),
        from: words(&change.from),
        to: words(&change.to),
    }
}
