//! A library of two movements and a class as large as a test wants it.

use std::sync::Arc;

use classwright_policies::{CardQuestion, PartFacts};
use classwright_training::floor::{Bout, Floor, FloorAthlete};
use classwright_training::library::{KitKind, MovementEntry};
use classwright_training::{
    Amount, Athlete, AthleteIx, Best, Card, Kit, KitIx, Limitation, Load, LoadKind, Mass, Measure, Movement,
    MovementIx, MovementLibrary, Pace, PartKind, Piece, Place, Region, Severity, Side, Sides, Stock,
};

/// `air-squat` is movement 0, `back-squat` movement 1.
pub(crate) fn library() -> Arc<MovementLibrary> {
    let kit = KitKind { id: "barbell".into(), name: "barbell".into(), aliases: vec![] };
    let entry = |id: &str, load_kind, needs: Vec<(String, u32)>, easier: Vec<String>| MovementEntry {
        movement: Movement {
            id: id.into(),
            name: id.replace('-', " "),
            aliases: vec![],
            patterns: vec![],
            demand: [0, 0, 0, 0, 1, 2, 2, 3, 1],
            needs: vec![],
            load_kind,
            sides: Sides::Both,
            rep: Some(Pace { typical_ms: 2500, least_ms: 1500, most_ms: 4000 }),
            metre: None,
            calorie: None,
            timed: false,
            skill: 2,
            progressed_from: vec![],
            regressed_to: vec![],
            cues: vec![],
            faults: vec![],
        },
        patterns: vec!["squat".into()],
        needs,
        progressed_from: easier,
        regressed_to: vec![],
    };
    let entries = vec![
        entry("back-squat", LoadKind::Bar, vec![("barbell".into(), 1)], vec!["air-squat".into()]),
        entry("air-squat", LoadKind::None, vec![], vec![]),
    ];
    Arc::new(MovementLibrary::new(vec![kit], entries).unwrap())
}

/// A class with so many athletes of so many pieces each.
pub(crate) struct Class {
    pub(crate) athletes: Vec<Athlete>,
    pub(crate) cards: Vec<Card>,
    pub(crate) parts: Vec<PartFacts>,
    pub(crate) floor: Kit,
}

impl Class {
    pub(crate) fn new(athletes: u32, pieces: u32) -> Self {
        let stock = vec![Stock { kit: KitIx(0), load: Mass::from_kg(20.0), count: 8 }];
        Class {
            athletes: (0..athletes).map(athlete).collect(),
            cards: (0..athletes).map(|number| card(number, pieces)).collect(),
            parts: vec![PartFacts { kind: PartKind::Strength, scheme: "sets", rounds: 3, interval_s: 0, limit_s: 0 }],
            floor: Kit { stock, ..Kit::default() },
        }
    }

    pub(crate) fn question(&self) -> CardQuestion<'_> {
        CardQuestion {
            settings: "{}",
            length_s: 3600,
            allow: Default::default(),
            athletes: &self.athletes,
            parts: &self.parts,
            cards: &self.cards,
            floor_kit: &self.floor,
            home_kits: &[],
        }
    }
}

fn athlete(number: u32) -> Athlete {
    Athlete {
        id: format!("a{number}"),
        name: format!("Athlete {number}"),
        column: 0,
        skill: 3,
        training_share_permille: 900,
        bests: vec![Best { movement: MovementIx(1), load: Mass::from_kg(100.0), tested: true }],
        limitations: vec![Limitation { region: Region::Knee, side: Side::Left, severity: Severity::Mild }],
        place: Place::Floor,
        return_week: None,
        age_years: Some(35),
        body_mass: Some(Mass::from_kg(75.0)),
        bar_type: None,
        tags: vec!["masters".into()],
    }
}

fn card(number: u32, pieces: u32) -> Card {
    let piece = |item| Piece {
        part: 0,
        item,
        step: 0,
        movement: MovementIx(1),
        times: 3,
        amount: Amount { low: 10, high: 10, measure: Measure::Repetitions, sides: Sides::Both },
        load: Load::Known { each_time: vec![Mass::from_kg(60.0), Mass::from_kg(70.0)], up_to: None },
        best_permille: 700,
        effort_tenths: 0,
        range_percent: 100,
        rep_ms: None,
        off: false,
    };
    Card { athlete: AthleteIx(number), pieces: (0..pieces).map(piece).collect() }
}

/// Two athletes with one bout each, no kit.
pub(crate) fn floor() -> Floor {
    let bout = |athlete| Bout {
        athlete,
        stage: 0,
        duration_s: 300,
        shortest_s: 250,
        longest_s: 360,
        rest_least_s: 0,
        rest_most_s: None,
        watch: 1,
        bar: None,
        claims: vec![],
    };
    let athlete = |first_bout| FloorAthlete { ready_s: 0, first_bout, bout_count: 1 };
    Floor {
        window_s: 3600,
        start_step_s: 1,
        coach_span: 10,
        max_heats: 2,
        stage_count: 1,
        athletes: vec![athlete(0), athlete(1)],
        bouts: vec![bout(0), bout(1)],
        loadings: vec![vec![]],
        ..Floor::default()
    }
}
