//! Classes that every host has with it, to ask a policy about before it comes near a class of the gym.
//!
//! They are made of the built-in library and planned the way every class is planned. The people are invented: free of
//! complaints and limited in every region, on the floor and at home without a bar, with bests and without.

use std::sync::{Arc, OnceLock};

use classwright_planning::{Class, OnShelf};
use classwright_training::floor::FloorRules;
use classwright_training::{
    Athlete, Bar, BarType, Best, Kit, Limitation, Mass, MovementLibrary, Place, PlateStock, Region, Session, Severity,
    Side, Stock, notation,
};

/// A class to ask about.
pub(super) struct Probe {
    /// What it is called in a report.
    pub(super) name: &'static str,
    session: Session,
    library: Arc<MovementLibrary>,
    athletes: Vec<Athlete>,
    floor_kit: Kit,
    home_kits: Vec<Kit>,
    rules: FloorRules,
}

/// The classes, the smallest first.
pub(super) fn probes() -> &'static [Probe] {
    static PROBES: OnceLock<Vec<Probe>> = OnceLock::new();
    PROBES.get_or_init(|| {
        let library = Arc::new(classwright_store::library());
        let probe = |name, text, people, sets| Probe::new(name, text, people, sets, &library);
        vec![
            probe("one", include_str!("few.md"), 1, 1),
            probe("few", include_str!("few.md"), 6, 2),
            probe("many", include_str!("many.md"), 40, 8),
        ]
    })
}

/// The built-in library, for a question about nobody.
pub(super) fn library() -> &'static Arc<MovementLibrary> {
    &probes()[0].library
}

impl Probe {
    fn new(name: &'static str, text: &str, people: usize, sets: u32, library: &Arc<MovementLibrary>) -> Probe {
        let session = notation::parse_bytes(text.as_bytes(), library).expect("a test reads every built-in session");
        Probe {
            name,
            session,
            athletes: (0..people).map(|at| athlete(at, library)).collect(),
            floor_kit: floor_kit(sets, library),
            home_kits: vec![Kit { stock: stock(&[("dumbbell", 10, 2), ("mat", 0, 1)], library), ..Kit::default() }],
            rules: FloorRules {
                coach_span: 24,
                max_heats: 8,
                start_step_s: 30,
                setup_fixed_s: 15,
                setup_pair_s: 10,
                between_parts_s: 60,
                effort: 200_000,
            },
            library: Arc::clone(library),
        }
    }

    /// The class under a shelf.
    pub(super) fn class<'a>(&'a self, shelf: &'a [OnShelf]) -> Class<'a> {
        Class {
            session: &self.session,
            library: &self.library,
            athletes: &self.athletes,
            floor_kit: &self.floor_kit,
            home_kits: &self.home_kits,
            rules: &self.rules,
            shelf,
            unloaded: &[],
        }
    }
}

/// The person at a place on the list. One in three has a limitation, each time another, one in five trains at home.
fn athlete(at: usize, library: &MovementLibrary) -> Athlete {
    const SEVERITIES: [Severity; 3] = [Severity::Mild, Severity::Moderate, Severity::Severe];
    const SIDES: [Side; 3] = [Side::Left, Side::Right, Side::Both];
    let turn = at / 3;
    let limitation = Limitation {
        region: Region::ALL[turn % Region::ALL.len()],
        side: SIDES[turn % SIDES.len()],
        severity: SEVERITIES[(turn + 1) % SEVERITIES.len()],
    };
    let best = |id: &str, kg: u32| {
        let movement = library.find(id).expect("a test makes every built-in class");
        Best { movement, load: Mass::from_grams(kg * 1000), tested: at.is_multiple_of(2) }
    };
    let strong = 60 + 5 * (at as u32 % 16);
    Athlete {
        id: format!("person-{}", at + 1),
        name: format!("Person {}", at + 1),
        column: (at % 2) as u8,
        skill: (at % 5 + 1) as u8,
        training_share_permille: if at % 7 == 6 { 900 } else { 1000 },
        bests: if at % 4 == 3 { vec![] } else { vec![best("back-squat", strong), best("strict-press", strong / 2)] },
        limitations: if at % 3 == 1 { vec![limitation] } else { vec![] },
        place: if at % 5 == 4 { Place::Home(0) } else { Place::Floor },
        return_week: (at % 9 == 8).then_some(2),
        age_years: Some(20 + (at % 50) as u8),
        body_mass: None,
        bar_type: None,
        tags: vec![],
    }
}

/// So many sets of a bar with its plates, and the rest to match.
fn floor_kit(sets: u32, library: &MovementLibrary) -> Kit {
    let bar_type =
        |kg: u32| BarType { id: format!("bar-{kg}"), name: format!("{kg} kg bar"), mass: Mass::from_grams(kg * 1000) };
    let plates = |grams, pairs| PlateStock { mass: Mass::from_grams(grams), pairs };
    let bar = |at: u32| Bar { id: format!("B{}", at + 1), bar_type: at % 2 };
    let counted = [
        ("barbell", 0, 2 * sets),
        ("rack", 0, 2 * sets),
        ("rig", 0, 2 * sets),
        ("rings", 0, 2 * sets),
        ("run-lane", 0, 6 * sets),
        ("band", 0, 6 * sets),
        ("mat", 0, 6 * sets),
        ("dumbbell", 10, 4 * sets),
        ("dumbbell", 15, 4 * sets),
        ("kettlebell", 12, 2 * sets),
        ("kettlebell", 16, 2 * sets),
    ];
    Kit {
        bar_types: vec![bar_type(20), bar_type(15)],
        bars: (0..2 * sets).map(bar).collect(),
        plates: [20_000, 10_000, 5_000, 2_500, 1_250].map(|grams| plates(grams, 2 * sets)).into(),
        collar: Mass::ZERO,
        collar_pairs: None,
        stock: stock(&counted, library),
    }
}

/// Rows of kind, kilograms of each, count.
fn stock(rows: &[(&str, u32, u32)], library: &MovementLibrary) -> Vec<Stock> {
    let row = |&(kit, kg, count): &(&str, u32, u32)| Stock {
        kit: library.find_kit(kit).expect("a test makes every built-in class"),
        load: Mass::from_grams(kg * 1000),
        count,
    };
    rows.iter().map(row).collect()
}
