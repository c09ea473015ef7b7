//! Policies that give one fixed answer, whatever they are asked, so that each lie is a value.
//!
//! An answer is laid out by the canonical ABI in a data segment. A record of cards and of heats has only 32-bit words,
//! but for the two enums of a change, which are a byte each and share a word.

use classwright_policies::Kind;
use classwright_training::floor::HeatsAnswer;
use classwright_training::{Measure, MovementIx, Piece, Sides};

use crate::component::{Build, escaped};

/// "No such thing" in a list of the contract.
pub const NONE: u32 = u32::MAX;

/// Where an answer starts in the policy's memory; the frame keeps what is before.
const BASE: u32 = 1024;

/// A change as it travels: `cards.change` of the contract.
#[derive(Clone, Copy, Debug)]
pub struct Change {
    /// Position in the question.
    pub piece: u32,
    /// 1 takes the piece off.
    pub off: u32,
    /// Library number.
    pub movement: MovementIx,
    /// How many times.
    pub times: u32,
    /// What is counted.
    pub measure: Measure,
    /// How it is shared between the sides.
    pub sides: Sides,
    /// Low and high end.
    pub amount: [u32; 2],
    /// First and heaviest load, grams.
    pub load_g: [u32; 2],
    /// Effort, tenths.
    pub effort_tenths: u32,
    /// Range of movement, percent.
    pub range_percent: u32,
    /// Position in the reasons.
    pub reason: u32,
}

impl Change {
    /// Changes nothing: the piece at a position of the question, as it stands on the card.
    pub fn none(position: u32, piece: &Piece) -> Self {
        let grams = |mass: Option<classwright_training::Mass>| mass.map_or(0, |mass| mass.grams());
        Change {
            piece: position,
            off: 0,
            movement: piece.movement,
            times: piece.times,
            measure: piece.amount.measure,
            sides: piece.amount.sides,
            amount: [piece.amount.low, piece.amount.high],
            load_g: [grams(piece.load.first()), grams(piece.load.top())],
            effort_tenths: piece.effort_tenths,
            range_percent: piece.range_percent,
            reason: 0,
        }
    }

    fn words(&self) -> [u32; 12] {
        let [low, high] = self.amount;
        let [first, top] = self.load_g;
        // Both enums have their cases in the contract's order.
        let enums = self.measure as u32 | (self.sides as u32) << 8;
        let Change { piece, off, movement, times, effort_tenths, range_percent, reason, .. } = *self;
        [piece, off, movement.0, times, enums, low, high, first, top, effort_tenths, range_percent, reason]
    }
}

/// A policy's one answer, as bytes.
#[derive(Clone, Debug)]
pub struct Answer {
    kind: Kind,
    data: Vec<u8>,
    /// Position of the answer itself.
    at: u32,
}

impl Answer {
    /// Changes, with the rules and sentences of their reasons.
    pub fn cards(kind: Kind, changes: &[Change], reasons: &[(&str, &str)]) -> Self {
        let mut answer = Answer { kind, data: Vec::new(), at: 0 };
        let changes = answer.list(changes.iter().map(Change::words));
        let texts: Vec<[u32; 4]> = reasons
            .iter()
            .map(|(rule, text)| {
                let ([rule, rule_length], [text, text_length]) = (answer.text(rule), answer.text(text));
                [rule, rule_length, text, text_length]
            })
            .collect();
        let reasons = answer.list(texts.into_iter());
        answer.ends([0, changes[0], changes[1], reasons[0], reasons[1]])
    }

    /// A floor plan.
    pub fn heats(said: &HeatsAnswer) -> Self {
        let mut answer = Answer { kind: Kind::Heats, data: Vec::new(), at: 0 };
        let word = |number: &Option<u32>| [number.unwrap_or(NONE)];
        let heat_of = answer.list(said.plan.heat_of.iter().map(|heat| [*heat]));
        let starts = answer.list(said.plan.starts.iter().flatten().map(word));
        let bar_of = answer.list(said.plan.bar_of.iter().map(word));
        let heats = said.plan.starts.len() as u32;
        let [[heat_of, heat_ofs], [starts, startss], [bar_of, bar_ofs]] = [heat_of, starts, bar_of];
        let (bound, optimal) = (said.lower_bound_s, said.optimal.into());
        answer.ends([0, heats, heat_of, heat_ofs, starts, startss, bar_of, bar_ofs, bound, optimal])
    }

    /// A component that gives this answer, under a name; its version is 1.0.0.
    pub fn policy(&self, name: &str) -> Vec<u8> {
        let function = match self.kind {
            Kind::Scaling => "scaling-rule@1.0.0#scale",
            Kind::Substitution => "substitution-rule@1.0.0#substitute",
            Kind::Heats => "heats-rule@1.0.0#plan-heats",
        };
        let core = format!(
            r#"(func (export "classwright:policy/{function}") (param i32) (result i32) (i32.const {}))
               (data (i32.const {BASE}) "{}")"#,
            self.at,
            escaped(&self.data)
        );
        Build { name, version: "1.0.0", ..Build::of(self.kind.id()) }.component(&core)
    }

    /// Puts rows into memory: where they are, and how many.
    fn list<const N: usize>(&mut self, rows: impl Iterator<Item = [u32; N]>) -> [u32; 2] {
        let at = self.next();
        let mut count = 0;
        for row in rows {
            self.data.extend(row.into_iter().flat_map(u32::to_le_bytes));
            count += 1;
        }
        [at, count]
    }

    fn text(&mut self, text: &str) -> [u32; 2] {
        let at = self.next();
        self.data.extend_from_slice(text.as_bytes());
        [at, text.len() as u32]
    }

    /// Lays out the answer's own words last.
    fn ends<const N: usize>(mut self, words: [u32; N]) -> Self {
        self.at = self.list([words].into_iter())[0];
        self
    }

    /// The next place where a word may stand.
    fn next(&mut self) -> u32 {
        self.data.resize(self.data.len().next_multiple_of(4), 0);
        BASE + self.data.len() as u32
    }
}
