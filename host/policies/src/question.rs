//! What policies are asked and what they answer, in training's words and of no contract version.
//!
//! For heats the types are training's own: [`classwright_training::floor`].

use classwright_training::session::Allow;
use classwright_training::{Amount, Athlete, Card, Kit, Mass, MovementIx, PartKind};

/// A kind of question that a policy answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// What each person can do of what was written.
    Scaling,
    /// What to do where the kit is missing.
    Substitution,
    /// Who starts when, with which bar.
    Heats,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Kind; 3] = [Kind::Scaling, Kind::Substitution, Kind::Heats];

    /// The id used in `describe`, files and JSON.
    pub const fn id(self) -> &'static str {
        match self {
            Kind::Scaling => "scaling",
            Kind::Substitution => "substitution",
            Kind::Heats => "heats",
        }
    }

    /// The kind with this id.
    pub fn from_id(id: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.id() == id)
    }
}

/// What a policy says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Description {
    /// Lower-case letters, digits and hyphens; 1 to 64 characters.
    pub name: String,
    /// Semantic version.
    pub version: String,
    /// SPDX licence expression.
    pub licence: String,
    /// The kinds it answers, the same as its exports.
    pub kinds: Vec<Kind>,
    /// One line: what it is for.
    pub purpose: String,
    /// JSON Schema of its settings, as JSON text. Not parsed here.
    pub settings_schema: String,
}

/// A question about the cards of one class, for a scaling or a substitution policy.
#[derive(Clone, Copy, Debug)]
pub struct CardQuestion<'a> {
    /// The owner's settings for this policy: JSON text.
    pub settings: &'a str,
    /// Length of the class, seconds.
    pub length_s: u32,
    /// What the coach allows above the written.
    pub allow: Allow,
    /// The class.
    pub athletes: &'a [Athlete],
    /// The parts of the session.
    pub parts: &'a [PartFacts],
    /// A card for each athlete, in the same order. Pieces that are off are not sent.
    pub cards: &'a [Card],
    /// Kit on the gym floor, in service.
    pub floor_kit: &'a Kit,
    /// Kit at home: where [`classwright_training::Place::Home`] points.
    pub home_kits: &'a [Kit],
}

/// What a policy is told of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartFacts {
    /// Kind.
    pub kind: PartKind,
    /// Scheme, as [`classwright_training::Scheme::id`] gives it.
    pub scheme: &'static str,
    /// Rounds or sets; 0 where the clock decides.
    pub rounds: u32,
    /// Seconds of one interval; 0 where there is none.
    pub interval_s: u32,
    /// Seconds after which the part ends; 0 where there is no such limit.
    pub limit_s: u32,
}

/// A policy's changes to the cards.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardAnswer {
    /// In the policy's order; no piece twice.
    pub changes: Vec<CardChange>,
    /// What the changes point at.
    pub reasons: Vec<Reason>,
}

/// What one piece becomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CardChange {
    /// Position of the card (and of the athlete) in the question.
    pub athlete: u32,
    /// Position of the piece on that card, pieces that are off counted too.
    pub piece: u32,
    /// What it becomes; `None` takes it off the card.
    pub becomes: Option<NewPiece>,
    /// Position in [`CardAnswer::reasons`]; always points at one.
    pub reason: u32,
}

/// The changed piece: everything that a policy may change of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewPiece {
    /// Movement; always one of the library.
    pub movement: MovementIx,
    /// How many times it is done in its part.
    pub times: u32,
    /// How much each time; `low` is at most `high`.
    pub amount: Amount,
    /// Load on the first time; zero where there is none.
    pub first: Mass,
    /// Load on the heaviest time; zero where there is none.
    pub top: Mass,
    /// Effort aimed at, in tenths; 0 for none, at most 100.
    pub effort_tenths: u32,
    /// Range of movement, percent, 1 to 100.
    pub range_percent: u32,
}

/// Why a piece changes; shown to the athlete and the coach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The rule's id within the policy, 1 to 64 characters.
    pub rule: String,
    /// One plain sentence, 1 to 300 characters, without control characters.
    pub text: String,
}
