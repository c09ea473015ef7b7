//! A floor in the format `heats-1`.

use std::collections::BTreeMap;

use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock};

use super::json::Json;
use super::reader::{Misfit, Place, Reader, is_name};

/// Longest time in a floor, seconds: more than eleven days.
const MOST_S: u32 = 1_000_000;
/// Largest count of anything.
const MOST_COUNT: u32 = 1_000_000;
/// Most athletes, bars or heats.
const MOST_ROWS: usize = 10_000;
/// Most bouts of one athlete, kinds of kit, or sizes of plate.
const MOST_KINDS: usize = 1_000;
/// Most plates on a sleeve.
const MOST_PLATES: usize = 100;
/// Heaviest plate or bar, kilograms.
const MOST_KG: f64 = 10_000.0;
/// The class ends later than any plan: nothing in the file says when.
const NO_END_S: u32 = 1_000_000_000;

/// A floor with the names that it has in its file.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorFile {
    /// Name of the floor.
    pub name: String,
    /// Ids of the athletes, in the order of the floor's.
    pub athletes: Vec<String>,
    /// The floor. Bars and kit have their ids there.
    pub floor: Floor,
}

/// Reads a floor, or names everything in it that does not fit.
pub fn read_floor(bytes: &[u8]) -> Result<FloorFile, Vec<Misfit>> {
    let json = Reader::parse(bytes)?;
    let mut reader = Reader::default();
    let read = Reading::default().floor(&mut reader, &json);
    reader.finish(read)
}

/// What later parts of the file point to.
#[derive(Default)]
struct Reading<'j> {
    floor: Floor,
    kit: BTreeMap<&'j str, u32>,
    plates: BTreeMap<Mass, u32>,
    bar_types: BTreeMap<BarType, u32>,
    loadings: BTreeMap<Vec<u32>, u32>,
}

/// Types of bar are the same where the checker takes them for the same: equal numbers, or equal texts.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum BarType {
    Kilograms(Mass),
    Named(String),
}

impl<'j> Reading<'j> {
    fn floor(mut self, reader: &mut Reader, json: &'j Json) -> Option<FloorFile> {
        let top = Place::Top;
        let needed = [
            "format",
            "name",
            "coach_limit",
            "max_heats",
            "setup_fixed_s",
            "setup_pair_s",
            "resources",
            "bars",
            "plates",
            "athletes",
        ];
        let (fields, [time_unit, seed]) = reader.object(json, &top, needed, ["time_unit", "seed"])?;
        let [format, name, coach, heats, fixed, pair, resources, bars, plates, athletes] = fields;
        let at = |field: &'static str| Place::Field(&Place::Top, field);
        reader.exactly(format, &at("format"), "heats-1");
        if let Some(unit) = time_unit {
            reader.exactly(unit, &at("time_unit"), "s");
        }
        if let Some(seed) = seed {
            reader.whole(seed, &at("seed"), "where the floor was drawn from", 0, u32::MAX);
        }
        let name = reader.name(name, &at("name"), "the floor's name");
        let most_heats = MOST_ROWS as u32;
        let coach = reader.whole(coach, &at("coach_limit"), "most athletes at work at once", 0, MOST_COUNT);
        let heats = reader.whole(heats, &at("max_heats"), "most heats", 0, most_heats);
        let fixed = reader.whole(fixed, &at("setup_fixed_s"), "seconds for any change of plates", 0, MOST_S);
        let pair = reader.whole(pair, &at("setup_pair_s"), "seconds for each pair of plates", 0, MOST_S);
        self.resources(reader, resources, &at("resources"));
        self.plates(reader, plates, &at("plates"));
        self.bars(reader, bars, &at("bars"));
        self.loadings.insert(Vec::new(), 0);
        self.floor.loadings.push(Vec::new());
        let athletes = self.athletes(reader, athletes, &at("athletes"));
        let floor = Floor {
            window_s: NO_END_S,
            start_step_s: 1,
            coach_span: coach?,
            max_heats: heats?,
            setup_fixed_s: fixed?,
            setup_pair_s: pair?,
            ..self.floor
        };
        Some(FloorFile { name: name?.to_owned(), athletes, floor })
    }

    fn resources(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) {
        let rows = reader.map(json, place, "kit with how many there are of it, {\"rower\": 4}");
        if rows.len() > MOST_KINDS {
            return reader.misfit(place, format!("has {} kinds of kit, {MOST_KINDS} at most are read", rows.len()));
        }
        for (name, count) in rows {
            let place = Place::Field(place, name);
            if !is_name(name) {
                reader.misfit(&place, "is no name for kit".into());
            }
            let count = reader.whole(count, &place, "how many there are", 0, MOST_COUNT).unwrap_or(0);
            self.kit.insert(name, self.floor.stock.len() as u32);
            self.floor.stock.push(FloorStock { name: name.clone(), count });
        }
    }

    fn plates(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) {
        let rows = reader.map(json, place, "kilograms of one plate with how many pairs there are, {\"2.5\": 8}");
        if rows.len() > MOST_KINDS {
            return reader.misfit(place, format!("has {} sizes, {MOST_KINDS} at most are read", rows.len()));
        }
        for (name, pairs) in rows {
            let place = Place::Field(place, name);
            let pairs = reader.whole(pairs, &place, "how many pairs there are", 0, MOST_COUNT);
            let Some(mass) = name.parse().ok().and_then(mass) else {
                let found = Json::Text(name.clone());
                reader.misfit(&place, format!("found {found}, expected the kilograms of one plate, \"2.5\""));
                continue;
            };
            if self.floor.plates.iter().any(|(own, _)| *own == mass) {
                reader.misfit(&place, format!("there is another row for plates of {mass}; keep one"));
            }
            self.floor.plates.push((mass, pairs.unwrap_or(0)));
        }
        // The contract wants the heaviest first.
        self.floor.plates.sort_by_key(|(mass, _)| std::cmp::Reverse(*mass));
        self.plates = self.floor.plates.iter().zip(0..).map(|((mass, _), at)| (*mass, at)).collect();
    }

    fn bars(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) {
        let mut ids = BTreeMap::new();
        for (at, bar) in reader.list(json, place, "bars", MOST_ROWS).iter().enumerate() {
            let place = Place::Entry(place, at);
            let Some(([id, bar_type], [])) = reader.object(bar, &place, ["id", "type"], []) else { continue };
            let id = own_id(reader, id, &place, &mut ids, at, "the bar's name");
            let bar_type = self.bar_type(reader, bar_type, &place);
            if let (Some(id), Some(bar_type)) = (id, bar_type) {
                self.floor.bars.push(FloorBar { id, bar_type, free_from_s: 0, loading: 0 });
            }
        }
    }

    fn bar_type(&mut self, reader: &mut Reader, json: &Json, above: &Place<'_>) -> Option<u32> {
        let (kind, name, mass) = match json {
            Json::Text(name) if is_name(name) => (BarType::Named(name.clone()), name.clone(), Mass::ZERO),
            Json::Whole(_) | Json::Decimal(_) => {
                let mass = kilograms(reader, json, &Place::Field(above, "type"), "kilograms of the bar")?;
                (BarType::Kilograms(mass), format!("{mass} bar"), mass)
            }
            _ => {
                let problem = format!("found {json}, expected the type of bar: its kilograms, or a name");
                reader.misfit(&Place::Field(above, "type"), problem);
                return None;
            }
        };
        let types = &mut self.floor.bar_types;
        Some(*self.bar_types.entry(kind).or_insert_with(|| {
            types.push((name, mass));
            types.len() as u32 - 1
        }))
    }

    fn athletes(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) -> Vec<String> {
        let mut ids = BTreeMap::new();
        let mut names = Vec::new();
        for (number, athlete) in reader.list(json, place, "athletes", MOST_ROWS).iter().enumerate() {
            let place = Place::Entry(place, number);
            let Some(([id, ready, bouts], [])) = reader.object(athlete, &place, ["id", "ready", "bouts"], []) else {
                continue;
            };
            names.extend(own_id(reader, id, &place, &mut ids, number, "the athlete's name"));
            let ready = reader.whole(ready, &Place::Field(&place, "ready"), "seconds", 0, MOST_S).unwrap_or(0);
            let first_bout = self.floor.bouts.len() as u32;
            let at = Place::Field(&place, "bouts");
            let bouts = reader.list(bouts, &at, "bouts", MOST_KINDS);
            for (stage, bout) in bouts.iter().enumerate() {
                self.bout(reader, bout, &Place::Entry(&at, stage), number as u32, stage as u32);
            }
            let bout_count = bouts.len() as u32;
            self.floor.stage_count = self.floor.stage_count.max(bout_count);
            self.floor.athletes.push(FloorAthlete { ready_s: ready, first_bout, bout_count });
        }
        names
    }

    fn bout(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>, athlete: u32, stage: u32) {
        let needed = ["dur", "rest_min", "rest_max", "bar", "use"];
        let Some(([dur, least, most, bar, uses], [])) = reader.object(json, place, needed, []) else { return };
        let at = |field: &'static str| Place::Field(place, field);
        let dur = reader.whole(dur, &at("dur"), "seconds of work", 1, MOST_S).unwrap_or(1);
        let least = reader.whole(least, &at("rest_min"), "seconds of rest", 0, MOST_S).unwrap_or(0);
        let rest_most_s = match most {
            Json::Null => None,
            most => reader.whole(most, &at("rest_max"), "null or seconds not below rest_min", least, MOST_S),
        };
        let bar = self.bar(reader, bar, &at("bar"));
        let claims = self.claims(reader, uses, &at("use"));
        self.floor.bouts.push(Bout {
            athlete,
            stage,
            duration_s: dur,
            shortest_s: dur,
            longest_s: dur,
            rest_least_s: least,
            rest_most_s,
            watch: 1,
            bar,
            claims,
        });
    }

    /// The type of bar and its loading. `load` is the sum of the config and says nothing more.
    fn bar(&mut self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) -> Option<(u32, u32)> {
        if *json == Json::Null {
            return None;
        }
        let ([bar_type, config], [load]) = reader.object(json, place, ["type", "config"], ["load"])?;
        if let Some(load) = load {
            reader.number(load, &Place::Field(place, "load"), "kilograms in all");
        }
        let bar_type = self.bar_type(reader, bar_type, place);
        let at = Place::Field(place, "config");
        let mut loading = Vec::new();
        for (number, plate) in reader.list(config, &at, "plates a side", MOST_PLATES).iter().enumerate() {
            let at = Place::Entry(&at, number);
            let Some(mass) = kilograms(reader, plate, &at, "kilograms of one plate") else { continue };
            match self.plates.get(&mass) {
                Some(plate) => loading.push(*plate),
                None => reader.misfit(&at, format!("no plate of {mass} stands in `plates`; add it, with 0 if need be")),
            }
        }
        let loadings = &mut self.floor.loadings;
        let loading = *self.loadings.entry(loading.clone()).or_insert_with(|| {
            loadings.push(loading);
            loadings.len() as u32 - 1
        });
        Some((bar_type?, loading))
    }

    fn claims(&self, reader: &mut Reader, json: &'j Json, place: &Place<'_>) -> Vec<(u32, u32)> {
        let mut claims = Vec::new();
        for (name, count) in reader.map(json, place, "kit with how many the bout holds, {\"rower\": 1}") {
            let place = Place::Field(place, name);
            let count = reader.whole(count, &place, "how many it holds", 0, MOST_COUNT).unwrap_or(0);
            match self.kit.get(name.as_str()) {
                Some(kit) if count > 0 => claims.push((*kit, count)),
                Some(_) => {}
                None => {
                    let meant = crate::plan_class::nearest(name, self.kit.keys().copied());
                    let meant = meant.map_or(String::new(), |meant| format!("; did you mean `{meant}`?"));
                    reader.misfit(&place, format!("no such kit stands in `resources`{meant}"));
                }
            }
        }
        claims
    }
}

/// An id that no other row has.
fn own_id<'j>(
    reader: &mut Reader,
    json: &'j Json,
    row: &Place<'_>,
    ids: &mut BTreeMap<&'j str, usize>,
    at: usize,
    what: &str,
) -> Option<String> {
    let place = Place::Field(row, "id");
    let id = reader.name(json, &place, what)?;
    if let Some(first) = ids.insert(id, at) {
        reader.misfit(&place, format!("entry {first} has the id {json} already; ids are for one each"));
    }
    Some(id.to_owned())
}

fn kilograms(reader: &mut Reader, json: &Json, place: &Place<'_>, what: &str) -> Option<Mass> {
    let number = match json {
        Json::Whole(number) => *number as f64,
        Json::Decimal(number) => *number,
        _ => f64::NAN,
    };
    let read = mass(number);
    if read.is_none() {
        reader.misfit(place, format!("found {json}, expected {what}, above 0, in whole grams"));
    }
    read
}

/// Kilograms that are whole grams.
fn mass(kg: f64) -> Option<Mass> {
    let whole = (kg * 1000.0 - (kg * 1000.0).round()).abs() < 1e-6;
    (kg > 0.0 && kg <= MOST_KG && whole).then(|| Mass::from_kg(kg))
}

impl FloorFile {
    /// A sentence about the floor with the file's names. Planning counts athletes and bars from 0, and all bouts in a
    /// row; here an athlete's bouts, the stages and the heats are counted from 1, as a coach counts.
    pub(crate) fn named(&self, sentence: &str) -> String {
        let mut words: Vec<String> = Vec::new();
        for word in sentence.split(' ') {
            let digits = word.chars().take_while(char::is_ascii_digit).count();
            let number = word[..digits].parse::<usize>().ok();
            let name = number.zip(words.last()).and_then(|(number, before)| match before.as_str() {
                "athlete" => self.athletes.get(number).cloned(),
                "bout" => self.floor.bouts.get(number).map(|bout| (bout.stage + 1).to_string()),
                "bar" => self.floor.bars.get(number).map(|bar| bar.id.clone()),
                "stage" | "heat" => Some((number + 1).to_string()),
                _ => None,
            });
            words.push(name.map_or_else(|| word.to_owned(), |name| name + &word[digits..]));
        }
        words.join(" ")
    }
}
