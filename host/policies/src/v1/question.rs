//! A question about cards, laid out flat: records of numbers, each text once.

use std::collections::HashMap;

use classwright_training::{Load, Measure, Piece, Place, Severity, Side, Sides};

use wasmtime::component::{ComponentType, Lower};

use super::bindings::classwright::policy::cards;
use super::row::Row;
use crate::{CardQuestion, PartFacts};

/// The contract's `question`, with rows for its long lists.
#[derive(Clone, Copy, ComponentType, Lower)]
#[component(record)]
pub(crate) struct Question<'a> {
    texts: &'a [&'a str],
    settings: &'a str,
    facts: cards::ClassFacts,
    athletes: &'a [Row<cards::Athlete, 8>],
    limitations: &'a [Row<cards::Limitation, 3>],
    bests: &'a [Row<cards::Best, 4>],
    tags: &'a [Row<cards::Tag, 2>],
    parts: &'a [cards::Part],
    pieces: &'a [Row<cards::Piece, 15>],
    kit: &'a [cards::KitRow],
}

/// The lists of a question, and the way back from a piece that was sent to its place on a card.
pub(crate) struct Sent<'a> {
    settings: &'a str,
    facts: cards::ClassFacts,
    texts: Texts<'a>,
    athletes: Vec<Row<cards::Athlete, 8>>,
    limitations: Vec<Row<cards::Limitation, 3>>,
    bests: Vec<Row<cards::Best, 4>>,
    tags: Vec<Row<cards::Tag, 2>>,
    parts: Vec<cards::Part>,
    pieces: Vec<Row<cards::Piece, 15>>,
    kit: Vec<cards::KitRow>,
    /// Athlete and position on the card of each piece that was sent.
    pub(super) places: Vec<(u32, u32)>,
}

impl<'a> Sent<'a> {
    pub(crate) fn new(question: &CardQuestion<'a>) -> Self {
        let CardQuestion { settings, length_s, allow, athletes, parts, cards, floor_kit, home_kits } = *question;
        let most = cards.iter().map(|card| card.pieces.len()).sum();
        let mut sent = Sent {
            settings,
            facts: cards::ClassFacts {
                length_s,
                may_raise_load: allow.load.into(),
                may_raise_volume: allow.volume.into(),
                may_raise_demand: allow.demand.into(),
            },
            texts: Texts::default(),
            athletes: Vec::with_capacity(athletes.len()),
            limitations: Vec::new(),
            bests: Vec::with_capacity(athletes.iter().map(|athlete| athlete.bests.len()).sum()),
            tags: Vec::new(),
            parts: Vec::with_capacity(parts.len()),
            pieces: Vec::with_capacity(most),
            kit: Vec::new(),
            places: Vec::with_capacity(most),
        };
        for &PartFacts { kind, scheme, rounds, interval_s, limit_s } in parts {
            let (kind, scheme) = (sent.texts.position(kind.id()), sent.texts.position(scheme));
            sent.parts.push(cards::Part { kind, scheme, rounds, interval_s, limit_s });
        }
        for ((athlete, card), number) in athletes.iter().zip(cards).zip(0..) {
            let first_piece = sent.pieces.len() as u32;
            for (piece, at) in card.pieces.iter().zip(0..).filter(|(piece, _)| !piece.off) {
                sent.pieces.push(Row(self::piece(number, piece)));
                sent.places.push((number, at));
            }
            sent.athlete(athlete, number, first_piece);
        }
        for (kit, place) in std::iter::once(floor_kit).chain(home_kits).zip(0..) {
            let row = |row: &classwright_training::Stock| cards::KitRow {
                place,
                kit: row.kit.0,
                load_g: row.load.grams(),
                count: row.count,
            };
            sent.kit.extend(kit.stock.iter().map(row));
        }
        sent
    }

    fn athlete(&mut self, athlete: &'a classwright_training::Athlete, number: u32, first_piece: u32) {
        self.athletes.push(Row(cards::Athlete {
            column: athlete.column.into(),
            skill: athlete.skill.into(),
            place: match athlete.place {
                Place::Floor => 0,
                Place::Home(home) => home + 1,
            },
            return_week: athlete.return_week.unwrap_or(0).into(),
            age_years: athlete.age_years.unwrap_or(0).into(),
            body_mass_g: athlete.body_mass.map_or(0, |mass| mass.grams()),
            first_piece,
            piece_count: self.pieces.len() as u32 - first_piece,
        }));
        self.limitations.extend(athlete.limitations.iter().map(|limitation| {
            Row(cards::Limitation {
                athlete: number,
                region: limitation.region as u32,
                side: match limitation.side {
                    Side::Both => cards::BodySide::Both,
                    Side::Left => cards::BodySide::Left,
                    Side::Right => cards::BodySide::Right,
                },
                severity: match limitation.severity {
                    Severity::Mild => cards::Severity::Mild,
                    Severity::Moderate => cards::Severity::Moderate,
                    Severity::Severe => cards::Severity::Severe,
                },
            })
        }));
        self.bests.extend(athlete.bests.iter().map(|best| {
            Row(cards::Best {
                athlete: number,
                movement: best.movement.0,
                load_g: best.load.grams(),
                tested: best.tested.into(),
            })
        }));
        for tag in &athlete.tags {
            let text = self.texts.position(tag);
            self.tags.push(Row(cards::Tag { athlete: number, text }));
        }
    }

    pub(crate) fn question(&self) -> Question<'_> {
        Question {
            texts: &self.texts.list,
            settings: self.settings,
            facts: self.facts,
            athletes: &self.athletes,
            limitations: &self.limitations,
            bests: &self.bests,
            tags: &self.tags,
            parts: &self.parts,
            pieces: &self.pieces,
            kit: &self.kit,
        }
    }
}

/// Each string once.
#[derive(Default)]
pub(super) struct Texts<'a> {
    pub(super) list: Vec<&'a str>,
    positions: HashMap<&'a str, u32>,
}

impl<'a> Texts<'a> {
    pub(super) fn position(&mut self, text: &'a str) -> u32 {
        *self.positions.entry(text).or_insert_with(|| {
            self.list.push(text);
            self.list.len() as u32 - 1
        })
    }
}

fn piece(athlete: u32, piece: &Piece) -> cards::Piece {
    let Piece { part, item, step, movement, times, amount, load, best_permille, .. } = piece;
    let Piece { effort_tenths, range_percent, rep_ms, .. } = piece;
    let grams = |mass: Option<classwright_training::Mass>| mass.map_or(0, |mass| mass.grams());
    cards::Piece {
        athlete,
        part: *part,
        item: *item,
        step: *step,
        movement: movement.0,
        times: *times,
        measure: match amount.measure {
            Measure::Repetitions => cards::Measure::Repetitions,
            Measure::Seconds => cards::Measure::Seconds,
            Measure::Metres => cards::Measure::Metres,
            Measure::Calories => cards::Measure::Calories,
        },
        sides: match amount.sides {
            Sides::Both => cards::Sides::Both,
            Sides::Each => cards::Sides::Each,
            Sides::Alternating => cards::Sides::Alternating,
        },
        amount_low: amount.low,
        amount_high: amount.high,
        load_first_g: grams(Load::first(load)),
        load_top_g: grams(Load::top(load)),
        best_permille: *best_permille,
        effort_tenths: *effort_tenths,
        range_percent: *range_percent,
        rep_ms: rep_ms.unwrap_or(0),
    }
}
