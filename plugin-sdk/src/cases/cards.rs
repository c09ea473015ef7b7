//! Cases for scaling and substitution.
//!
//! ```
//! let case = classwright_sdk::cases::CardsCase::parse(r#"
//! title = "Twenty per cent less"
//! settings = { share = 800 }                     # as JSON to the policy; may be left out
//!
//! [movements.strict-press]
//! patterns = ["vertical-press"]
//! demand = { shoulder = 2 }
//! kit = { barbell = 1 }
//! load = "bar"
//! skill = 2
//! rep-ms = 2500
//!
//! [[places]]                                     # the first is the gym floor
//! name = "floor"
//! kit = [{ kit = "barbell", load-kg = 20, count = 8 }]
//!
//! [[athletes]]
//! skill = 2
//! limitations = [{ region = "shoulder", severity = "moderate" }]
//!
//! [[parts]]
//! kind = "strength"
//! scheme = "sets"
//! rounds = 5
//! pieces = [{ movement = "strict-press", times = 5, reps = 5, load-kg = [30, 40] }]
//!
//! [[expect.changes]]
//! piece = "strict-press"                         # of athlete 0; a second one is "strict-press 2"
//! load-kg = [24, 32]
//! "#)?;
//! assert_eq!(case.question.pieces[0].load_top_g, 40_000);
//! # Ok::<(), String>(())
//! ```

use std::collections::BTreeMap;

use serde::Deserialize;

use super::expect::Expect;
use super::grams;
use crate::listed::{ListedLibrary, ListedMovement, REGIONS};
use crate::wire::common::classwright::policy::cards as wire;
use crate::{Answer, Declined, Library, Question};

/// A case, its names worked out.
#[derive(Clone, Debug)]
pub struct CardsCase {
    /// What it shows.
    pub title: String,
    /// `scaling` or `substitution`, where the case says which; a policy that answers both needs it.
    pub kind: Option<String>,
    /// The question.
    pub question: Question,
    /// The library it is asked with.
    pub library: ListedLibrary,
    /// Names of the places, in order; the first is the gym floor.
    pub places: Vec<String>,
    expect: Expect,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Written {
    title: String,
    kind: Option<String>,
    settings: Option<toml::Table>,
    #[serde(default)]
    class: WrittenClass,
    movements: BTreeMap<String, WrittenMovement>,
    #[serde(default)]
    places: Vec<WrittenPlace>,
    athletes: Vec<WrittenAthlete>,
    parts: Vec<WrittenPart>,
    expect: Expect,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields, default, rename_all = "kebab-case")]
struct WrittenClass {
    length_s: Option<u32>,
    may_raise_load: bool,
    may_raise_volume: bool,
    may_raise_demand: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenMovement {
    patterns: Vec<String>,
    #[serde(default)]
    demand: BTreeMap<String, u8>,
    #[serde(default)]
    kit: BTreeMap<String, u32>,
    #[serde(default = "no_load")]
    load: String,
    #[serde(default = "one")]
    skill: u32,
    #[serde(default)]
    sides: Side,
    #[serde(default)]
    rep_ms: u32,
    #[serde(default)]
    metre_ms: u32,
    #[serde(default)]
    calorie_ms: u32,
    #[serde(default)]
    timed: bool,
    #[serde(default)]
    easier: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenPlace {
    name: String,
    kit: Vec<WrittenKit>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenKit {
    kit: String,
    #[serde(default)]
    load_kg: f64,
    #[serde(default = "one")]
    count: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, default, rename_all = "kebab-case")]
#[derive(Default)]
struct WrittenAthlete {
    column: u32,
    skill: u32,
    place: Option<String>,
    return_week: u32,
    age: u32,
    body_mass_kg: f64,
    limitations: Vec<WrittenLimitation>,
    bests: BTreeMap<String, f64>,
    tags: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenLimitation {
    region: String,
    #[serde(default)]
    side: BodySide,
    severity: Severity,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenPart {
    kind: String,
    scheme: String,
    #[serde(default)]
    rounds: u32,
    #[serde(default)]
    interval_s: u32,
    #[serde(default)]
    limit_s: u32,
    pieces: Vec<WrittenPiece>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct WrittenPiece {
    /// Only this athlete has it; all do where none is named.
    athlete: Option<u32>,
    movement: String,
    #[serde(default = "one")]
    times: u32,
    reps: Option<Range>,
    seconds: Option<Range>,
    metres: Option<Range>,
    calories: Option<Range>,
    #[serde(default)]
    sides: Side,
    load_kg: Option<LoadKg>,
    #[serde(default)]
    best_permille: u32,
    #[serde(default)]
    effort_tenths: u32,
    #[serde(default = "full")]
    range_percent: u32,
    #[serde(default)]
    rep_ms: u32,
    #[serde(default)]
    step: u32,
}

/// One number, or the two ends of a range.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(try_from = "toml::Value")]
pub(super) struct Range(pub(super) u32, pub(super) u32);

impl TryFrom<toml::Value> for Range {
    type Error = String;
    fn try_from(value: toml::Value) -> Result<Self, String> {
        let number = |value: &toml::Value| value.as_integer().and_then(|n| u32::try_from(n).ok());
        let ends = match &value {
            toml::Value::Array(ends) if ends.len() == 2 => number(&ends[0]).zip(number(&ends[1])),
            one => number(one).map(|one| (one, one)),
        };
        ends.map(|(low, high)| Range(low, high)).ok_or_else(|| format!("`{value}` is no whole number and no pair"))
    }
}

/// Kilograms of the first time and the heaviest, kept in grams; one number is both.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(try_from = "toml::Value")]
pub(super) struct LoadKg(pub(super) u32, pub(super) u32);

impl TryFrom<toml::Value> for LoadKg {
    type Error = String;
    fn try_from(value: toml::Value) -> Result<Self, String> {
        let number = |value: &toml::Value| {
            let kg = value.as_float().or(value.as_integer().map(|kg| kg as f64))?;
            (kg >= 0.0).then(|| grams(kg))
        };
        let ends = match &value {
            toml::Value::Array(ends) if ends.len() == 2 => number(&ends[0]).zip(number(&ends[1])),
            one => number(one).map(|one| (one, one)),
        };
        ends.map(|(first, top)| LoadKg(first, top)).ok_or_else(|| format!("`{value}` is no mass and no pair"))
    }
}

#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Side {
    #[default]
    Both,
    Each,
    Alternating,
}

impl Side {
    pub(super) fn wire(self) -> wire::Sides {
        match self {
            Side::Both => wire::Sides::Both,
            Side::Each => wire::Sides::Each,
            Side::Alternating => wire::Sides::Alternating,
        }
    }
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum BodySide {
    #[default]
    Both,
    Left,
    Right,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Severity {
    Mild,
    Moderate,
    Severe,
}

fn no_load() -> String {
    "none".into()
}

fn one() -> u32 {
    1
}

fn full() -> u32 {
    100
}

impl CardsCase {
    /// Reads a case; the error says what is wrong.
    pub fn parse(text: &str) -> Result<CardsCase, String> {
        let written: Written = toml::from_str(text).map_err(|error| error.to_string())?;
        let stocked: Vec<String> = written.places.iter().flat_map(|p| p.kit.iter().map(|k| k.kit.clone())).collect();
        let library = library(&written.movements, &stocked)?;
        let mut texts = Texts::default();
        let mut question = Question {
            texts: Vec::new(),
            settings: match &written.settings {
                Some(table) => serde_json::to_string(table).map_err(|error| error.to_string())?,
                None => "{}".into(),
            },
            facts: wire::ClassFacts {
                length_s: written.class.length_s.unwrap_or(3600),
                may_raise_load: u32::from(written.class.may_raise_load),
                may_raise_volume: u32::from(written.class.may_raise_volume),
                may_raise_demand: u32::from(written.class.may_raise_demand),
            },
            athletes: Vec::new(),
            limitations: Vec::new(),
            bests: Vec::new(),
            tags: Vec::new(),
            parts: Vec::new(),
            pieces: Vec::new(),
            kit: Vec::new(),
        };
        for part in &written.parts {
            let (kind, scheme) = (texts.position(&part.kind), texts.position(&part.scheme));
            question.parts.push(wire::Part {
                kind,
                scheme,
                rounds: part.rounds,
                interval_s: part.interval_s,
                limit_s: part.limit_s,
            });
        }
        for (place, row) in written.places.iter().zip(0..).flat_map(|(p, at)| p.kit.iter().map(move |k| (at, k))) {
            let kit = library.find_kit(&row.kit).expect("the library was built with it");
            question.kit.push(wire::KitRow { place, kit, load_g: grams(row.load_kg), count: row.count });
        }
        for (number, athlete) in (0..).zip(&written.athletes) {
            add_athlete(&mut question, number, athlete, &written, &library, &mut texts)?;
        }
        question.texts = texts.0;
        let expect = written.expect;
        expect.look_up(&question, &library)?;
        let places = written.places.into_iter().map(|place| place.name).collect();
        Ok(CardsCase { title: written.title, kind: written.kind, question, library, places, expect })
    }

    /// How an answer differs from what is expected; empty where it does not.
    pub fn check(&self, answer: &Result<Answer, Declined>) -> Vec<String> {
        self.expect.check(&self.question, &self.library, answer)
    }
}

fn library(movements: &BTreeMap<String, WrittenMovement>, stocked: &[String]) -> Result<ListedLibrary, String> {
    let listed = movements.iter().map(|(id, written)| ListedMovement {
        id: id.clone(),
        patterns: written.patterns.clone(),
        demand: written.demand.clone(),
        kit: written.kit.clone(),
        load_kind: written.load.clone(),
        skill: written.skill,
        sides: written.sides as u32,
        rep_ms: written.rep_ms,
        metre_ms: written.metre_ms,
        calorie_ms: written.calorie_ms,
        timed: written.timed,
        easier: written.easier.clone(),
    });
    ListedLibrary::new(listed.collect(), stocked)
}

fn add_athlete(
    question: &mut Question,
    number: u32,
    written: &WrittenAthlete,
    all: &Written,
    library: &ListedLibrary,
    texts: &mut Texts,
) -> Result<(), String> {
    let named = |place: &String| {
        let at = all.places.iter().position(|known| known.name == *place);
        at.ok_or_else(|| format!("there is no place `{place}`"))
    };
    for limitation in &written.limitations {
        let region = REGIONS.iter().position(|region| *region == limitation.region);
        question.limitations.push(wire::Limitation {
            athlete: number,
            region: region.ok_or_else(|| format!("`{}` is no region", limitation.region))? as u32,
            side: match limitation.side {
                BodySide::Both => wire::BodySide::Both,
                BodySide::Left => wire::BodySide::Left,
                BodySide::Right => wire::BodySide::Right,
            },
            severity: match limitation.severity {
                Severity::Mild => wire::Severity::Mild,
                Severity::Moderate => wire::Severity::Moderate,
                Severity::Severe => wire::Severity::Severe,
            },
        });
    }
    for (movement, &kg) in &written.bests {
        let movement = known(library, movement)?;
        question.bests.push(wire::Best { athlete: number, movement, load_g: grams(kg), tested: 1 });
    }
    for tag in &written.tags {
        question.tags.push(wire::Tag { athlete: number, text: texts.position(tag) });
    }
    let first_piece = question.pieces.len() as u32;
    let mut next_item = 0;
    for (part, piece) in (0..).zip(&all.parts).flat_map(|(at, part)| part.pieces.iter().map(move |p| (at, p))) {
        next_item += u32::from(piece.step == 0);
        if piece.athlete.is_none_or(|only| only == number) {
            let item = next_item.checked_sub(1).ok_or("the first piece has a step")?;
            question.pieces.push(wire_piece(number, part, item, piece, library)?);
        }
    }
    question.athletes.push(wire::Athlete {
        column: written.column,
        skill: written.skill,
        place: written.place.as_ref().map(named).transpose()?.unwrap_or(0) as u32,
        return_week: written.return_week,
        age_years: written.age,
        body_mass_g: grams(written.body_mass_kg),
        first_piece,
        piece_count: question.pieces.len() as u32 - first_piece,
    });
    Ok(())
}

fn wire_piece(
    athlete: u32,
    part: u32,
    item: u32,
    written: &WrittenPiece,
    library: &ListedLibrary,
) -> Result<wire::Piece, String> {
    let amounts = [
        (wire::Measure::Repetitions, written.reps),
        (wire::Measure::Seconds, written.seconds),
        (wire::Measure::Metres, written.metres),
        (wire::Measure::Calories, written.calories),
    ];
    let mut given = amounts.into_iter().filter_map(|(measure, amount)| Some((measure, amount?)));
    let (Some((measure, Range(low, high))), None) = (given.next(), given.next()) else {
        return Err(format!("`{}` needs one of reps, seconds, metres, calories", written.movement));
    };
    let LoadKg(first, top) = written.load_kg.unwrap_or(LoadKg(0, 0));
    Ok(wire::Piece {
        athlete,
        part,
        item,
        step: written.step,
        movement: known(library, &written.movement)?,
        times: written.times,
        measure,
        sides: written.sides.wire(),
        amount_low: low,
        amount_high: high,
        load_first_g: first,
        load_top_g: top,
        best_permille: written.best_permille,
        effort_tenths: written.effort_tenths,
        range_percent: written.range_percent,
        rep_ms: written.rep_ms,
    })
}

/// The number of a movement that a case names.
pub(super) fn known(library: &ListedLibrary, id: &str) -> Result<u32, String> {
    library.find(id).ok_or_else(|| format!("there is no movement `{id}`"))
}

/// Each text once.
#[derive(Default)]
struct Texts(Vec<String>);

impl Texts {
    fn position(&mut self, text: &str) -> u32 {
        let at = self.0.iter().position(|known| known == text).unwrap_or_else(|| {
            self.0.push(text.into());
            self.0.len() - 1
        });
        at as u32
    }
}
