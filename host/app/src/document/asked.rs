//! What a floor plan had to respect, by the names that the project sets, so that a plan's JSON stands by itself.
//!
//! With it a plan can be checked and planned anew without the gym's files. [`AskedDoc::floor`] believes nothing: every
//! name is looked up and every number is held against bounds that no class reaches, and what is wrong is told with its
//! place in the document. Whether the plan keeps the rules is not asked here.

mod bounds;
mod read;
#[cfg(test)]
pub(crate) mod tests;

use classwright_planning::floor::NeededLater;
pub(crate) use classwright_planning::floor::OUT_OF_SERVICE_S;
use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorBar, Layout, Taken};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub(super) use bounds::{second, wrong};
pub(super) use read::{found, positions};

/// Everything that the floor plan had to respect. Kit is claimed by its name here; bars and plates by theirs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedDoc {
    /// The class has the floor until then.
    pub window_s: u32,
    /// Starts before this second had happened when the plan was made, and stayed as they were.
    pub now_s: u32,
    /// Heats start on multiples of this; 1 is free.
    pub start_step_s: u32,
    /// Most athletes under the coach's eye at once.
    pub coach_span: u32,
    /// Most heats.
    pub max_heats: u32,
    /// Seconds for any change of plates.
    pub setup_fixed_s: u32,
    /// Seconds for each pair of plates moved.
    pub setup_pair_s: u32,
    /// Effort asked of the policy, in its own steps; 0 leaves it to the policy.
    pub effort: u64,
    /// Mass of one collar; 0 where collars are not counted.
    pub collar_kg: f64,
    /// Those on the floor, in roster order.
    pub athletes: Vec<AskedAthleteDoc>,
    /// What each of them does between two rests, in order.
    pub bouts: Vec<AskedBoutDoc>,
    /// Counted kit that the class uses.
    pub stock: Vec<AskedKitDoc>,
    /// Kinds of bar.
    pub bar_kinds: Vec<AskedBarKindDoc>,
    /// Bars in service.
    pub bars: Vec<AskedBarDoc>,
    /// Plates for bars, in pairs.
    pub plates: Vec<AskedPlatesDoc>,
    /// Kit that another class holds for a while.
    pub taken: Vec<AskedTakenDoc>,
    /// Bars that another class needs after this one, and with which the plan is done by then.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needed_later: Vec<AskedLaterDoc>,
    /// Two athletes (ids) who are in one heat.
    pub together: Vec<[String; 2]>,
    /// Two athletes (ids) who are not.
    pub apart: Vec<[String; 2]>,
}

/// An athlete on the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedAthleteDoc {
    /// Athlete id.
    pub athlete: String,
    /// Nothing of theirs starts earlier.
    pub ready_s: u32,
}

/// Work between two rests: one set, or one part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedBoutDoc {
    /// Athlete id.
    pub athlete: String,
    /// From 1.
    pub part: u32,
    /// Set or interval within the part, from 1.
    pub set: u32,
    /// Typical; the plan is made with it.
    pub duration_s: u32,
    /// Shortest of the usual range.
    pub shortest_s: u32,
    /// Longest of the usual range.
    pub longest_s: u32,
    /// Least rest after it.
    pub rest_least_s: u32,
    /// Most rest after it; absent for no limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_most_s: Option<u32>,
    /// How many of the coach's span it takes.
    pub watch: u32,
    /// The kind of bar it needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar_kind: Option<String>,
    /// The plates it needs on each sleeve, inner to outer; there where `bar_kind` is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side_kg: Option<Vec<f64>>,
    /// The bar that the plan gives it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar: Option<String>,
    /// Other kit that it holds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kit: Vec<AskedKitDoc>,
}

/// So many of some kit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedKitDoc {
    /// Its name: the kind, with the mass of each where that matters.
    pub kit: String,
    /// How many.
    pub count: u32,
}

/// A kind of bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedBarKindDoc {
    /// Its name.
    pub kind: String,
    /// The bar alone.
    pub bar_kg: f64,
}

/// A bar, as it was before the class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedBarDoc {
    /// What the coach calls it.
    pub bar: String,
    /// Its kind.
    pub kind: String,
    /// Nobody has it before this second.
    pub free_from_s: u32,
    /// What is on each sleeve then, inner to outer.
    pub side_kg: Vec<f64>,
    /// True where it went out of service during the class: nobody starts with it from `now_s` on.
    #[serde(default, skip_serializing_if = "is_false")]
    pub out_of_service: bool,
}

/// Plates of one mass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedPlatesDoc {
    /// One plate.
    pub plate_kg: f64,
    /// How many pairs.
    pub pairs: u32,
}

/// Kit that another class holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedTakenDoc {
    /// Counted kit by name; absent for plates.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kit: Option<String>,
    /// Plates of this mass; absent for other kit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plate_kg: Option<f64>,
    /// How many; pairs of plates.
    pub count: u32,
    /// From.
    pub from_s: u32,
    /// Until; 4294967295 where it is not given back.
    pub to_s: u32,
}

/// A bar that another class needs later.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AskedLaterDoc {
    /// What the coach calls it.
    pub bar: String,
    /// When the other class begins with it.
    pub from_s: u32,
    /// When the other class has put it away.
    pub to_s: u32,
}

/// What is wrong with a document that could be read, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {problem}")]
pub struct PlaceError {
    /// Where in the document: `floor.asked.bouts[3].bar_kind`.
    pub place: String,
    /// What, and what to do.
    pub problem: String,
}

/// A floor with what its numbers stand for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NamedFloor {
    /// The problem.
    pub floor: Floor,
    /// Id of each athlete.
    pub athletes: Vec<String>,
    /// Part and set, both from 1, of each stage.
    pub stages: Vec<(u32, u32)>,
    /// Mass of one collar.
    pub collar: Mass,
    /// Effort asked of the policy.
    pub effort: u64,
    /// Bars that another class needs after this one.
    pub later: Vec<NeededLater>,
}

impl AskedDoc {
    /// What was asked, and the bars that the plan gives.
    pub fn new(named: &NamedFloor, layout: &Layout) -> Self {
        let floor = &named.floor;
        let kinds = kind_names(floor);
        let id = |athlete: u32| named.athletes[athlete as usize].clone();
        let side = |loading: u32| side_kg(floor, loading);
        let kit = |&(row, count): &(u32, u32)| AskedKitDoc { kit: floor.stock[row as usize].name.clone(), count };
        let bout = |(at, bout): (usize, &Bout)| {
            let (part, set) = named.stages[bout.stage as usize];
            let bar = layout.bar_of.get(at).copied().flatten();
            AskedBoutDoc {
                athlete: id(bout.athlete),
                part,
                set,
                duration_s: bout.duration_s,
                shortest_s: bout.shortest_s,
                longest_s: bout.longest_s,
                rest_least_s: bout.rest_least_s,
                rest_most_s: bout.rest_most_s,
                watch: bout.watch,
                bar_kind: bout.bar.map(|(kind, _)| kinds[kind as usize].clone()),
                side_kg: bout.bar.map(|(_, loading)| side(loading)),
                bar: bar.map(|bar| floor.bars[bar as usize].id.clone()),
                kit: bout.claims.iter().map(kit).collect(),
            }
        };
        let bar = |bar: &FloorBar| AskedBarDoc {
            bar: bar.id.clone(),
            kind: kinds[bar.bar_type as usize].clone(),
            free_from_s: if bar.free_from_s < OUT_OF_SERVICE_S { bar.free_from_s } else { 0 },
            side_kg: side(bar.loading),
            out_of_service: bar.free_from_s >= OUT_OF_SERVICE_S,
        };
        let taken = |taken: &Taken| AskedTakenDoc {
            kit: taken.stock.map(|row| floor.stock[row as usize].name.clone()),
            plate_kg: taken.plate.map(|plate| floor.plates[plate as usize].0.kg()),
            count: taken.count,
            from_s: taken.from_s,
            to_s: taken.to_s,
        };
        let later = |later: &NeededLater| AskedLaterDoc {
            bar: floor.bars[later.bar as usize].id.clone(),
            from_s: later.from_s,
            to_s: later.to_s,
        };
        let pair = |&(first, second): &(u32, u32)| [id(first), id(second)];
        let athletes = named.athletes.iter().zip(&floor.athletes);
        AskedDoc {
            window_s: floor.window_s,
            now_s: floor.now_s,
            start_step_s: floor.start_step_s,
            coach_span: floor.coach_span,
            max_heats: floor.max_heats,
            setup_fixed_s: floor.setup_fixed_s,
            setup_pair_s: floor.setup_pair_s,
            effort: named.effort,
            collar_kg: named.collar.kg(),
            athletes: athletes.map(|(id, a)| AskedAthleteDoc { athlete: id.clone(), ready_s: a.ready_s }).collect(),
            bouts: floor.bouts.iter().enumerate().map(bout).collect(),
            stock: floor.stock.iter().map(|row| AskedKitDoc { kit: row.name.clone(), count: row.count }).collect(),
            bar_kinds: floor
                .bar_types
                .iter()
                .zip(&kinds)
                .map(|((_, mass), kind)| AskedBarKindDoc { kind: kind.clone(), bar_kg: mass.kg() })
                .collect(),
            bars: floor.bars.iter().map(bar).collect(),
            plates: floor
                .plates
                .iter()
                .map(|(mass, pairs)| AskedPlatesDoc { plate_kg: mass.kg(), pairs: *pairs })
                .collect(),
            taken: floor.taken.iter().map(taken).collect(),
            needed_later: named.later.iter().map(later).collect(),
            together: floor.together.iter().map(pair).collect(),
            apart: floor.apart.iter().map(pair).collect(),
        }
    }

    /// The floor that was planned; without a present plan, which is the document's own.
    pub fn floor(&self) -> Result<NamedFloor, PlaceError> {
        read::Reader::new(self)?.read()
    }
}

/// The plates of a loading, inner to outer.
pub(super) fn side_kg(floor: &Floor, loading: u32) -> Vec<f64> {
    floor.loadings[loading as usize].iter().map(|&plate| floor.plates[plate as usize].0.kg()).collect()
}

/// Names of the kinds of bar, each once.
pub(super) fn kind_names(floor: &Floor) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (name, _) in &floor.bar_types {
        let again = names.iter().filter(|known| *known == name).count();
        names.push(if again == 0 { name.clone() } else { format!("{name} ({})", names.len() + 1) });
    }
    names
}

fn is_false(value: &bool) -> bool {
    !*value
}
