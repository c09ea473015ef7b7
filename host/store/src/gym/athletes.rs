//! `roster.csv` and `limitations.csv`: who trains, where, and what they report as sore or restricted.

use classwright_training::{Athlete, BarType, Limitation, Place, Region, Severity, Side};

use super::dated::{History, Span};
use crate::error::Report;
use crate::file::Text;
use crate::file::csv::{Row, rows, text, whole};
use crate::file::quantity::{date, mass, percent};

/// The columns of `roster.csv`; those from the sixth on may be missing.
pub(crate) const ROSTER: [&str; 11] =
    ["id", "name", "column", "skill", "place", "bar", "training-share", "return-week", "age", "mass", "tags"];

/// The columns of `limitations.csv`.
pub(crate) const LIMITATIONS: [&str; 6] = ["athlete", "region", "side", "severity", "since", "until"];
/// Those that may be missing.
pub(crate) const LIMITATIONS_OPTIONAL: [&str; 3] = ["side", "since", "until"];

/// The roster. Where the bar types are not known because of another fault, names of bars are not looked up.
pub(super) fn read(file: &Text, homes: &[String], bar_types: Option<&[BarType]>, report: &Report) -> Vec<Athlete> {
    let mut seen = Vec::new();
    let optional = &ROSTER[5..];
    rows(file, report, &ROSTER, optional, |row| {
        let athlete = one(row, homes, bar_types);
        if let Some(id) = row.field("id") {
            if seen.iter().any(|known| known == id) {
                row.wrong("id", format!("`{id}` stands twice; each athlete has an id of their own"));
            }
            seen.push(id.to_owned());
        }
        athlete
    })
}

fn one(row: &Row<'_>, homes: &[String], bar_types: Option<&[BarType]>) -> Option<Athlete> {
    let place = |text: &str| match homes.iter().position(|home| home == text) {
        _ if text == "floor" => Ok(Place::Floor),
        Some(at) => Ok(Place::Home(at as u32)),
        None => Err(format!("is `{text}`; write floor or the id of a home in homes.toml")),
    };
    let bar = |text: &str| match bar_types {
        Some(types) if types.iter().all(|known| known.id != text) => {
            let ids: Vec<&str> = types.iter().map(|known| known.id.as_str()).collect();
            Err(format!("is `{text}`, no type of bar in kit.toml; the types are {}", ids.join(", ")))
        }
        _ => Ok(text.to_owned()),
    };
    let tags = row.field("tags").unwrap_or_default().split(';').map(str::trim);
    let tags = tags.filter(|tag| !tag.is_empty()).map(str::to_owned).collect();
    // Read every field before giving up on the row, so that all its faults are told.
    let (id, name) = (row.need("id", text), row.need("name", text));
    let (column, skill) = (row.need("column", whole(1, 2)), row.need("skill", whole(1, 5)));
    let place = row.need("place", place);
    let bar_type = row.maybe("bar", bar);
    let share = row.maybe("training-share", percent);
    let return_week = row.maybe("return-week", whole(1, 52));
    let age = row.maybe("age", whole(5, 120));
    let body_mass = row.maybe("mass", mass);
    Some(Athlete {
        id: id?,
        name: name?,
        column: (column? - 1) as u8,
        skill: skill? as u8,
        training_share_permille: share.unwrap_or(1000),
        bests: Vec::new(),
        limitations: Vec::new(),
        place: place?,
        return_week: return_week.map(|week| week as u8),
        age_years: age.map(|age| age as u8),
        body_mass,
        bar_type,
        tags,
    })
}

/// Adds the limitations to those of the athletes who report them.
pub(super) fn read_limitations(file: &Text, athletes: &[Athlete], history: &mut History, report: &Report) {
    let found = rows(file, report, &LIMITATIONS, &LIMITATIONS_OPTIONAL, |row| {
        let athlete = row.need("athlete", |id| position(id, athletes));
        let region = row.need("region", region);
        let side = row.maybe("side", side).unwrap_or(Side::Both);
        let severity = row.need("severity", severity);
        let span = Span { since: row.maybe("since", date), until: row.maybe("until", date) };
        if span.since.zip(span.until).is_some_and(|(since, until)| until < since) {
            row.wrong("until", "is before since; write the last day on which it holds, or nothing");
        }
        Some((athlete?, span, Limitation { region: region?, side, severity: severity? }))
    });
    for (at, span, limitation) in found {
        history.add_limitation(at, span, limitation);
    }
}

/// Where an athlete stands on the roster.
pub(super) fn position(id: &str, athletes: &[Athlete]) -> Result<usize, String> {
    let at = athletes.iter().position(|athlete| athlete.id == id);
    at.ok_or_else(|| format!("is `{id}`, nobody on the roster; write an id of roster.csv"))
}

fn region(id: &str) -> Result<Region, String> {
    let all = || Region::ALL.map(Region::id).join(", ");
    Region::from_id(id).ok_or_else(|| format!("is `{id}`, no region; the regions are {}", all()))
}

fn side(text: &str) -> Result<Side, String> {
    match text {
        "both" => Ok(Side::Both),
        "left" => Ok(Side::Left),
        "right" => Ok(Side::Right),
        _ => Err(format!("is `{text}`; write left, right or both")),
    }
}

fn severity(text: &str) -> Result<Severity, String> {
    match text {
        "mild" => Ok(Severity::Mild),
        "moderate" => Ok(Severity::Moderate),
        "severe" => Ok(Severity::Severe),
        _ => Err(format!("is `{text}`; write mild, moderate or severe")),
    }
}
