//! The floor plan on the wire.

use classwright_planning::floor::{BarUse, bar_uses};
use classwright_planning::{By, Class, Plan};
use schemars::JsonSchema;
use serde::Serialize;

/// Who starts when, with which bar.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FloorDoc {
    /// End of the last bout; 0 where nobody is on the floor.
    pub finish_s: u32,
    /// No plan ends earlier than this; absent where the host laid the plan out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lower_bound_s: Option<u32>,
    /// True where the policy proved that no plan is better.
    pub optimal: bool,
    /// `policy`, or `host` where people go in turn.
    pub laid_out_by: String,
    /// Pairs of plates put on or taken off over the whole class.
    pub plate_pairs_moved: u32,
    /// In order of number.
    pub heats: Vec<HeatDoc>,
    /// The bar sheet: every bar with its uses in order.
    pub bars: Vec<BarDoc>,
}

/// Athletes who start together on the coach's call.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeatDoc {
    /// From 1.
    pub heat: u32,
    /// Athlete ids, in roster order.
    pub athletes: Vec<String>,
    /// In order.
    pub starts: Vec<StartDoc>,
}

/// A start of a heat.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StartDoc {
    /// From 1.
    pub part: u32,
    /// Set or interval within the part, from 1.
    pub set: u32,
    /// When.
    pub start_s: u32,
    /// When the last of the heat is done with it.
    pub end_s: u32,
}

/// A bar.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BarDoc {
    /// What the coach calls it.
    pub bar: String,
    /// Its kind.
    pub kind: String,
    /// The bar alone.
    pub bar_kg: f64,
    /// In order of start.
    pub uses: Vec<BarUseDoc>,
}

/// A use of a bar: one set, or one part, of one athlete.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BarUseDoc {
    /// Athlete id.
    pub athlete: String,
    /// From 1.
    pub part: u32,
    /// Set or interval within the part, from 1.
    pub set: u32,
    /// Bar, plates and, where they are counted, collars.
    pub total_kg: f64,
    /// Plates on each sleeve, inner to outer.
    pub side_kg: Vec<f64>,
    /// Pairs of plates moved before it.
    pub pairs_moved: u32,
    /// The change of plates begins.
    pub setup_from_s: u32,
    /// The bout begins.
    pub start_s: u32,
    /// The bout ends.
    pub end_s: u32,
}

impl FloorDoc {
    pub(super) fn new(class: &Class<'_>, plan: &Plan) -> Self {
        let (floor, layout) = (&plan.floor.floor, &plan.floor.layout);
        let laid_out = !layout.starts.is_empty();
        let uses = if laid_out { bar_uses(floor, layout) } else { Vec::new() };
        FloorDoc {
            finish_s: if laid_out { floor.finish_s(layout) } else { 0 },
            lower_bound_s: plan.floor.lower_bound_s,
            optimal: plan.floor.optimal,
            laid_out_by: if plan.floor.by == By::Host { "host".into() } else { "policy".into() },
            plate_pairs_moved: uses.iter().map(|u| u.moved_pairs).sum(),
            heats: (0..layout.starts.len()).map(|heat| heat_doc(class, plan, heat)).collect(),
            bars: bars(class, plan, &uses),
        }
    }
}

fn heat_doc(class: &Class<'_>, plan: &Plan, heat: usize) -> HeatDoc {
    let (floor, layout) = (&plan.floor.floor, &plan.floor.layout);
    let of_heat = |athlete: usize| layout.heat_of[athlete] as usize == heat;
    let members = (0..plan.floor.athletes.len()).filter(|&at| of_heat(at));
    let starts = layout.starts[heat].iter().enumerate().filter_map(|(stage, start)| {
        let start_s = (*start)?;
        let (part, set) = plan.floor.stages[stage];
        let bouts = floor.bouts.iter().filter(|b| b.stage as usize == stage && of_heat(b.athlete as usize));
        let end_s = start_s + bouts.map(|b| b.duration_s).max()?;
        Some(StartDoc { part: part as u32 + 1, set: set + 1, start_s, end_s })
    });
    HeatDoc {
        heat: heat as u32 + 1,
        athletes: members.map(|at| class.athlete(plan.floor.athletes[at]).id.clone()).collect(),
        starts: starts.collect(),
    }
}

fn bars(class: &Class<'_>, plan: &Plan, uses: &[BarUse]) -> Vec<BarDoc> {
    let floor = &plan.floor.floor;
    let bars = floor.bars.iter().enumerate();
    bars.map(|(at, bar)| {
        let (kind, mass) = &floor.bar_types[bar.bar_type as usize];
        let own = uses.iter().filter(|u| u.bar as usize == at);
        let doc = |u: &BarUse| {
            let (part, set) = plan.floor.stages[floor.bouts[u.bout as usize].stage as usize];
            let side: Vec<f64> =
                floor.loadings[u.to_loading as usize].iter().map(|&p| floor.plates[p as usize].0.kg()).collect();
            let collars = class.floor_kit.collar.kg() * 2.0;
            BarUseDoc {
                athlete: class.athlete(plan.floor.athletes[u.athlete as usize]).id.clone(),
                part: part as u32 + 1,
                set: set + 1,
                total_kg: grams(mass.kg() + collars + 2.0 * side.iter().sum::<f64>()),
                side_kg: side,
                pairs_moved: u.moved_pairs,
                setup_from_s: u.setup_from_s,
                start_s: u.start_s,
                end_s: u.end_s,
            }
        };
        BarDoc { bar: bar.id.clone(), kind: kind.clone(), bar_kg: mass.kg(), uses: own.map(doc).collect() }
    })
    .collect()
}

/// Kilograms to the gram, so that sums print as they are read.
fn grams(kg: f64) -> f64 {
    (kg * 1000.0).round() / 1000.0
}
