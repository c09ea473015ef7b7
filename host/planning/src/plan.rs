//! A finished plan: checked cards, a checked floor plan, and how they came to be.

use classwright_policies::PolicyFailure;
use classwright_training::floor::{Floor, Layout};
use classwright_training::{AthleteIx, Card, Mass, Piece};

use crate::floor::NeededLater;
use crate::teams::PartTeams;

/// What a coach takes to the floor.
#[derive(Clone, Debug)]
pub struct Plan {
    /// One for each athlete of the class, in its order.
    pub cards: Vec<PlannedCard>,
    /// Who starts when, with which bar.
    pub floor: FloorPlan,
    /// What went wrong with a policy, in the order in which it happened.
    pub faults: Vec<Fault>,
    /// How the parts lie in the class.
    pub times: Vec<PartTime>,
    /// What the coach should know about the class as a whole.
    pub notices: Vec<String>,
    /// The policies asked, in order.
    pub components: Vec<Component>,
}

/// A card with its trace.
#[derive(Clone, Debug)]
pub struct PlannedCard {
    /// What the athlete does.
    pub card: Card,
    /// For each piece, the load of each time it is done; empty where there is none.
    pub made: Vec<Vec<MadeLoad>>,
    /// Every change in order.
    pub trace: Vec<Change>,
    /// Why the coach is needed; empty where they are not.
    pub needs_coach: Vec<String>,
}

/// A load that can be made with the kit there is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeLoad {
    /// Of a bar with its plates, or of each implement.
    pub total: Mass,
    /// How the bar is loaded, where it is one.
    pub bar: Option<LoadedBar>,
}

/// A bar with its plates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadedBar {
    /// Position of its type in the kit of the athlete's place.
    pub bar_type: u32,
    /// The bar alone.
    pub bar: Mass,
    /// Plates on each sleeve, inner to outer.
    pub side: Vec<Mass>,
}

/// One difference made to a card, with its reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Position of the piece on the card.
    pub piece: usize,
    /// Who made it.
    pub by: By,
    /// The rule's id.
    pub rule: String,
    /// One sentence.
    pub why: String,
    /// Before.
    pub from: Piece,
    /// After.
    pub to: Piece,
}

/// Who made a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum By {
    /// The coach's own line in the session.
    Coach,
    /// The host, when it made a load from the kit there is.
    Host,
    /// A policy: position in [`Plan::components`].
    Policy(usize),
}

/// A policy that was asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Component {
    /// Name.
    pub name: String,
    /// Version.
    pub version: String,
    /// SHA-256 of the component, hexadecimal.
    pub digest: String,
    /// What it was asked.
    pub call: &'static str,
    /// Fuel it used.
    pub fuel: u64,
}

/// A policy's answer that was not taken, or that never came.
#[derive(Clone, Debug)]
pub struct Fault {
    /// What happened, with policy, version and digest.
    pub failure: PolicyFailure,
    /// Whose cards stay as they stood and need the coach.
    pub athletes: Vec<AthleteIx>,
}

/// The floor plan with the problem it answers.
#[derive(Clone, Debug)]
pub struct FloorPlan {
    /// The problem.
    pub floor: Floor,
    /// The plan.
    pub layout: Layout,
    /// The athlete of the class behind each athlete on the floor.
    pub athletes: Vec<AthleteIx>,
    /// Part and stage within it (both from 0) of each stage of the floor.
    pub stages: Vec<(usize, u32)>,
    /// Who works with whom, in the parts for teams.
    pub teams: Vec<PartTeams>,
    /// No plan ends before this second.
    pub lower_bound_s: Option<u32>,
    /// True where the policy proved that no plan is better.
    pub optimal: bool,
    /// Who laid it out.
    pub by: By,
    /// Bars that another class needs after this one, with which the plan is done by then.
    pub later: Vec<NeededLater>,
}

/// How a part lies in the class. Seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartTime {
    /// First start on the floor.
    pub start_s: u32,
    /// Last end on the floor.
    pub end_s: u32,
    /// Shortest time any athlete needs, and whose.
    pub quickest: Option<(AthleteIx, u32)>,
    /// Longest time any athlete needs, and whose.
    pub slowest: Option<(AthleteIx, u32)>,
}

impl FloorPlan {
    /// When the last bout ends; 0 where there is no plan.
    pub fn finish_s(&self) -> u32 {
        if self.layout.starts.is_empty() { 0 } else { self.floor.finish_s(&self.layout) }
    }
}
