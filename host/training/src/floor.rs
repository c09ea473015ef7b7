//! The floor problem: bouts with durations and claims on counted kit, and plans that answer it.
//!
//! The same shapes as the contract's heats question, in the host's own types. Times are whole seconds from the start
//! of the class; intervals are half-open. The rules that a plan must keep are checked in the planning crate.

use crate::Mass;

/// All that a floor plan has to respect.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Floor {
    /// The class has the floor until then.
    pub window_s: u32,
    /// Starts before this second stay as the present plan has them.
    pub now_s: u32,
    /// Heats start on multiples of this; 1 is free.
    pub start_step_s: u32,
    /// Sum of `watch` at once is at most this.
    pub coach_span: u32,
    /// Most heats.
    pub max_heats: u32,
    /// Seconds for any change of plates.
    pub setup_fixed_s: u32,
    /// Seconds for each pair of plates moved.
    pub setup_pair_s: u32,
    /// Number of stages.
    pub stage_count: u32,
    /// Athletes on the floor.
    pub athletes: Vec<FloorAthlete>,
    /// Bouts, in the order of athletes.
    pub bouts: Vec<Bout>,
    /// Counted kit.
    pub stock: Vec<FloorStock>,
    /// Kinds of bar.
    pub bar_types: Vec<(String, Mass)>,
    /// Bars.
    pub bars: Vec<FloorBar>,
    /// Loadings; the first is the empty bar.
    pub loadings: Vec<Vec<u32>>,
    /// Plate masses with pairs in stock; loadings point into it.
    pub plates: Vec<(Mass, u32)>,
    /// Kit that another class holds.
    pub taken: Vec<Taken>,
    /// Pairs of athletes who are in one heat.
    pub together: Vec<(u32, u32)>,
    /// Pairs of athletes who are not.
    pub apart: Vec<(u32, u32)>,
    /// The plan there is.
    pub present: Option<Layout>,
}

/// How the gym runs its floor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FloorRules {
    /// Most athletes at loaded or hurried work under the coach's eye at once.
    pub coach_span: u32,
    /// Most heats.
    pub max_heats: u32,
    /// Heats start on multiples of this many seconds; 1 is free.
    pub start_step_s: u32,
    /// Seconds for any change of plates.
    pub setup_fixed_s: u32,
    /// Seconds for each pair of plates moved.
    pub setup_pair_s: u32,
    /// Least seconds between one part and the next.
    pub between_parts_s: u32,
    /// Effort asked of the heat policy, in its own steps; 0 leaves it to the policy.
    pub effort: u64,
}

/// An athlete on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FloorAthlete {
    /// Nothing of theirs starts earlier.
    pub ready_s: u32,
    /// First of their bouts.
    pub first_bout: u32,
    /// How many.
    pub bout_count: u32,
}

/// Work between two rests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bout {
    /// Whose.
    pub athlete: u32,
    /// Stage: all bouts of a heat at a stage start together.
    pub stage: u32,
    /// How long, typically; plans are made and checked with it.
    pub duration_s: u32,
    /// Shortest of the usual range; equal to `duration_s` where the clock ends the work.
    pub shortest_s: u32,
    /// Longest of the usual range.
    pub longest_s: u32,
    /// Least rest after it.
    pub rest_least_s: u32,
    /// Most rest after it.
    pub rest_most_s: Option<u32>,
    /// How many of the coach's span it takes.
    pub watch: u32,
    /// Bar type and loading, where it needs a bar.
    pub bar: Option<(u32, u32)>,
    /// Position in the stock and count.
    pub claims: Vec<(u32, u32)>,
}

/// Counted kit that is not told apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FloorStock {
    /// What: a kit id, with the mass of each where that matters.
    pub name: String,
    /// How many.
    pub count: u32,
}

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FloorBar {
    /// What the coach calls it.
    pub id: String,
    /// Position in the bar types.
    pub bar_type: u32,
    /// Nobody has it before this second.
    pub free_from_s: u32,
    /// What is on it then.
    pub loading: u32,
}

/// Kit that another class holds for a while.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// Position in the stock.
    pub stock: Option<u32>,
    /// Position in the plates.
    pub plate: Option<u32>,
    /// How many (pairs for plates).
    pub count: u32,
    /// From.
    pub from_s: u32,
    /// Until.
    pub to_s: u32,
}

/// A plan of the floor.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// Heat of each athlete, from 0 without gaps.
    pub heat_of: Vec<u32>,
    /// Start of each heat at each stage.
    pub starts: Vec<Vec<Option<u32>>>,
    /// Bar of each bout.
    pub bar_of: Vec<Option<u32>>,
}

/// A policy's answer: a plan, and how far from the best it can be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeatsAnswer {
    /// The plan.
    pub plan: Layout,
    /// No plan ends earlier.
    pub lower_bound_s: u32,
    /// True only with proof.
    pub optimal: bool,
}

impl Floor {
    /// Seconds to change a bar from one loading to another.
    pub fn setup_s(&self, from: u32, to: u32) -> u32 {
        match self.moves(from, to) {
            0 => 0,
            moved => self.setup_fixed_s + moved * self.setup_pair_s,
        }
    }

    /// Pairs of plates taken off or put on between two loadings: all but their common inner ones.
    pub fn moves(&self, from: u32, to: u32) -> u32 {
        let (a, b) = (&self.loadings[from as usize], &self.loadings[to as usize]);
        let common = a.iter().zip(b).take_while(|(x, y)| x == y).count();
        (a.len() + b.len() - 2 * common) as u32
    }

    /// When the plan ends.
    pub fn finish_s(&self, layout: &Layout) -> u32 {
        let end = |bout: &Bout| {
            let heat = layout.heat_of[bout.athlete as usize];
            layout.starts[heat as usize][bout.stage as usize].unwrap_or(0) + bout.duration_s
        };
        self.bouts.iter().map(end).max().unwrap_or(0)
    }
}
