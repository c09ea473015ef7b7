//! From the document back to the floor: names looked up, numbers held against bounds.

use std::collections::BTreeMap;

use classwright_planning::floor::NeededLater;
use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock, Taken};

use super::bounds::{MOST_EFFORT, MOST_KINDS, MOST_PLATES, count, lengths, mass, second, span, wrong};
use super::{AskedDoc, AskedKitDoc, NamedFloor, OUT_OF_SERVICE_S, PlaceError};

/// Names of the document by position, each once.
pub(in crate::document) fn positions<'a>(
    list: &str,
    what: &str,
    names: impl Iterator<Item = &'a str>,
) -> Result<BTreeMap<&'a str, u32>, PlaceError> {
    let mut positions = BTreeMap::new();
    for (at, name) in (0..).zip(names) {
        if positions.insert(name, at).is_some() {
            return Err(wrong(format!("{list}[{at}].{what}"), format!("`{name}` stands twice")));
        }
    }
    Ok(positions)
}

/// The document with its names looked up.
pub(super) struct Reader<'a> {
    doc: &'a AskedDoc,
    athletes: BTreeMap<&'a str, u32>,
    kit: BTreeMap<&'a str, u32>,
    kinds: BTreeMap<&'a str, u32>,
    plates: Vec<(Mass, u32)>,
    loadings: Vec<Vec<u32>>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(doc: &'a AskedDoc) -> Result<Self, PlaceError> {
        lengths(doc)?;
        let mut plates: Vec<(Mass, u32)> = Vec::new();
        for (at, row) in doc.plates.iter().enumerate() {
            let place = format!("asked.plates[{at}].plate_kg");
            let plate = mass(&place, row.plate_kg)?;
            if plates.iter().any(|known| known.0 == plate) {
                return Err(wrong(place, format!("plates of {plate} stand twice")));
            }
            plates.push((plate, count(&format!("asked.plates[{at}].pairs"), row.pairs)?));
        }
        Ok(Reader {
            doc,
            athletes: positions("asked.athletes", "athlete", doc.athletes.iter().map(|row| row.athlete.as_str()))?,
            kit: positions("asked.stock", "kit", doc.stock.iter().map(|row| row.kit.as_str()))?,
            kinds: positions("asked.bar_kinds", "kind", doc.bar_kinds.iter().map(|row| row.kind.as_str()))?,
            plates,
            loadings: vec![Vec::new()],
        })
    }

    pub(super) fn read(mut self) -> Result<NamedFloor, PlaceError> {
        let doc = self.doc;
        let bars_by_name = positions("asked.bars", "bar", doc.bars.iter().map(|row| row.bar.as_str()))?;
        let later = doc.needed_later.iter().enumerate().map(|(at, row)| {
            let bar = found(&bars_by_name, &format!("asked.needed_later[{at}].bar"), &row.bar)?;
            let (from_s, to_s) = span(&format!("asked.needed_later[{at}]"), row.from_s, row.to_s)?;
            Ok(NeededLater { bar, from_s, to_s })
        });
        let later = later.collect::<Result<_, PlaceError>>()?;
        let mut stages: Vec<(u32, u32)> = doc.bouts.iter().map(|bout| (bout.part, bout.set)).collect();
        stages.sort_unstable();
        stages.dedup();
        let (athletes, bouts) = self.bouts(&stages)?;
        let bars = (0..doc.bars.len()).map(|at| self.bar(at)).collect::<Result<_, _>>()?;
        let stock = doc.stock.iter().enumerate().map(|(at, row)| {
            let count = count(&format!("asked.stock[{at}].count"), row.count)?;
            Ok(FloorStock { name: row.kit.clone(), count })
        });
        let kinds = doc
            .bar_kinds
            .iter()
            .enumerate()
            .map(|(at, row)| Ok((row.kind.clone(), mass(&format!("asked.bar_kinds[{at}].bar_kg"), row.bar_kg)?)));
        let floor = Floor {
            window_s: second("asked.window_s", doc.window_s)?,
            now_s: second("asked.now_s", doc.now_s)?,
            start_step_s: second("asked.start_step_s", doc.start_step_s)?,
            coach_span: count("asked.coach_span", doc.coach_span)?,
            max_heats: count("asked.max_heats", doc.max_heats)?,
            setup_fixed_s: second("asked.setup_fixed_s", doc.setup_fixed_s)?,
            setup_pair_s: count("asked.setup_pair_s", doc.setup_pair_s)?,
            stage_count: stages.len() as u32,
            athletes,
            bouts,
            stock: stock.collect::<Result<_, PlaceError>>()?,
            bar_types: kinds.collect::<Result<_, PlaceError>>()?,
            bars,
            taken: (0..doc.taken.len()).map(|at| self.taken(at)).collect::<Result<_, _>>()?,
            together: self.pairs("together", &doc.together)?,
            apart: self.pairs("apart", &doc.apart)?,
            present: None,
            loadings: self.loadings,
            plates: self.plates,
        };
        let athletes = doc.athletes.iter().map(|row| row.athlete.clone()).collect();
        let collar = mass("asked.collar_kg", doc.collar_kg)?;
        if doc.effort > MOST_EFFORT {
            return Err(wrong("asked.effort", format!("is {}; at most {MOST_EFFORT} are asked for", doc.effort)));
        }
        Ok(NamedFloor { floor, athletes, stages, collar, effort: doc.effort, later })
    }

    /// Bouts in the order of athletes, and of stages for each.
    fn bouts(&mut self, stages: &[(u32, u32)]) -> Result<(Vec<FloorAthlete>, Vec<Bout>), PlaceError> {
        let doc = self.doc;
        let mut bouts = (0..doc.bouts.len()).map(|at| self.bout(at, stages)).collect::<Result<Vec<_>, _>>()?;
        bouts.sort_by_key(|bout| (bout.athlete, bout.stage));
        if let Some(twice) =
            bouts.windows(2).find(|two| (two[0].athlete, two[0].stage) == (two[1].athlete, two[1].stage))
        {
            let (part, set) = stages[twice[1].stage as usize];
            let id = &doc.athletes[twice[1].athlete as usize].athlete;
            return Err(wrong("asked.bouts", format!("`{id}` does set {set} of part {part} twice")));
        }
        let mut athletes = Vec::new();
        for (at, row) in (0..).zip(&doc.athletes) {
            let first_bout = bouts.partition_point(|bout| bout.athlete < at) as u32;
            let after = bouts.partition_point(|bout| bout.athlete <= at) as u32;
            let ready_s = second(&format!("asked.athletes[{at}].ready_s"), row.ready_s)?;
            athletes.push(FloorAthlete { ready_s, first_bout, bout_count: after - first_bout });
        }
        Ok((athletes, bouts))
    }

    fn bout(&mut self, at: usize, stages: &[(u32, u32)]) -> Result<Bout, PlaceError> {
        let row = &self.doc.bouts[at];
        let place = |field: &str| format!("asked.bouts[{at}].{field}");
        let time = |field: &str, seconds: u32| second(&place(field), seconds);
        for (field, number) in [("part", row.part), ("set", row.set)] {
            if number == 0 {
                return Err(wrong(place(field), "is 0; they are counted from 1"));
            }
        }
        let bar = match (&row.bar_kind, &row.side_kg) {
            (None, None) => None,
            (Some(kind), Some(side)) => {
                Some((found(&self.kinds, &place("bar_kind"), kind)?, self.loading(&place("side_kg"), side)?))
            }
            (Some(_), None) => return Err(wrong(place("side_kg"), "is missing, and `bar_kind` is there")),
            (None, Some(_)) => return Err(wrong(place("bar_kind"), "is missing, and `side_kg` is there")),
        };
        if row.kit.len() > MOST_KINDS {
            let problem = format!("has {} entries; no set takes more than {MOST_KINDS} kinds of kit", row.kit.len());
            return Err(wrong(place("kit"), problem));
        }
        let claim = |(k, row): (usize, &AskedKitDoc)| {
            let kit = found(&self.kit, &place(&format!("kit[{k}].kit")), &row.kit)?;
            Ok((kit, count(&place(&format!("kit[{k}].count")), row.count)?))
        };
        Ok(Bout {
            athlete: found(&self.athletes, &place("athlete"), &row.athlete)?,
            stage: stages.binary_search(&(row.part, row.set)).unwrap_or_default() as u32,
            duration_s: time("duration_s", row.duration_s)?,
            shortest_s: time("shortest_s", row.shortest_s)?,
            longest_s: time("longest_s", row.longest_s)?,
            rest_least_s: time("rest_least_s", row.rest_least_s)?,
            rest_most_s: row.rest_most_s.map(|most| time("rest_most_s", most)).transpose()?,
            watch: count(&place("watch"), row.watch)?,
            bar,
            claims: row.kit.iter().enumerate().map(claim).collect::<Result<_, PlaceError>>()?,
        })
    }

    fn bar(&mut self, at: usize) -> Result<FloorBar, PlaceError> {
        let row = &self.doc.bars[at];
        let place = |field: &str| format!("asked.bars[{at}].{field}");
        let free_from_s = second(&place("free_from_s"), row.free_from_s)?;
        Ok(FloorBar {
            id: row.bar.clone(),
            bar_type: found(&self.kinds, &place("kind"), &row.kind)?,
            free_from_s: if row.out_of_service { OUT_OF_SERVICE_S } else { free_from_s },
            loading: self.loading(&place("side_kg"), &row.side_kg)?,
        })
    }

    fn taken(&self, at: usize) -> Result<Taken, PlaceError> {
        let row = &self.doc.taken[at];
        let place = |field: &str| format!("asked.taken[{at}].{field}");
        let stock = row.kit.as_ref().map(|kit| found(&self.kit, &place("kit"), kit)).transpose()?;
        let plate = row.plate_kg.map(|kg| plate(&self.plates, &place("plate_kg"), kg)).transpose()?;
        if stock.is_some() == plate.is_some() {
            return Err(wrong(place("kit"), "needs either `kit` or `plate_kg`"));
        }
        let (from_s, to_s) = span(&format!("asked.taken[{at}]"), row.from_s, row.to_s)?;
        Ok(Taken { stock, plate, count: count(&place("count"), row.count)?, from_s, to_s })
    }

    fn pairs(&self, list: &str, pairs: &[[String; 2]]) -> Result<Vec<(u32, u32)>, PlaceError> {
        let one = |at: usize, id: &str| found(&self.athletes, &format!("asked.{list}[{at}]"), id);
        pairs.iter().enumerate().map(|(at, [first, second])| Ok((one(at, first)?, one(at, second)?))).collect()
    }

    fn loading(&mut self, place: &str, side: &[f64]) -> Result<u32, PlaceError> {
        if side.len() > MOST_PLATES {
            return Err(wrong(place, format!("names {} plates; no sleeve takes more than {MOST_PLATES}", side.len())));
        }
        let plates = side.iter().map(|kg| plate(&self.plates, place, *kg)).collect::<Result<Vec<u32>, _>>()?;
        let known = self.loadings.iter().position(|loading| *loading == plates);
        Ok(known.unwrap_or_else(|| {
            self.loadings.push(plates);
            self.loadings.len() - 1
        }) as u32)
    }
}

pub(in crate::document) fn found(names: &BTreeMap<&str, u32>, place: &str, name: &str) -> Result<u32, PlaceError> {
    names.get(name).copied().ok_or_else(|| wrong(place, format!("there is no `{name}` in this plan")))
}

fn plate(plates: &[(Mass, u32)], place: &str, kg: f64) -> Result<u32, PlaceError> {
    let own = mass(place, kg)?;
    let at = plates.iter().position(|(mass, _)| *mass == own);
    at.map(|at| at as u32).ok_or_else(|| wrong(place, format!("there are no plates of {own} in this plan")))
}
