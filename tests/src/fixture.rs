//! A class of three: one free of complaints, one with a moderately limited shoulder, one at home with dumbbells.
//!
//! Strength on a bar, push-ups, and a part for time on a bar and a rowing machine. Every field may be changed before
//! it is planned. Names are invented.

use std::sync::Arc;

use classwright_planning::{Class, OnShelf, Plan};
use classwright_policies::PolicyFailure;
use classwright_training::floor::FloorRules;
use classwright_training::session::{Allow, Group, Item, Line, Team, WrittenLoad, WrittenPiece};
use classwright_training::{
    Amount, Athlete, Bar, BarType, Kit, Limitation, Mass, Measure, MovementIx, MovementLibrary, Part, PartKind, Place,
    PlateStock, Region, Scheme, Session, Severity, Side, Sides, Stock, Unit,
};

use crate::{Change, library, undone};

/// The athlete without complaints, on the floor.
pub const FREE: usize = 0;
/// The athlete with the limited shoulder, on the floor, who follows the second column.
pub const LIMITED: usize = 1;
/// The athlete at home, with two pairs of dumbbells.
pub const HOME: usize = 2;

/// The written items, as they are counted through the session. Each is one piece of each card.
pub mod items {
    /// Back squat, 3 sets of 5: 60, 50 and 70 kg, or 40 kg each time.
    pub const SQUAT: usize = 0;
    /// Push-up, 3 rounds of 10.
    pub const PUSH_UP: usize = 1;
    /// Overhead press, 3 rounds of 10 at 30 or 20 kg, for time.
    pub const PRESS: usize = 2;
    /// Rowing, 200 m in each of the same rounds.
    pub const ROW: usize = 3;
    /// How many there are.
    pub const COUNT: usize = 4;
}

/// A class with all that it needs in hand.
#[derive(Clone, Debug)]
pub struct Fixture {
    /// What is written.
    pub session: Session,
    /// Ten movements.
    pub library: Arc<MovementLibrary>,
    /// Three athletes.
    pub athletes: Vec<Athlete>,
    /// Two bars of 20 kg and one of 15, plates, dumbbells, a bench, two rowing machines.
    pub floor_kit: Kit,
    /// The dumbbells at home.
    pub home_kits: Vec<Kit>,
    /// How the floor is run.
    pub rules: FloorRules,
}

impl Default for Fixture {
    fn default() -> Self {
        let library = library();
        Fixture {
            session: session(&library),
            athletes: athletes(),
            floor_kit: floor_kit(&library),
            home_kits: vec![Kit {
                stock: stock(&library, &[("dumbbell", 10, 2), ("dumbbell", 15, 2)]),
                ..Kit::default()
            }],
            rules: FloorRules {
                coach_span: 2,
                max_heats: 3,
                start_step_s: 5,
                setup_fixed_s: 15,
                setup_pair_s: 10,
                between_parts_s: 60,
                effort: 0,
            },
            library,
        }
    }
}

impl Fixture {
    /// The class, with policies and with those that could not be loaded.
    pub fn class<'a>(&'a self, shelf: &'a [OnShelf], unloaded: &'a [PolicyFailure]) -> Class<'a> {
        Class {
            session: &self.session,
            library: &self.library,
            athletes: &self.athletes,
            floor_kit: &self.floor_kit,
            home_kits: &self.home_kits,
            rules: &self.rules,
            shelf,
            unloaded,
        }
    }

    /// The plan with these policies.
    pub fn plan(&self, shelf: &[OnShelf]) -> Plan {
        classwright_planning::plan(&self.class(shelf, &[]))
    }

    /// The same class where the coach allows policies to go above what is written.
    pub fn allowing(mut self, allow: Allow) -> Self {
        self.session.allow = allow;
        self
    }

    /// The number of a movement.
    pub fn movement(&self, id: &str) -> MovementIx {
        self.library.find(id).expect("it is one of the ten")
    }

    /// A change of an athlete's item that changes nothing yet, for a policy that is asked about the cards as written.
    pub fn change(&self, athlete: usize, item: usize) -> Change {
        let written = undone(&self.plan(&[]), athlete);
        Change::none((athlete * items::COUNT + item) as u32, &written[item])
    }
}

fn session(library: &MovementLibrary) -> Session {
    let masses = |steps: &[[u32; 2]]| WrittenLoad::Masses {
        steps: steps.iter().map(|columns| columns.map(|kg| kg * 100).to_vec()).collect(),
        unit: Unit::Kilograms,
    };
    let item = |id: &str, many: u32, measure, load| {
        let amount = Amount { low: many, high: many, measure, sides: Sides::Both };
        let movement = library.find(id).expect("it is one of the ten");
        Line::Work(Item {
            pieces: vec![WrittenPiece { amount: Some(amount), movement }],
            load,
            effort_tenths: None,
            rep_ms: None,
            choices: vec![],
            fallbacks: vec![],
            cues: vec![],
            line: 1,
        })
    };
    let part = |kind, scheme, lines| Part {
        kind,
        name: None,
        scheme,
        team: Team::Alone,
        groups: vec![Group { span: None, lines }],
        fallbacks: vec![],
        notes: vec![],
        line: 1,
    };
    let squat = item("back-squat", 5, Measure::Repetitions, Some(masses(&[[60, 40], [50, 40], [70, 40]])));
    let push_up = item("push-up", 10, Measure::Repetitions, None);
    let press = item("overhead-press", 10, Measure::Repetitions, Some(masses(&[[30, 20]])));
    let row = item("row", 200, Measure::Metres, None);
    Session {
        title: "A class of three".into(),
        date: None,
        length_s: 3600,
        intent: None,
        allow: Allow::default(),
        parts: vec![
            part(PartKind::Strength, Scheme::Sets { sets: 3, rest_s: 90, rest_most_s: Some(300) }, vec![squat]),
            part(PartKind::Skill, Scheme::Rounds { rounds: 3, rest_s: 0 }, vec![push_up]),
            part(PartKind::Conditioning, Scheme::ForTime { rounds: 3, rest_s: 0, cap_s: Some(900) }, vec![press, row]),
        ],
    }
}

fn athletes() -> Vec<Athlete> {
    let athlete = |id: &str, name: &str, column, place| Athlete {
        id: id.into(),
        name: name.into(),
        column,
        skill: 3,
        training_share_permille: 1000,
        bests: vec![],
        limitations: vec![],
        place,
        return_week: None,
        age_years: None,
        body_mass: None,
        bar_type: None,
        tags: vec![],
    };
    let shoulder = Limitation { region: Region::Shoulder, side: Side::Left, severity: Severity::Moderate };
    vec![
        athlete("mila", "Mila", 0, Place::Floor),
        Athlete { limitations: vec![shoulder], ..athlete("jonas", "Jonas", 1, Place::Floor) },
        athlete("ines", "Ines", 0, Place::Home(0)),
    ]
}

fn floor_kit(library: &MovementLibrary) -> Kit {
    let bar_type =
        |kg: u32| BarType { id: format!("bar-{kg}"), name: format!("{kg} kg bar"), mass: Mass::from_grams(kg * 1000) };
    let bar = |id: &str, bar_type| Bar { id: id.into(), bar_type };
    let plates = |grams, pairs| PlateStock { mass: Mass::from_grams(grams), pairs };
    let counted = [
        ("barbell", 0, 3),
        ("bench", 0, 1),
        ("dumbbell", 10, 4),
        ("dumbbell", 15, 2),
        ("dumbbell", 30, 2),
        ("rowing-machine", 0, 2),
    ];
    Kit {
        bar_types: vec![bar_type(20), bar_type(15)],
        bars: vec![bar("A1", 0), bar("A2", 0), bar("B1", 1)],
        plates: vec![plates(20_000, 2), plates(10_000, 2), plates(5_000, 2), plates(2_500, 2), plates(1_250, 1)],
        collar: Mass::ZERO,
        collar_pairs: None,
        stock: stock(library, &counted),
    }
}

/// Rows of kind, kilograms of each, count.
fn stock(library: &MovementLibrary, rows: &[(&str, u32, u32)]) -> Vec<Stock> {
    let row = |&(kit, kg, count): &(&str, u32, u32)| Stock {
        kit: library.find_kit(kit).expect("it is one of the four"),
        load: Mass::from_grams(kg * 1000),
        count,
    };
    rows.iter().map(row).collect()
}
