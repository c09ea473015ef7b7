//! The house heat policy: who starts when, and who has which bar loaded how.
//!
//! Promises: a plan it gives keeps every rule of the contract; it ends as early as the search found, with as few heats
//! and plate changes as that allows; the lower bound holds for any policy's plan; `optimal` is said only with proof. A
//! question that no plan can answer is declined with the reason. The same question gives the same plan.
//!
//! Read in this order: `model` (the floor as arrays), `course` (from an order of starts to a plan) with `crew` (who
//! starts together) and `seats` (which bar for whom), `search` (which order) with `change`, `bounds` and `exact` (what
//! cannot be beaten), `solve` (how the effort is spent on all of these).

use classwright_sdk::heats::{Answer, Layout, Question};
use classwright_sdk::{Declined, Heats, NONE, Policy};
use schemars::JsonSchema;
use serde::Deserialize;

use crate::model::Model;
use crate::solve::{Solved, solve};

mod bounds;
mod canonical;
mod causes;
mod change;
mod course;
mod crew;
mod demand;
mod dice;
mod exact;
mod loadings;
mod luck;
mod model;
mod profile;
mod prove;
mod read;
mod search;
mod seats;
mod solve;
mod starts;
mod tidy;

/// Looks where the question asks for no effort of its own: some 800,000,000 to 1,200,000,000 units of fuel in a
/// component, under a host's usual limit.
const DEFAULT_EFFORT: u64 = 400_000;

/// The house heat policy.
#[derive(Debug)]
pub struct HouseHeats;

/// What the owner may set.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default, rename_all = "kebab-case")]
pub struct Settings {
    /// When a class is re-planned: seconds by which the class has to end earlier for each person who is moved to
    /// another heat or another bar. With 0 the class ends as early as it can, whoever has to move.
    #[schemars(range(max = 3600))]
    pub seconds_a_person: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Settings { seconds_a_person: 20 }
    }
}

impl Policy for HouseHeats {
    const NAME: &'static str = "house-heats";
    const VERSION: &'static str = env!("CARGO_PKG_VERSION");
    const LICENCE: &'static str = env!("CARGO_PKG_LICENSE");
    const PURPOSE: &'static str = "Heats that end early, with few changes of plates.";
    type Settings = Settings;
}

impl Heats for HouseHeats {
    fn plan_heats(floor: &Question, settings: &Settings) -> Result<Answer, Declined> {
        plan(floor, settings)
    }
}

classwright_sdk::export_heats!(HouseHeats);

/// The plan for a floor, or why there is none.
pub fn plan(question: &Question, settings: &Settings) -> Result<Answer, Declined> {
    let canonical = canonical::order(question);
    let question = &canonical.question;
    let mut model = Model::read(question)?;
    if model.units.is_empty() || model.stages == 0 {
        return Ok(nothing_to_do(question));
    }
    let effort = if question.effort == 0 { DEFAULT_EFFORT } else { question.effort };
    let mut solved = solve(&model, effort, settings.seconds_a_person);
    if solved.is_none() && model.replan {
        // As a last resort a change may have begun before now.
        model.change_from = 0;
        solved = solve(&model, effort / 4, settings.seconds_a_person);
    }
    let solved = solved.ok_or_else(|| {
        let most = question.max_heats;
        Declined(format!("No plan with {most} heats or fewer was found that keeps the rests and the plates."))
    })?;
    Ok(canonical.back(answer(&model, &solved)))
}

fn nothing_to_do(question: &Question) -> Answer {
    let heats = u32::from(!question.athletes.is_empty());
    let plan = Layout {
        heat_count: heats,
        heat_of: vec![0; question.athletes.len()],
        starts: vec![NONE; (heats * question.stage_count) as usize],
        bar_of: vec![NONE; question.bouts.len()],
    };
    Answer { plan, lower_bound_s: 0, optimal: 1 }
}

/// Numbers the heats without gaps: as they were where there was a plan, else in the order in which they start.
fn answer(model: &Model, Solved { best, bounds }: &Solved) -> Answer {
    let row = |heat: usize| &best.starts[heat * model.stages..][..model.stages];
    let mut heats: Vec<usize> = (0..model.slots).filter(|heat| best.heat_of.contains(heat)).collect();
    if !model.replan {
        heats.sort_by_key(|heat| row(*heat).iter().min().copied());
    }
    let number = |slot: usize| heats.iter().position(|heat| *heat == slot).expect("a used heat is listed") as u32;
    let mut heat_of = vec![0; model.athletes.len()];
    for (unit, slot) in model.units.iter().zip(&best.heat_of) {
        unit.athletes.iter().for_each(|athlete| heat_of[*athlete] = number(*slot));
    }
    let mut works = vec![false; model.slots * model.stages];
    for bout in &model.bouts {
        works[best.heat_of[model.unit_of[bout.athlete]] * model.stages + bout.stage] = true;
    }
    let start = |heat: usize, stage: usize| if works[heat * model.stages + stage] { row(heat)[stage] } else { NONE };
    let starts = heats.iter().flat_map(|heat| (0..model.stages).map(|stage| start(*heat, stage))).collect();
    let bar = |(bout, bar): (&model::Bout, &u32)| if bout.bar.is_some() { *bar } else { NONE };
    let bar_of = model.bouts.iter().zip(&best.bars).map(bar).collect();
    let worth = best.worth;
    let optimal =
        worth.changed == 0 && (worth.finish, worth.heats, worth.moves) <= (bounds.finish, bounds.heats, bounds.moves);
    let plan = Layout { heat_count: heats.len() as u32, heat_of, starts, bar_of };
    Answer { plan, lower_bound_s: bounds.finish, optimal: u32::from(optimal) }
}
