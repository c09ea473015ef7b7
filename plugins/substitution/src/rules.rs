//! The policy itself: for each piece whose kit the athlete's place lacks, the nearest work that the place allows.
//!
//! Reads the library a few times a class, never an athlete. Pieces that can be done stay untouched; a piece that
//! nothing stands in for is taken off with a reason that names the missing kit. The host's checks are kept by
//! construction: see [`crate::loads`], [`crate::amounts`] and [`crate::nearest`].

use std::collections::BTreeMap;
use std::rc::Rc;

use classwright_sdk::{Answer, Changes, Class, Library, Piece, PieceView};

use crate::amounts::{self, After, Amounts, Before};
use crate::complexes;
use crate::excerpt::{Carrier, Excerpt, Movement};
use crate::loads::{self, Loads, Written};
use crate::nearest::{self, Field, Person, StandIn};
use crate::places::Places;
use crate::settings::Settings;
use crate::words;

/// Changes for a whole class.
pub(crate) fn substitute(class: &Class, library: &dyn Library, settings: &Settings) -> Answer {
    let mut excerpt = Excerpt::new(library);
    excerpt.read(class.pieces().map(|piece| piece.movement));
    let places = Places::new(&class.question().kit, excerpt.tables.kit.len());
    let lacking = lacking(class, &excerpt, &places);
    let mut missing: Vec<u32> = lacking.keys().map(|&(movement, _)| movement).collect();
    missing.dedup();
    if missing.is_empty() {
        return Changes::new().into_answer();
    }
    let fields = nearest::fields(&mut excerpt, &missing, settings);
    let ratios = Ratios::new(settings);
    let rules = Rules { class, excerpt: &excerpt, places: &places, settings, fields: &fields, ratios: &ratios };
    rules.answer(&lacking)
}

/// What is missing, in words, by movement and place; what can be done is not there.
type Lacking = BTreeMap<(u32, u32), String>;

fn lacking(class: &Class, excerpt: &Excerpt, places: &Places) -> Lacking {
    let mut seen: Vec<(u32, u32)> =
        class.pieces().map(|piece| (piece.movement, class.athlete(piece.athlete).place)).collect();
    seen.sort_unstable();
    seen.dedup();
    let in_words = |(movement, place)| {
        let missing = places.missing(place, excerpt.movement(movement));
        (!missing.is_empty()).then(|| ((movement, place), words::what_is_missing(excerpt, &missing, place)))
    };
    seen.into_iter().filter_map(in_words).collect()
}

/// What one piece becomes.
#[derive(Clone, Copy)]
pub(crate) struct Instead<'a> {
    pub(crate) stand_in: StandIn<'a>,
    pub(crate) loads: Loads,
    pub(crate) amounts: Amounts,
}

/// Candidates, nearest first, by movement and measure.
type Ordered<'a> = BTreeMap<(u32, u8), Rc<[StandIn<'a>]>>;

/// All that was asked and read.
struct Rules<'a> {
    class: &'a Class<'a>,
    excerpt: &'a Excerpt<'a>,
    places: &'a Places,
    settings: &'a Settings,
    fields: &'a BTreeMap<u32, Field<'a>>,
    ratios: &'a Ratios,
}

impl<'a> Rules<'a> {
    fn answer(&self, lacking: &Lacking) -> Answer {
        let mut ordered = Ordered::new();
        let mut changes = Changes::new();
        for athlete in self.class.athletes() {
            let limited: Vec<u32> = athlete.limitations().map(|limitation| limitation.region).collect();
            let may_raise_demand = self.class.facts().may_raise_demand == 1;
            let (place, skill) = (athlete.place, athlete.skill);
            let person = Person { place, skill, limited: &limited, may_raise_demand };
            let pieces: Vec<PieceView> = athlete.pieces().collect();
            for item in pieces.chunk_by(|a, b| a.item == b.item) {
                let is_short = |piece: &&PieceView| lacking.contains_key(&(piece.movement, place));
                let short: Vec<PieceView> = item.iter().filter(is_short).copied().collect();
                let becomes = self.item(&short, item.len(), person, &mut ordered);
                for (&piece, instead) in short.iter().zip(becomes) {
                    let what = &lacking[&(piece.movement, place)];
                    match instead {
                        Some(instead) => self.change(&mut changes, piece, what, instead),
                        None => changes.take_off(piece, "nothing-fits", &words::nothing_fits(what, place)),
                    }
                }
            }
        }
        changes.into_answer()
    }

    /// What the pieces of one item become; an item of several steps is a complex.
    fn item(
        &self,
        short: &[PieceView],
        steps: usize,
        person: Person,
        ordered: &mut Ordered<'a>,
    ) -> Vec<Option<Instead<'a>>> {
        let mut candidates = |piece: &Piece| {
            let key = (piece.movement, piece.measure as u8);
            Rc::clone(ordered.entry(key).or_insert_with(|| self.ordered(piece).into()))
        };
        let possible = |piece: &Piece, one: StandIn<'a>| self.instead(piece, person, one);
        if steps == 1 {
            let nearest = |piece: &PieceView| candidates(piece).iter().find_map(|&one| possible(piece, one));
            return short.iter().map(nearest).collect();
        }
        let choices = |piece: &PieceView| {
            let mut all = candidates(piece).to_vec();
            all.sort_by_key(|one| one.pair.is_some());
            all.into_iter().filter_map(|one| possible(piece, StandIn { pair: None, ..one })).collect()
        };
        let choices: Vec<Vec<Instead>> = short.iter().map(choices).collect();
        complexes::shared(self.excerpt, &choices)
    }

    fn ordered(&self, piece: &Piece) -> Vec<StandIn<'a>> {
        let field = self.fields.get(&piece.movement);
        let order = |field| nearest::ordered(self.excerpt, self.settings, field, piece.movement, piece.measure);
        field.map(order).unwrap_or_default()
    }

    /// The piece as this movement, if it fits the person, and its load and at least one of it stay within what was
    /// written.
    fn instead(&self, piece: &Piece, person: Person, stand_in: StandIn<'a>) -> Option<Instead<'a>> {
        let before = self.excerpt.movement(piece.movement);
        let after = self.excerpt.movement(stand_in.movement);
        if !nearest::fits(self.places, before, after, person) {
            return None;
        }
        let load = written(piece, before);
        let permille = self.ratios.get(before.carrier, after.carrier);
        let masses = self.places.masses(person.place, after);
        let loads = loads::carried_over(load, after.carrier, permille, &masses)?;
        let before = Before {
            fact: &before.fact,
            measure: piece.measure,
            sides: piece.sides,
            low: piece.amount_low,
            high: piece.amount_high,
            rep_ms: piece.rep_ms,
            load,
        };
        let after = After { fact: &after.fact, carrier: after.carrier, loads };
        let extra = stand_in.pair.map_or(0, |(extra, _)| extra);
        let amounts = amounts::stand_in(before, after, extra, self.settings)?;
        Some(Instead { stand_in, loads, amounts })
    }

    fn change(&self, changes: &mut Changes, piece: PieceView, what: &str, instead: Instead) {
        let Instead { stand_in, loads, amounts } = instead;
        let rule = if stand_in.pair.is_some() { "named-pair" } else { "nearest-movement" };
        let load = words::load(piece.load_top_g, loads.top);
        let text = words::instead(what, self.excerpt.id(stand_in.movement), &amounts, stand_in.pair, load);
        let edit = changes.of(piece).movement(stand_in.movement).measure(amounts.measure).sides(amounts.sides);
        edit.amount(amounts.low, amounts.high).load(loads.first, loads.top).because(rule, &text);
    }
}

fn written(piece: &Piece, movement: &Movement) -> Written {
    Written { loads: Loads { first: piece.load_first_g, top: piece.load_top_g }, carrier: movement.carrier }
}

/// The settings' ratios between carriers.
struct Ratios(BTreeMap<(Carrier, Carrier), u32>);

impl Ratios {
    fn new(settings: &Settings) -> Self {
        let ratio = |ratio: &crate::settings::Ratio| {
            ((Carrier::from_id(&ratio.from), Carrier::from_id(&ratio.to)), ratio.permille)
        };
        Ratios(settings.ratios.iter().map(ratio).collect())
    }

    fn get(&self, from: Carrier, to: Carrier) -> Option<u32> {
        self.0.get(&(from, to)).copied()
    }
}
