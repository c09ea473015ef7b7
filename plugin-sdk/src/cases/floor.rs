//! Cases for heats.
//!
//! ```
//! let case = classwright_sdk::cases::FloorCase::parse(r#"
//! title = "One bar, two people"
//!
//! [floor]
//! window-s = 3600
//! coach-span = 4
//! setup-fixed-s = 10
//! setup-pair-s = 5
//! plates = [{ kg = 10, pairs = 2 }]
//! bar-types = [{ name = "bar-20", kg = 20 }]
//! bars = [{ type = "bar-20" }]
//! stock = { rower = 2 }
//!
//! [[floor.athletes]]
//! bouts = [{ seconds = 60, rest-s = [60, 90], bar = "bar-20", plates = [10] }, { seconds = 90, claims = { rower = 1 } }]
//!
//! [[floor.athletes]]
//! bouts = [{ seconds = 60, rest-s = 60, bar = "bar-20" }]
//!
//! [expect]
//! finish-s-at-most = 300
//! "#)?;
//! assert_eq!(case.question.bouts.len(), 3);
//! # Ok::<(), String>(())
//! ```
//!
//! Whatever is expected, a plan that breaks a rule of the floor is a difference.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::{grams, plan};
use crate::heats::{
    Answer, Athlete, Bar, BarType, Bout, Claim, Layout, Loading, Pair, PlateStock, Question, StockRow, Taken,
};
use crate::{Declined, NONE};

/// A case, its names worked out.
#[derive(Clone, Debug)]
pub struct FloorCase {
    /// What it shows.
    pub title: String,
    /// The question.
    pub question: Question,
    expect: Expect,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Written {
    title: String,
    settings: Option<toml::Table>,
    floor: Floor,
    expect: Expect,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Floor {
    window_s: u32,
    #[serde(default = "some_effort")]
    effort: u64,
    #[serde(default)]
    now_s: u32,
    #[serde(default = "one")]
    start_step_s: u32,
    coach_span: u32,
    #[serde(default = "no_limit")]
    max_heats: u32,
    #[serde(default)]
    setup_fixed_s: u32,
    #[serde(default)]
    setup_pair_s: u32,
    #[serde(default)]
    plates: Vec<Plate>,
    #[serde(default)]
    bar_types: Vec<Kind>,
    #[serde(default)]
    bars: Vec<WrittenBar>,
    #[serde(default)]
    stock: BTreeMap<String, u32>,
    #[serde(default)]
    taken: Vec<WrittenTaken>,
    #[serde(default)]
    together: Vec<[u32; 2]>,
    #[serde(default)]
    apart: Vec<[u32; 2]>,
    athletes: Vec<WrittenAthlete>,
    present: Option<Present>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Plate {
    kg: f64,
    pairs: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Kind {
    name: String,
    kg: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenBar {
    r#type: String,
    #[serde(default)]
    free_from_s: u32,
    #[serde(default)]
    plates: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenTaken {
    stock: Option<String>,
    plate_kg: Option<f64>,
    count: u32,
    from_s: u32,
    to_s: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenAthlete {
    #[serde(default)]
    ready_s: u32,
    bouts: Vec<WrittenBout>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenBout {
    /// Its place among the athlete's bouts where none is named.
    stage: Option<u32>,
    seconds: u32,
    /// The usual range around it.
    usual_s: Option<[u32; 2]>,
    #[serde(default)]
    rest_s: Rest,
    #[serde(default = "one")]
    watch: u32,
    bar: Option<String>,
    #[serde(default)]
    plates: Vec<f64>,
    #[serde(default)]
    claims: BTreeMap<String, u32>,
}

/// Least rest, or least and most.
#[derive(Clone, Copy, Deserialize)]
#[serde(try_from = "toml::Value")]
struct Rest(u32, u32);

impl Default for Rest {
    fn default() -> Self {
        Rest(0, NONE)
    }
}

impl TryFrom<toml::Value> for Rest {
    type Error = String;
    fn try_from(value: toml::Value) -> Result<Self, String> {
        if let toml::Value::Integer(_) = value {
            return Ok(Rest(super::cards::Range::try_from(value)?.0, NONE));
        }
        let super::cards::Range(least, most) = super::cards::Range::try_from(value)?;
        Ok(Rest(least, most))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Present {
    heat_of: Vec<u32>,
    /// A row a heat; -1 where nobody of the heat has a bout.
    starts: Vec<Vec<i64>>,
    /// -1 for no bar.
    bar_of: Vec<i64>,
}

/// What the answer must be; all that is named must hold.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Expect {
    /// The policy declines, and its sentence holds this text.
    declines: Option<String>,
    finish_s_at_most: Option<u32>,
    lower_bound_s_at_least: Option<u32>,
    heats: Option<u32>,
    heats_at_most: Option<u32>,
    /// Pairs of plates moved, first loading included.
    moves_at_most: Option<u32>,
    optimal: Option<bool>,
    /// Athletes whose heat or bars differ from the present plan.
    changed_athletes_at_most: Option<u32>,
}

fn one() -> u32 {
    1
}

fn no_limit() -> u32 {
    1000
}

fn some_effort() -> u64 {
    1000
}

impl FloorCase {
    /// Reads a case; the error says what is wrong.
    pub fn parse(text: &str) -> Result<FloorCase, String> {
        let written: Written = toml::from_str(text).map_err(|error| error.to_string())?;
        let settings = match &written.settings {
            Some(table) => serde_json::to_string(table).map_err(|error| error.to_string())?,
            None => "{}".into(),
        };
        let question = Builder::new(&written.floor).question(&written.floor, settings)?;
        Ok(FloorCase { title: written.title, question, expect: written.expect })
    }

    /// How an answer differs from what is expected; empty where it does not.
    pub fn check(&self, answer: &Result<Answer, Declined>) -> Vec<String> {
        let expect = &self.expect;
        let answer = match (answer, &expect.declines) {
            (Err(declined), Some(text)) if declined.0.contains(text) => return Vec::new(),
            (Err(declined), _) => return vec![format!("declines: {declined}")],
            (Ok(_), Some(text)) => return vec![format!("answers, and should decline with `{text}`")],
            (Ok(answer), None) => answer,
        };
        let mut differences = plan::faults(&self.question, &answer.plan);
        if !differences.is_empty() {
            return differences;
        }
        let worth = plan::worth(&self.question, &answer.plan);
        if answer.lower_bound_s > worth.finish_s {
            differences.push(format!("claims a bound of {} s and ends at {} s", answer.lower_bound_s, worth.finish_s));
        }
        let mut hold = |what: &str, wanted: Option<u32>, got: u32, holds: fn(&u32, &u32) -> bool| {
            if let Some(wanted) = wanted.filter(|wanted| !holds(&got, wanted)) {
                differences.push(format!("{what}: {got}, expected {wanted}"));
            }
        };
        hold("finish-s-at-most", expect.finish_s_at_most, worth.finish_s, u32::le);
        hold("lower-bound-s-at-least", expect.lower_bound_s_at_least, answer.lower_bound_s, u32::ge);
        hold("heats", expect.heats, answer.plan.heat_count, u32::eq);
        hold("heats-at-most", expect.heats_at_most, answer.plan.heat_count, u32::le);
        hold("moves-at-most", expect.moves_at_most, worth.moves, u32::le);
        hold("optimal", expect.optimal.map(u32::from), answer.optimal, u32::eq);
        hold("changed-athletes-at-most", expect.changed_athletes_at_most, worth.changed_athletes, u32::le);
        differences
    }
}

/// Lists that other lists point into.
struct Builder {
    stock: Vec<String>,
    masses: Vec<u32>,
    texts: Vec<String>,
    loadings: Vec<Loading>,
    plates: Vec<u32>,
}

impl Builder {
    fn new(floor: &Floor) -> Builder {
        let stock: Vec<String> = floor.stock.keys().cloned().collect();
        let texts = stock.iter().cloned().chain(floor.bar_types.iter().map(|kind| kind.name.clone())).collect();
        Builder {
            stock,
            masses: floor.plates.iter().map(|plate| grams(plate.kg)).collect(),
            texts,
            loadings: vec![Loading { first: 0, count: 0 }],
            plates: Vec::new(),
        }
    }

    fn question(mut self, floor: &Floor, settings: String) -> Result<Question, String> {
        let mut bars = Vec::new();
        for bar in &floor.bars {
            bars.push(Bar {
                bar_type: bar_type(floor, &bar.r#type)?,
                free_from_s: bar.free_from_s,
                loading: self.loading(&bar.plates)?,
            });
        }
        let (mut athletes, mut bouts, mut claims) = (Vec::new(), Vec::new(), Vec::new());
        for (number, athlete) in (0..).zip(&floor.athletes) {
            let first_bout = bouts.len() as u32;
            for (at, bout) in (0..).zip(&athlete.bouts) {
                for (kit, &count) in &bout.claims {
                    claims.push(Claim { bout: bouts.len() as u32, kit: self.stock(kit)?, count });
                }
                let [shortest_s, longest_s] = bout.usual_s.unwrap_or([bout.seconds; 2]);
                bouts.push(Bout {
                    athlete: number,
                    stage: bout.stage.unwrap_or(at),
                    duration_s: bout.seconds,
                    shortest_s,
                    longest_s,
                    rest_least_s: bout.rest_s.0,
                    rest_most_s: bout.rest_s.1,
                    watch: bout.watch,
                    bar_type: bout.bar.as_ref().map(|name| bar_type(floor, name)).transpose()?.unwrap_or(NONE),
                    loading: if bout.bar.is_some() { self.loading(&bout.plates)? } else { NONE },
                });
            }
            let bout_count = athlete.bouts.len() as u32;
            athletes.push(Athlete { ready_s: athlete.ready_s, first_bout, bout_count });
        }
        let mut taken = Vec::new();
        for row in &floor.taken {
            taken.push(Taken {
                kit: row.stock.as_ref().map(|name| self.stock(name)).transpose()?.unwrap_or(NONE),
                plate: row.plate_kg.map(|kg| self.plate(kg)).transpose()?.unwrap_or(NONE),
                count: row.count,
                from_s: row.from_s,
                to_s: row.to_s,
            });
        }
        let stocked = self.stock.len() as u32;
        let pairs = |list: &[[u32; 2]]| list.iter().map(|&[first, second]| Pair { first, second }).collect();
        Ok(Question {
            settings,
            effort: floor.effort,
            window_s: floor.window_s,
            now_s: floor.now_s,
            start_step_s: floor.start_step_s,
            coach_span: floor.coach_span,
            max_heats: floor.max_heats,
            setup_fixed_s: floor.setup_fixed_s,
            setup_pair_s: floor.setup_pair_s,
            stage_count: bouts.iter().map(|bout| bout.stage + 1).max().unwrap_or(0),
            athletes,
            bouts,
            claims,
            stock: floor.stock.values().zip(0..).map(|(&count, kit)| StockRow { kit, count }).collect(),
            bar_types: (stocked..)
                .zip(&floor.bar_types)
                .map(|(name, kind)| BarType { name, mass_g: grams(kind.kg) })
                .collect(),
            bars,
            plate_stock: floor
                .plates
                .iter()
                .map(|plate| PlateStock { mass_g: grams(plate.kg), pairs: plate.pairs })
                .collect(),
            taken,
            together: pairs(&floor.together),
            apart: pairs(&floor.apart),
            present: floor.present.as_ref().map(layout),
            texts: self.texts,
            loadings: self.loadings,
            plates: self.plates,
        })
    }

    fn stock(&self, name: &str) -> Result<u32, String> {
        let at = self.stock.iter().position(|known| known == name);
        at.map(|at| at as u32).ok_or_else(|| format!("there is no stock `{name}`"))
    }

    fn plate(&self, kg: f64) -> Result<u32, String> {
        let at = self.masses.iter().position(|&mass| mass == grams(kg));
        at.map(|at| at as u32).ok_or_else(|| format!("there are no plates of {kg} kg"))
    }

    /// Equal loadings are one loading.
    fn loading(&mut self, kg: &[f64]) -> Result<u32, String> {
        let plates = kg.iter().map(|&kg| self.plate(kg)).collect::<Result<Vec<u32>, String>>()?;
        let of = |loading: &Loading| &self.plates[loading.first as usize..(loading.first + loading.count) as usize];
        if let Some(at) = self.loadings.iter().position(|loading| of(loading) == plates) {
            return Ok(at as u32);
        }
        self.loadings.push(Loading { first: self.plates.len() as u32, count: plates.len() as u32 });
        self.plates.extend(plates);
        Ok(self.loadings.len() as u32 - 1)
    }
}

fn bar_type(floor: &Floor, name: &str) -> Result<u32, String> {
    let at = floor.bar_types.iter().position(|kind| kind.name == name);
    at.map(|at| at as u32).ok_or_else(|| format!("there is no bar type `{name}`"))
}

fn layout(present: &Present) -> Layout {
    let known = |&number: &i64| u32::try_from(number).unwrap_or(NONE);
    Layout {
        heat_count: present.starts.len() as u32,
        heat_of: present.heat_of.clone(),
        starts: present.starts.iter().flatten().map(known).collect(),
        bar_of: present.bar_of.iter().map(known).collect(),
    }
}
