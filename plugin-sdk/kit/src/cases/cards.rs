//! A card case in the host's types, and the host's answer in the case's.

use std::sync::Arc;

use classwright_policies::{CardAnswer, CardQuestion, PartFacts};
use classwright_sdk::cases::CardsCase;
use classwright_sdk::{self as sdk, Library};
use classwright_training::library::{KitKind, MovementEntry};
use classwright_training::session::{Allow, PartKind};
use classwright_training::{
    Amount, Athlete, AthleteIx, Best, Card, Kit, KitIx, Limitation, Load, LoadKind, Mass, Measure, Movement,
    MovementIx, MovementLibrary, Pace, Piece, Place, Region, Severity, Side, Sides, Stock,
};

/// Ids of schemes as the host writes them.
const SCHEMES: [&str; 8] =
    ["rounds", "sets", "interval-sets", "for-time", "as-many-rounds", "every-minute", "work-rest", "ladder"];

/// All that a question of the host borrows.
pub(super) struct Host {
    pub(super) library: Arc<MovementLibrary>,
    athletes: Vec<Athlete>,
    parts: Vec<PartFacts>,
    cards: Vec<Card>,
    kits: Vec<Kit>,
}

impl Host {
    /// Refuses a case that the host could not ask.
    pub(super) fn new(case: &CardsCase) -> Result<Host, String> {
        let question = &case.question;
        let mut kits = vec![Kit::default(); case.places.len().max(1)];
        for row in &question.kit {
            let stock = Stock { kit: KitIx(row.kit), load: Mass::from_grams(row.load_g), count: row.count };
            kits[row.place as usize].stock.push(stock);
        }
        Ok(Host {
            library: Arc::new(library(case)?),
            athletes: (0..).zip(&question.athletes).map(|(number, row)| athlete(question, number, row)).collect(),
            parts: question.parts.iter().map(|row| part(question, row)).collect::<Result<_, _>>()?,
            cards: (0..).zip(&question.athletes).map(|(number, row)| card(question, number, row)).collect(),
            kits,
        })
    }

    pub(super) fn question<'a>(&'a self, case: &'a CardsCase) -> CardQuestion<'a> {
        let facts = &case.question.facts;
        CardQuestion {
            settings: &case.question.settings,
            length_s: facts.length_s,
            allow: Allow {
                load: facts.may_raise_load == 1,
                volume: facts.may_raise_volume == 1,
                demand: facts.may_raise_demand == 1,
            },
            athletes: &self.athletes,
            parts: &self.parts,
            cards: &self.cards,
            floor_kit: &self.kits[0],
            home_kits: &self.kits[1..],
        }
    }
}

/// The host's answer, in the contract's records.
pub(super) fn answer(case: &CardsCase, answer: CardAnswer) -> sdk::Answer {
    let question = &case.question;
    let change = |change: classwright_policies::CardChange| {
        let piece = question.athletes[change.athlete as usize].first_piece + change.piece;
        let from = &question.pieces[piece as usize];
        let becomes = change.becomes.unwrap_or(classwright_policies::NewPiece {
            movement: MovementIx(from.movement),
            times: from.times,
            amount: amount(from),
            first: Mass::from_grams(from.load_first_g),
            top: Mass::from_grams(from.load_top_g),
            effort_tenths: from.effort_tenths,
            range_percent: from.range_percent,
        });
        sdk::Change {
            piece,
            off: u32::from(change.becomes.is_none()),
            movement: becomes.movement.0,
            times: becomes.times,
            measure: match becomes.amount.measure {
                Measure::Repetitions => sdk::Measure::Repetitions,
                Measure::Seconds => sdk::Measure::Seconds,
                Measure::Metres => sdk::Measure::Metres,
                Measure::Calories => sdk::Measure::Calories,
            },
            sides: match becomes.amount.sides {
                Sides::Both => sdk::Sides::Both,
                Sides::Each => sdk::Sides::Each,
                Sides::Alternating => sdk::Sides::Alternating,
            },
            amount_low: becomes.amount.low,
            amount_high: becomes.amount.high,
            load_first_g: becomes.first.grams(),
            load_top_g: becomes.top.grams(),
            effort_tenths: becomes.effort_tenths,
            range_percent: becomes.range_percent,
            reason: change.reason,
        }
    };
    sdk::Answer {
        changes: answer.changes.into_iter().map(change).collect(),
        reasons: answer
            .reasons
            .into_iter()
            .map(|reason| sdk::Reason { rule: reason.rule, text: reason.text })
            .collect(),
    }
}

fn library(case: &CardsCase) -> Result<MovementLibrary, String> {
    let listed = &case.library;
    let kinds =
        listed.kit().iter().map(|id| KitKind { id: id.clone(), name: id.replace('-', " "), aliases: Vec::new() });
    let pace = |ms: u32| (ms > 0).then_some(Pace { typical_ms: ms, least_ms: ms, most_ms: ms });
    let entry = |movement: &sdk::ListedMovement| MovementEntry {
        movement: Movement {
            id: movement.id.clone(),
            name: movement.id.replace('-', " "),
            aliases: Vec::new(),
            patterns: Vec::new(),
            demand: Region::ALL.map(|region| movement.demand.get(region.id()).copied().unwrap_or(0)),
            needs: Vec::new(),
            load_kind: LoadKind::from_id(&movement.load_kind).unwrap_or(LoadKind::None),
            sides: match movement.sides {
                1 => Sides::Each,
                2 => Sides::Alternating,
                _ => Sides::Both,
            },
            rep: pace(movement.rep_ms),
            metre: pace(movement.metre_ms),
            calorie: pace(movement.calorie_ms),
            timed: movement.timed,
            skill: movement.skill as u8,
            progressed_from: Vec::new(),
            regressed_to: Vec::new(),
            cues: Vec::new(),
            faults: Vec::new(),
        },
        patterns: movement.patterns.clone(),
        needs: movement.kit.iter().map(|(kit, &count)| (kit.clone(), count)).collect(),
        progressed_from: Vec::new(),
        regressed_to: movement.easier.clone(),
    };
    let library = MovementLibrary::new(kinds.collect(), listed.movements().iter().map(entry).collect())
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    let tables = listed.tables();
    let ids = |movements: &[Movement]| movements.iter().map(|movement| movement.id.clone()).collect::<Vec<_>>();
    let same = ids(library.movements()) == listed.ids(&(0..listed.count()).collect::<Vec<_>>())
        && library.patterns() == tables.patterns
        && Region::ALL.map(Region::id)[..] == tables.regions[..]
        && LoadKind::ALL.map(LoadKind::id)[..] == tables.load_kinds[..];
    if same { Ok(library) } else { Err("the SDK numbers this library otherwise than the host".into()) }
}

fn athlete(question: &sdk::Question, number: u32, row: &sdk::Athlete) -> Athlete {
    let known = |number: u32| u8::try_from(number).ok().filter(|number| *number > 0);
    Athlete {
        id: format!("athlete-{number}"),
        name: format!("Athlete {number}"),
        column: row.column as u8,
        skill: row.skill as u8,
        training_share_permille: 1000,
        bests: question
            .bests
            .iter()
            .filter(|best| best.athlete == number)
            .map(|best| Best {
                movement: MovementIx(best.movement),
                load: Mass::from_grams(best.load_g),
                tested: best.tested == 1,
            })
            .collect(),
        limitations: question.limitations.iter().filter(|l| l.athlete == number).map(limitation).collect(),
        place: row.place.checked_sub(1).map_or(Place::Floor, Place::Home),
        return_week: known(row.return_week),
        age_years: known(row.age_years),
        body_mass: Some(Mass::from_grams(row.body_mass_g)).filter(|mass| !mass.is_zero()),
        bar_type: None,
        tags: question
            .tags
            .iter()
            .filter(|tag| tag.athlete == number)
            .map(|tag| question.texts[tag.text as usize].clone())
            .collect(),
    }
}

fn limitation(row: &sdk::Limitation) -> Limitation {
    Limitation {
        region: Region::ALL[row.region as usize],
        side: match row.side {
            sdk::BodySide::Both => Side::Both,
            sdk::BodySide::Left => Side::Left,
            sdk::BodySide::Right => Side::Right,
        },
        severity: match row.severity {
            sdk::Severity::Mild => Severity::Mild,
            sdk::Severity::Moderate => Severity::Moderate,
            sdk::Severity::Severe => Severity::Severe,
        },
    }
}

fn part(question: &sdk::Question, row: &sdk::Part) -> Result<PartFacts, String> {
    let (kind, scheme) = (&question.texts[row.kind as usize], &question.texts[row.scheme as usize]);
    let known = PartKind::ALL.into_iter().find(|known| known.id() == kind);
    Ok(PartFacts {
        kind: known.ok_or_else(|| format!("the host knows no part `{kind}`"))?,
        scheme: SCHEMES
            .into_iter()
            .find(|known| known == scheme)
            .ok_or_else(|| format!("the host knows no scheme `{scheme}`"))?,
        rounds: row.rounds,
        interval_s: row.interval_s,
        limit_s: row.limit_s,
    })
}

fn card(question: &sdk::Question, number: u32, row: &sdk::Athlete) -> Card {
    let theirs = row.first_piece as usize..(row.first_piece + row.piece_count) as usize;
    Card { athlete: AthleteIx(number), pieces: question.pieces[theirs].iter().map(piece).collect() }
}

fn piece(row: &sdk::Piece) -> Piece {
    let (first, top) = (Mass::from_grams(row.load_first_g), Mass::from_grams(row.load_top_g));
    Piece {
        part: row.part,
        item: row.item,
        step: row.step,
        movement: MovementIx(row.movement),
        times: row.times,
        amount: amount(row),
        load: if top.is_zero() { Load::None } else { Load::Known { each_time: vec![first, top], up_to: None } },
        best_permille: row.best_permille,
        effort_tenths: row.effort_tenths,
        range_percent: row.range_percent,
        rep_ms: Some(row.rep_ms).filter(|&ms| ms > 0),
        off: false,
    }
}

fn amount(row: &sdk::Piece) -> Amount {
    Amount {
        low: row.amount_low,
        high: row.amount_high,
        measure: match row.measure {
            sdk::Measure::Repetitions => Measure::Repetitions,
            sdk::Measure::Seconds => Measure::Seconds,
            sdk::Measure::Metres => Measure::Metres,
            sdk::Measure::Calories => Measure::Calories,
        },
        sides: match row.sides {
            sdk::Sides::Both => Sides::Both,
            sdk::Sides::Each => Sides::Each,
            sdk::Sides::Alternating => Sides::Alternating,
        },
    }
}
