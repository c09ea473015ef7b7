//! A plan in the making: the cards as they stand, and what has happened to them so far.

use classwright_training::{AthleteIx, Card, Piece};

use crate::plan::{By, Change, Component, Fault};
use crate::{Class, resolve};

/// The cards of a class between two steps.
pub(crate) struct Draft {
    pub(crate) cards: Vec<Card>,
    pub(crate) traces: Vec<Vec<Change>>,
    pub(crate) needs_coach: Vec<Vec<String>>,
    pub(crate) faults: Vec<Fault>,
    pub(crate) components: Vec<Component>,
}

impl Draft {
    /// Every card as written.
    pub(crate) fn new(class: &Class<'_>) -> Self {
        let athletes = || (0..class.athletes.len() as u32).map(AthleteIx);
        Draft {
            cards: athletes().map(|ix| resolve::card(class, ix)).collect(),
            traces: athletes().map(|_| Vec::new()).collect(),
            needs_coach: athletes().map(|_| Vec::new()).collect(),
            faults: Vec::new(),
            components: Vec::new(),
        }
    }

    /// Puts a piece in place of another and writes down why, unless nothing changes.
    pub(crate) fn change(&mut self, card: usize, piece: usize, to: Piece, by: By, rule: &str, why: &str) {
        let place = &mut self.cards[card].pieces[piece];
        if *place != to {
            let from = std::mem::replace(place, to.clone());
            self.traces[card].push(Change { piece, by, rule: rule.into(), why: why.into(), from, to });
        }
    }

    /// Marks a card for the coach; the same sentence stands once.
    pub(crate) fn needs_coach(&mut self, card: usize, why: String) {
        if !self.needs_coach[card].contains(&why) {
            self.needs_coach[card].push(why);
        }
    }
}
