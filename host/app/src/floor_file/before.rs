//! The plan before, from a file in the format `heats-solution-1`.
//!
//! An answer to a floor of another name is refused. What the floor no longer has is passed over: athletes who are gone, bars that are out of service, bouts that are no
//! longer done. Athletes whom the plan does not know have no heat in it. Whether the plan keeps the floor's rules is
//! not asked: the floor may have changed since.

use std::collections::BTreeMap;

use classwright_training::floor::{Floor, Layout};

use super::FloorFile;
use super::json::Json;
use super::reader::{Misfit, Place, Reader};

/// Latest start that is read, seconds.
const LATEST_S: u32 = 1_000_000_000;
/// Most heats.
const MOST_HEATS: usize = 10_000;
/// Most starts of a heat, or bouts of an athlete.
const MOST_BOUTS: usize = 1_000;

/// A plan before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanBefore {
    /// As the floor's athletes and bars have their places now; nobody's heat is `u32::MAX`.
    pub layout: Layout,
    /// Heat and bars of each athlete, gone ones too, as they stand in the file.
    by_athlete: BTreeMap<String, (usize, Vec<Option<String>>)>,
}

impl PlanBefore {
    /// Athletes who are new, or have another heat or other bars than they had.
    pub fn changed(&self, athletes: &[String], floor: &Floor, now: &Layout) -> u32 {
        let differs = |(number, id): &(usize, &String)| {
            let Some((heat, bars)) = self.by_athlete.get(*id) else { return true };
            let own = floor.athletes[*number];
            let mine = &now.bar_of[own.first_bout as usize..][..own.bout_count as usize];
            let id_of = |bar: &Option<u32>| bar.map(|bar| floor.bars[bar as usize].id.as_str());
            *heat != now.heat_of[*number] as usize || !mine.iter().map(id_of).eq(bars.iter().map(Option::as_deref))
        };
        athletes.iter().enumerate().filter(differs).count() as u32
    }
}

impl FloorFile {
    /// Reads the plan before, or names everything in it that does not fit.
    pub fn read_before(&self, bytes: &[u8]) -> Result<PlanBefore, Vec<Misfit>> {
        let json = Reader::parse(bytes)?;
        let mut reader = Reader::default();
        let read = self.before(&mut reader, &json);
        reader.finish(read)
    }

    fn before(&self, reader: &mut Reader, json: &Json) -> Option<PlanBefore> {
        // Reference results hold the plan beside other things.
        let inner = match json {
            Json::Object(fields) => fields.iter().find(|(name, _)| name == "solution").map(|(_, value)| value),
            _ => None,
        };
        let outer = Place::Field(&Place::Top, "solution");
        let (json, place) = inner.map_or((json, Place::Top), |inner| (inner, outer));
        let further = ["instance", "finish", "plate_moves", "changed", "lower_bound", "optimal"];
        let (fields, further) = reader.object(json, &place, ["format", "heats", "bars"], further)?;
        let [format, heats, bars] = fields;
        reader.exactly(format, &Place::Field(&place, "format"), "heats-solution-1");
        let at = Place::Field(&place, "instance");
        if let Some(name) = further[0].and_then(|name| reader.name(name, &at, "the floor's name"))
            && name != self.name
        {
            reader.misfit(&at, format!("is an answer to {name:?}, and this floor is {:?}", self.name));
        }
        for (field, number) in ["finish", "plate_moves", "changed", "lower_bound"].iter().zip(&further[1..5]) {
            number.map(|number| reader.whole(number, &Place::Field(&place, field), "a figure", 0, u32::MAX));
        }
        further[5].map(|optimal| reader.truth(optimal, &Place::Field(&place, "optimal")));
        let (starts, heat_of) = heats_before(reader, heats, &Place::Field(&place, "heats"));
        let bars = bars_before(reader, bars, &Place::Field(&place, "bars"));
        let layout = self.layout(&starts, &heat_of, &bars);
        let bars_of = |id: &str| bars.get(id).cloned().unwrap_or_default();
        let by_athlete = heat_of.iter().map(|(id, heat)| ((*id).to_owned(), (*heat, bars_of(id)))).collect();
        Some(PlanBefore { layout, by_athlete })
    }

    fn layout(&self, starts: &[Vec<u32>], heat_of: &Heats<'_>, bars: &Bars<'_>) -> Layout {
        let floor = &self.floor;
        let places: BTreeMap<&str, u32> = floor.bars.iter().map(|bar| bar.id.as_str()).zip(0..).collect();
        let mut bar_of = vec![None; floor.bouts.len()];
        for (id, athlete) in self.athletes.iter().zip(&floor.athletes) {
            let before = bars.get(id.as_str()).map_or(&[][..], Vec::as_slice);
            let bouts = &mut bar_of[athlete.first_bout as usize..][..athlete.bout_count as usize];
            for (now, before) in bouts.iter_mut().zip(before) {
                *now = before.as_ref().and_then(|id| places.get(id.as_str()).copied());
            }
        }
        let stages = floor.stage_count as usize;
        let row = |starts: &Vec<u32>| (0..stages).map(|stage| starts.get(stage).copied()).collect();
        let heat = |id: &String| heat_of.get(id.as_str()).map_or(u32::MAX, |heat| *heat as u32);
        Layout { heat_of: self.athletes.iter().map(heat).collect(), starts: starts.iter().map(row).collect(), bar_of }
    }
}

type Heats<'j> = BTreeMap<&'j str, usize>;
type Bars<'j> = BTreeMap<&'j str, Vec<Option<String>>>;

fn heats_before<'j>(reader: &mut Reader, json: &'j Json, place: &Place<'_>) -> (Vec<Vec<u32>>, Heats<'j>) {
    let (mut starts, mut heat_of) = (Vec::new(), BTreeMap::new());
    for (number, heat) in reader.list(json, place, "heats", MOST_HEATS).iter().enumerate() {
        let place = Place::Entry(place, number);
        let Some(([athletes, own], [])) = reader.object(heat, &place, ["athletes", "starts"], []) else { continue };
        let at = Place::Field(&place, "athletes");
        for (entry, id) in reader.list(athletes, &at, "athletes", MOST_HEATS).iter().enumerate() {
            let at = Place::Entry(&at, entry);
            let Some(id) = reader.name(id, &at, "an athlete") else { continue };
            if let Some(first) = heat_of.insert(id, number) {
                reader.misfit(&at, format!("{id} is in heats[{first}] already; everybody is in one heat"));
            }
        }
        let at = Place::Field(&place, "starts");
        let own = reader.list(own, &at, "starts", MOST_BOUTS).iter().enumerate();
        let own = own.map(|(stage, start)| reader.whole(start, &Place::Entry(&at, stage), "seconds", 0, LATEST_S));
        starts.push(own.map(|start| start.unwrap_or(0)).collect());
    }
    (starts, heat_of)
}

fn bars_before<'j>(reader: &mut Reader, json: &'j Json, place: &Place<'_>) -> Bars<'j> {
    let mut bars = BTreeMap::new();
    for (id, own) in reader.map(json, place, "athletes with the bar of each of their bouts") {
        let place = Place::Field(place, id);
        let mut list = Vec::new();
        for (bout, bar) in reader.list(own, &place, "bars", MOST_BOUTS).iter().enumerate() {
            list.push(match bar {
                Json::Null => None,
                bar => reader.name(bar, &Place::Entry(&place, bout), "a bar, or null").map(str::to_owned),
            });
        }
        bars.insert(id.as_str(), list);
    }
    bars
}
