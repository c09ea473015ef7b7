//! Movements, read from a file of `[[movement]]` tables.
//!
//! What one entry can get wrong by itself is told here; what only shows beside the others (a reference that leads
//! nowhere, a name used twice) is told by the library, and [`Origin`] knows where that was written.

use classwright_training::library::MovementEntry;
use classwright_training::{LoadKind, Movement, Pace, Region, Sides};
use toml::de::DeValue;

use super::PATTERNS;
use crate::error::Report;
use crate::file::toml::{Table, Value, kind, list, parsed, small, text};
use crate::file::{Text, line_of};

/// An entry and where it was written.
#[derive(Debug)]
pub(super) struct Found<'t> {
    pub(super) entry: MovementEntry,
    pub(super) origin: Origin<'t>,
}

impl Found<'_> {
    pub(super) fn id(&self) -> &str {
        &self.entry.movement.id
    }
}

/// Where an entry was written.
#[derive(Debug)]
pub(super) struct Origin<'t> {
    file: &'t Text,
    /// Its number in the file, from 1.
    number: usize,
    /// Where its fields start.
    fields: [(&'static str, usize); 7],
}

impl Origin<'_> {
    /// Notes a fault of a field.
    pub(super) fn wrong(&self, field: &str, problem: String, report: &Report) {
        let at = self.fields.iter().find(|(name, _)| *name == field);
        let at = at.map_or(self.fields[0].1, |(_, at)| *at);
        let line = line_of(self.file.text.as_bytes(), at);
        report.add(&self.file.path, Some(line), Some(&format!("movement[{}].{field}", self.number)), problem);
    }
}

/// The entries of a file that could be read.
pub(super) fn read<'t>(file: &'t Text, report: &'t Report) -> Vec<Found<'t>> {
    let Some(mut whole) = Table::parse(file, report) else {
        return Vec::new();
    };
    let tables = whole.tables("movement");
    whole.finish();
    (1..).zip(tables).filter_map(|(number, table)| one(file, number, table, report)).collect()
}

fn one<'t>(file: &'t Text, number: usize, mut table: Table<'t>, report: &Report) -> Option<Found<'t>> {
    let fields = ["id", "name", "patterns", "kit", "seconds", "progressed-from", "regressed-to"];
    let origin = Origin { file, number, fields: fields.map(|name| (name, table.offset(name))) };

    let id = table.need("id", id);
    let name = table.need("name", text);
    let aliases = table.maybe("aliases", list(text)).unwrap_or_default();
    let patterns = table.need("patterns", list(parsed(pattern)));
    let demand = table.need("demand", demand);
    let needs = table.need("kit", needs);
    let load_kind = table.need("load", parsed(load_kind));
    let sides = table.need("sides", parsed(sides));
    let seconds = table.table("seconds").map(paces);
    if seconds.is_none() {
        let problem = "is missing; write how long it takes, such as { rep = [3.0, 2.0, 5.0] }";
        origin.wrong("seconds", problem.into(), report);
    }
    let skill = table.need("skill", small(1, 5));
    let progressed_from = table.maybe("progressed-from", list(text)).unwrap_or_default();
    let regressed_to = table.maybe("regressed-to", list(text)).unwrap_or_default();
    let cues = table.maybe("cues", list(text)).unwrap_or_default();
    let faults = table.maybe("faults", list(text)).unwrap_or_default();
    table.finish();

    let id = id?;
    for (field, list) in [("progressed-from", &progressed_from), ("regressed-to", &regressed_to)] {
        if list.contains(&id) {
            origin.wrong(field, format!("`{id}` is no easier form of itself; take it out"), report);
        }
    }
    let seconds = seconds??;
    let movement = Movement {
        id,
        name: name?,
        aliases,
        patterns: Vec::new(),
        demand: demand?,
        needs: Vec::new(),
        load_kind: load_kind?,
        sides: sides?,
        rep: seconds.rep,
        metre: seconds.metre,
        calorie: seconds.calorie,
        // Whatever is measured along the way can as well be done for a time.
        timed: seconds.second || seconds.metre.is_some() || seconds.calorie.is_some(),
        skill: skill? as u8,
        progressed_from: Vec::new(),
        regressed_to: Vec::new(),
        cues,
        faults,
    };
    let entry = MovementEntry { movement, patterns: patterns?, needs: needs?, progressed_from, regressed_to };
    Some(Found { entry, origin })
}

/// An id: small letters, digits and hyphens.
pub(crate) fn id(value: &Value<'_>) -> Result<String, String> {
    let id = text(value)?;
    let good = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
    if id.len() <= 64 && id.bytes().all(good) {
        Ok(id)
    } else {
        Err(format!("is `{id}`; write small letters, digits and hyphens, at most 64"))
    }
}

fn pattern(id: &str) -> Result<String, String> {
    match PATTERNS.contains(&id) {
        true => Ok(id.to_owned()),
        false => Err(format!("is `{id}`, no pattern; the patterns are {}", PATTERNS.join(", "))),
    }
}

fn load_kind(id: &str) -> Result<LoadKind, String> {
    let all = || LoadKind::ALL.map(LoadKind::id).join(", ");
    LoadKind::from_id(id).ok_or_else(|| format!("is `{id}`; write one of {}", all()))
}

fn sides(id: &str) -> Result<Sides, String> {
    match id {
        "both" => Ok(Sides::Both),
        "each" => Ok(Sides::Each),
        "alternating" => Ok(Sides::Alternating),
        _ => Err(format!("is `{id}`; write one of both, each, alternating")),
    }
}

fn demand(value: &Value<'_>) -> Result<[u8; 9], String> {
    let mut demand = [0; 9];
    let DeValue::Table(table) = value else {
        return Err(format!("is {}; write a table such as {{ knee = 2 }}", kind(value)));
    };
    for (key, grade) in table {
        let key = key.get_ref();
        let region = Region::from_id(key).ok_or_else(|| {
            format!("names `{key}`, no region; the regions are {}", Region::ALL.map(Region::id).join(", "))
        })?;
        demand[region as usize] = small(0, 3)(grade.get_ref()).map_err(|problem| format!("of {key} {problem}"))? as u8;
    }
    Ok(demand)
}

fn needs(value: &Value<'_>) -> Result<Vec<(String, u32)>, String> {
    let DeValue::Table(table) = value else {
        return Err(format!("is {}; write a table such as {{ barbell = 1 }}", kind(value)));
    };
    let one = |count: &Value<'_>, kit: &str| small(1, 20)(count).map_err(|problem| format!("of {kit} {problem}"));
    table.iter().map(|(kit, count)| Ok((kit.get_ref().to_string(), one(count.get_ref(), kit.get_ref())?))).collect()
}

struct Paces {
    rep: Option<Pace>,
    metre: Option<Pace>,
    calorie: Option<Pace>,
    second: bool,
}

/// The paces; none where nothing is measured.
fn paces(mut table: Table<'_>) -> Option<Paces> {
    let spot = table.spot("rep");
    let paces = Paces {
        rep: table.maybe("rep", pace),
        metre: table.maybe("metre", pace),
        calorie: table.maybe("calorie", pace),
        second: table.maybe("second", pace).is_some(),
    };
    table.finish();
    let measured = paces.second || [paces.rep, paces.metre, paces.calorie].iter().any(Option::is_some);
    if !measured {
        spot.wrong("has no pace; write at least one of rep, metre, calorie, second");
    }
    measured.then_some(paces)
}

/// Seconds, typical first: `[3.0, 2.0, 5.0]`.
fn pace(value: &Value<'_>) -> Result<Pace, String> {
    let three = list(number)(value)?;
    let &[typical, least, most] = three.as_slice() else {
        return Err("needs three numbers: typical, quickest, slowest seconds".into());
    };
    if !(least > 0.0 && least <= typical && typical <= most && most <= 600.0) {
        return Err(format!(
            "is [{typical}, {least}, {most}]; write typical, quickest, slowest seconds: above 0, at most 600, \
             and quickest <= typical <= slowest"
        ));
    }
    let ms = |seconds: f64| ((seconds * 1000.0).round() as u32).max(1);
    Ok(Pace { typical_ms: ms(typical), least_ms: ms(least), most_ms: ms(most) })
}

fn number(value: &Value<'_>) -> Result<f64, String> {
    let read = match value {
        DeValue::Float(number) => number.as_str().parse().ok(),
        DeValue::Integer(number) => number.as_str().parse().ok(),
        _ => None,
    };
    read.filter(|number: &f64| number.is_finite()).ok_or_else(|| format!("is {}; write a number", kind(value)))
}
