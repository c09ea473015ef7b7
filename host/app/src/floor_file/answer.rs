//! A plan in the format `heats-solution-1`, with what is known of how good it is.

use std::collections::BTreeMap;

use classwright_planning::floor::objective;
use classwright_training::floor::HeatsAnswer;
use schemars::JsonSchema;
use serde::Serialize;

use super::FloorFile;

/// A plan of a floor.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SolutionDoc {
    /// `heats-solution-1`.
    pub format: String,
    /// Name of the floor.
    pub instance: String,
    /// The heats. Where a plan before was given, numbered as they were there as far as they stay.
    pub heats: Vec<SolutionHeatDoc>,
    /// Bar of each bout of each athlete; null for a bout without one.
    pub bars: BTreeMap<String, Vec<Option<String>>>,
    /// When the last bout ends, seconds.
    pub finish: u32,
    /// Pairs of plates put on or taken off, the first loading of each bar included.
    pub plate_moves: u32,
    /// Athletes who have another heat or another bar than in the plan before, or are new; absent where none was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changed: Option<u32>,
    /// No plan ends earlier.
    pub lower_bound: u32,
    /// True only with proof that no plan is better.
    pub optimal: bool,
}

/// A heat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SolutionHeatDoc {
    /// Who is in it.
    pub athletes: Vec<String>,
    /// When it starts its first bout, its second, and so on, seconds.
    pub starts: Vec<u32>,
}

impl FloorFile {
    /// A plan of this floor as a document. The plan has to be one that the host's checks have passed for shape.
    pub fn solution(&self, answer: &HeatsAnswer) -> SolutionDoc {
        let (floor, plan) = (&self.floor, &answer.plan);
        let in_heat = |heat: usize| {
            let members = self.athletes.iter().zip(&plan.heat_of).filter(move |(_, own)| **own as usize == heat);
            members.map(|(athlete, _)| athlete.clone()).collect()
        };
        let heats = plan.starts.iter().enumerate();
        let heats = heats.map(|(heat, row)| SolutionHeatDoc {
            athletes: in_heat(heat),
            starts: row.iter().map_while(|start| *start).collect(),
        });
        let bar_id = |bar: &Option<u32>| bar.map(|bar| floor.bars[bar as usize].id.clone());
        let bars = self.athletes.iter().zip(&floor.athletes).map(|(id, athlete)| {
            let bouts = &plan.bar_of[athlete.first_bout as usize..][..athlete.bout_count as usize];
            (id.clone(), bouts.iter().map(bar_id).collect())
        });
        let (finish, _, plate_moves) = objective(floor, plan);
        SolutionDoc {
            format: "heats-solution-1".into(),
            instance: self.name.clone(),
            heats: heats.collect(),
            bars: bars.collect(),
            finish,
            plate_moves,
            changed: None,
            lower_bound: answer.lower_bound_s,
            optimal: answer.optimal,
        }
    }
}

impl SolutionDoc {
    /// How far the plan may be from the earliest end, of its own end; 0 for a plan without a bout.
    pub fn gap(&self) -> f64 {
        f64::from(self.finish - self.lower_bound.min(self.finish)) / f64::from(self.finish.max(1))
    }
}
