//! The floor plan on the wire.

use classwright_planning::floor::{BarUse, bar_uses};
use classwright_planning::{By, Class, FloorPlan, Plan};
use classwright_training::floor::{Bout, Layout};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::asked::{AskedDoc, NamedFloor, PlaceError, found, positions, second, side_kg, wrong};

/// Who starts when, with which bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
    /// What the plan had to respect: with it the document stands by itself, to be checked or planned anew.
    pub asked: AskedDoc,
}

/// Athletes who start together on the coach's call.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
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
        let FloorPlan { floor, layout, athletes, stages, lower_bound_s, optimal, by, later, .. } = &plan.floor;
        let named = NamedFloor {
            floor: floor.clone(),
            athletes: athletes.iter().map(|ix| class.athlete(*ix).id.clone()).collect(),
            stages: stages.iter().map(|&(part, set)| (part as u32 + 1, set + 1)).collect(),
            collar: class.floor_kit.collar,
            effort: class.rules.effort,
            later: later.clone(),
        };
        FloorDoc::laid_out(&named, layout, *lower_bound_s, *optimal, *by == By::Host)
    }

    /// The document of a floor and a plan of it; of an empty plan what was asked.
    pub(crate) fn laid_out(
        named: &NamedFloor,
        layout: &Layout,
        lower_bound_s: Option<u32>,
        optimal: bool,
        by_host: bool,
    ) -> Self {
        let floor = &named.floor;
        let laid_out = !layout.starts.is_empty();
        let uses = if laid_out { bar_uses(floor, layout) } else { Vec::new() };
        FloorDoc {
            finish_s: if laid_out { floor.finish_s(layout) } else { 0 },
            lower_bound_s,
            optimal,
            laid_out_by: if by_host { "host".into() } else { "policy".into() },
            plate_pairs_moved: uses.iter().map(|u| u.moved_pairs).sum(),
            heats: (0..layout.starts.len()).map(|heat| heat_doc(named, layout, heat)).collect(),
            bars: bars(named, &uses),
            asked: AskedDoc::new(named, layout),
        }
    }

    /// The plan that the document tells, for the floor that it was asked for; none where it has no heats.
    pub fn layout(&self, named: &NamedFloor) -> Result<Option<Layout>, PlaceError> {
        if self.heats.is_empty() {
            return Ok(None);
        }
        let floor = &named.floor;
        let athletes = positions("asked.athletes", "athlete", named.athletes.iter().map(String::as_str))?;
        let mut heat_of: Vec<Option<u32>> = vec![None; named.athletes.len()];
        let mut starts = vec![vec![None; named.stages.len()]; self.heats.len()];
        for (heat, row) in self.heats.iter().enumerate() {
            let place = |field: &str| format!("heats[{heat}].{field}");
            if row.heat as usize != heat + 1 {
                return Err(wrong(place("heat"), format!("is {}; heats are counted from 1 in order", row.heat)));
            }
            for (at, id) in row.athletes.iter().enumerate() {
                let place = place(&format!("athletes[{at}]"));
                let athlete = found(&athletes, &place, id)? as usize;
                if heat_of[athlete].replace(heat as u32).is_some() {
                    return Err(wrong(place, format!("`{id}` is in two heats")));
                }
            }
            for (at, start) in row.starts.iter().enumerate() {
                let stage = named.stages.binary_search(&(start.part, start.set)).map_err(|_| {
                    let problem = format!("nobody does set {} of part {}", start.set, start.part);
                    wrong(place(&format!("starts[{at}]")), problem)
                })?;
                let place = place(&format!("starts[{at}].start_s"));
                starts[heat][stage] = Some(second(&place, start.start_s)?);
            }
        }
        let heat_of = heat_of
            .into_iter()
            .zip(&named.athletes)
            .map(|(heat, id)| heat.ok_or_else(|| wrong("heats", format!("`{id}` is on the floor and in no heat"))));
        let bars: Vec<&str> = floor.bars.iter().map(|bar| bar.id.as_str()).collect();
        let bars = positions("asked.bars", "bar", bars.into_iter())?;
        let mut bar_of = vec![None; floor.bouts.len()];
        for (at, row) in self.asked.bouts.iter().enumerate() {
            let Some(bar) = &row.bar else { continue };
            let bar = found(&bars, &format!("asked.bouts[{at}].bar"), bar)?;
            let stage = named.stages.binary_search(&(row.part, row.set)).ok();
            let own = athletes.get(row.athlete.as_str()).zip(stage).and_then(|(athlete, stage)| {
                let key = |bout: &Bout| (bout.athlete, bout.stage as usize);
                floor.bouts.binary_search_by_key(&(*athlete, stage), key).ok()
            });
            if let Some(bout) = own {
                bar_of[bout] = Some(bar);
            }
        }
        Ok(Some(Layout { heat_of: heat_of.collect::<Result<_, _>>()?, starts, bar_of }))
    }
}

fn heat_doc(named: &NamedFloor, layout: &Layout, heat: usize) -> HeatDoc {
    let of_heat = |athlete: usize| layout.heat_of[athlete] as usize == heat;
    let members = (0..named.athletes.len()).filter(|&at| of_heat(at));
    let starts = layout.starts[heat].iter().enumerate().filter_map(|(stage, start)| {
        let start_s = (*start)?;
        let (part, set) = named.stages[stage];
        let bouts = named.floor.bouts.iter().filter(|b| b.stage as usize == stage && of_heat(b.athlete as usize));
        let end_s = start_s + bouts.map(|b| b.duration_s).max()?;
        Some(StartDoc { part, set, start_s, end_s })
    });
    HeatDoc {
        heat: heat as u32 + 1,
        athletes: members.map(|at| named.athletes[at].clone()).collect(),
        starts: starts.collect(),
    }
}

fn bars(named: &NamedFloor, uses: &[BarUse]) -> Vec<BarDoc> {
    let floor = &named.floor;
    let bars = floor.bars.iter().enumerate();
    bars.map(|(at, bar)| {
        let (kind, mass) = &floor.bar_types[bar.bar_type as usize];
        let own = uses.iter().filter(|u| u.bar as usize == at);
        let doc = |u: &BarUse| {
            let (part, set) = named.stages[floor.bouts[u.bout as usize].stage as usize];
            let side = side_kg(floor, u.to_loading);
            let collars = named.collar.kg() * 2.0;
            BarUseDoc {
                athlete: named.athletes[u.athlete as usize].clone(),
                part,
                set,
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
