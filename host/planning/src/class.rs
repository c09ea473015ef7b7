//! What a plan is made from: one class, with everything it needs in hand.

use std::sync::Arc;

use classwright_policies::{Kind, Limits, Policy, PolicyFailure};
use classwright_training::floor::FloorRules;
use classwright_training::{Athlete, AthleteIx, Kit, MovementIx, MovementLibrary, Place, Session};

/// One class: a session, who is there, with what, under which policies.
#[derive(Clone, Copy)]
pub struct Class<'a> {
    /// What the coach wrote.
    pub session: &'a Session,
    /// Movements and kinds of kit; the session and the athletes point into it.
    pub library: &'a Arc<MovementLibrary>,
    /// Who is checked in, in roster order.
    pub athletes: &'a [Athlete],
    /// Kit in service on the gym floor.
    pub floor_kit: &'a Kit,
    /// Kit of those who train at home; [`Place::Home`] points into it.
    pub home_kits: &'a [Kit],
    /// How the floor is run.
    pub rules: &'a FloorRules,
    /// Policies in the order in which they are asked.
    pub shelf: &'a [OnShelf],
    /// Policies that are on the shelf and could not be loaded.
    pub unloaded: &'a [PolicyFailure],
}

/// A policy on the shelf, ready to be asked.
#[derive(Clone)]
pub struct OnShelf {
    /// The component.
    pub policy: Arc<Policy>,
    /// Name it gave of itself.
    pub name: String,
    /// Version it gave of itself.
    pub version: String,
    /// The kinds it is asked for.
    pub kinds: Vec<Kind>,
    /// The owner's settings, JSON text.
    pub settings: String,
    /// Limits of a call.
    pub limits: Limits,
}

impl Class<'_> {
    /// The athlete at a position.
    pub fn athlete(&self, ix: AthleteIx) -> &Athlete {
        &self.athletes[ix.0 as usize]
    }

    /// Kit where an athlete trains.
    pub fn kit_of(&self, ix: AthleteIx) -> &Kit {
        match self.athlete(ix).place {
            Place::Floor => self.floor_kit,
            Place::Home(home) => &self.home_kits[home as usize],
        }
    }

    /// Kinds of kit, by name, that a movement needs and the athlete's place has too few of.
    pub fn lacking(&self, ix: AthleteIx, movement: MovementIx) -> Vec<&str> {
        let kit = self.kit_of(ix);
        let needs = &self.library.movement(movement).needs;
        let short = needs.iter().filter(|need| kit.count(need.kit) < need.count);
        short.map(|need| self.library.kit(need.kit).name.as_str()).collect()
    }
}
