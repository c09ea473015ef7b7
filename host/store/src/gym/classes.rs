//! `classes/*.toml`: one class each, with its session, who comes and what is out of service that day.

use std::path::PathBuf;

use classwright_training::floor::FloorRules;
use classwright_training::session::Date;
use classwright_training::{Athlete, AthleteIx, Kit, Mass, MovementLibrary};

use super::{athletes, company, kit, rules};
use crate::error::Report;
use crate::file::quantity::{date, mass, time_of_day};
use crate::file::toml::{Table, list, parsed, small, text, when};
use crate::file::{Source, Text};

/// A class as its file says.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassSheet {
    /// The file's name without its ending.
    pub id: String,
    /// Day.
    pub date: Date,
    /// Start, in minutes from midnight of that day.
    pub start_minute: u16,
    /// Time zone by its IANA name; its shape is checked, not that it exists.
    pub zone: String,
    /// File of the session, found from the gym folder.
    pub session: PathBuf,
    /// Who coaches.
    pub coach: String,
    /// Who is there: positions in [`super::Gym::athletes`], in roster order.
    pub present: Vec<AthleteIx>,
    /// Kit in service on the floor for this class.
    pub floor_kit: Kit,
    /// How the floor is run: as the gym does, but for what the class says itself.
    pub rules: FloorRules,
    /// Pairs who are in one heat.
    pub together: Vec<(AthleteIx, AthleteIx)>,
    /// Pairs who are not.
    pub apart: Vec<(AthleteIx, AthleteIx)>,
}

/// What a class refers to.
pub(super) struct Surroundings<'a> {
    pub(super) source: Source<'a>,
    pub(super) library: &'a MovementLibrary,
    pub(super) athletes: &'a [Athlete],
    pub(super) floor_kit: &'a Kit,
    pub(super) rules: Option<&'a FloorRules>,
}

pub(super) fn read(file: &Text, around: &Surroundings<'_>, report: &Report) -> Option<ClassSheet> {
    let mut whole = Table::parse(file, report)?;
    let session_spot = whole.spot("session");
    let date = whole.need("date", when(date));
    let start_minute = whole.need("time", when(time_of_day));
    let zone = whole.need("zone", parsed(zone));
    let session = whole.need("session", text).map(|session| around.source.path(&session));
    let coach = whole.need("coach", text);
    let present = present(&mut whole, around.athletes);
    let company = company::read(&mut whole, around.athletes, &present);
    let rules = rules::of_class(whole.table("floor"), around.rules);
    let mut floor_kit = around.floor_kit.clone();
    if let Some(out) = whole.table("out-of-service") {
        take_out(out, &mut floor_kit, around.library);
    }
    whole.finish();
    if session.as_ref().is_some_and(|session| !around.source.has(session)) {
        session_spot.wrong("there is no such file; write its path from the gym folder, such as sessions/monday.md");
    }
    let id = file.path.file_stem()?.to_string_lossy().into_owned();
    let (date, start_minute, zone) = (date?, start_minute?, zone?);
    let (session, coach) = (session?, coach?);
    let company::Company { together, apart } = company;
    Some(ClassSheet { id, date, start_minute, zone, session, coach, present, floor_kit, rules, together, apart })
}

/// Those listed as present, or all but those listed as absent, or all.
fn present(table: &mut Table<'_>, athletes: &[Athlete]) -> Vec<AthleteIx> {
    let listed = |id: &str| athletes::position(id, athletes);
    let both = table.spot("absent");
    let present = table.maybe("present", list(parsed(listed)));
    let absent = table.maybe("absent", list(parsed(listed)));
    if present.is_some() && absent.is_some() {
        both.wrong("stands beside present; keep one of the two");
    }
    let there = |at: &usize| match (&present, &absent) {
        (Some(present), _) => present.contains(at),
        (None, Some(absent)) => !absent.contains(at),
        (None, None) => true,
    };
    (0..athletes.len()).filter(there).map(|at| AthleteIx(at as u32)).collect()
}

/// Takes out what cannot be used that day, on top of what `kit.toml` says.
fn take_out(mut table: Table<'_>, floor: &mut Kit, library: &MovementLibrary) {
    let bars_spot = table.spot("bars");
    for id in table.maybe("bars", list(text)).unwrap_or_default() {
        let before = floor.bars.len();
        floor.bars.retain(|bar| bar.id != id);
        if floor.bars.len() == before {
            bars_spot.wrong(format!("there is no bar `{id}` in service; write an id of kit.toml"));
        }
    }
    let spot = table.spot("collars");
    if let Some(pairs) = table.maybe("collars", small(1, 500)) {
        less(floor.collar_pairs.as_mut(), pairs, &spot);
    }
    for mut row in table.tables("plate") {
        let spot = row.spot("pairs");
        let (mass, pairs) = (row.need("mass", parsed(mass)), row.need("pairs", small(1, 500)));
        row.finish();
        let (Some(mass), Some(pairs)) = (mass, pairs) else {
            continue;
        };
        let stock = floor.plates.iter_mut().find(|row| row.mass == mass).map(|row| &mut row.pairs);
        less(stock, pairs, &spot);
    }
    for mut row in table.tables("kit") {
        let (kind_spot, spot) = (row.spot("kind"), row.spot("count"));
        let kind = row.need("kind", parsed(|name| kit::kind_named(name, library)));
        let load = row.maybe("mass", parsed(mass)).unwrap_or(Mass::ZERO);
        let count = row.need("count", small(1, 1_000));
        row.finish();
        let (Some(kind), Some(count)) = (kind, count) else {
            continue;
        };
        if !kit::is_told_by_itself(kind, library, &kind_spot) {
            continue;
        }
        let stock = floor.stock.iter_mut().find(|row| row.kit == kind && row.load == load).map(|row| &mut row.count);
        less(stock, count, &spot);
    }
    table.finish();
    kit::count_bars_and_plates(floor, library);
}

fn less(stock: Option<&mut u32>, out: u32, spot: &crate::file::toml::Spot<'_>) {
    match stock {
        Some(stock) if *stock >= out => *stock -= out,
        stock => {
            let there = stock.map_or(0, |stock| *stock);
            spot.wrong(format!("is {out}, but only {there} are in service; write how many more cannot be used"));
        }
    }
}

fn zone(text: &str) -> Result<String, String> {
    let part = |part: &str| {
        let good = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | b'+');
        !part.is_empty() && part.bytes().all(good)
    };
    let shaped = text == "UTC" || (text.contains('/') && text.split('/').all(part));
    if shaped { Ok(text.to_owned()) } else { Err(format!("is `{text}`; write a zone such as Europe/London or UTC")) }
}
