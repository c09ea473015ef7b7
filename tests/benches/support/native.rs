//! The host's questions in the SDK's terms, so that the same rules can be asked natively.

use classwright_policies::CardQuestion;
use classwright_sdk::{self as sdk, ListedLibrary, ListedMovement, NONE, heats};
use classwright_training::floor::Floor;
use classwright_training::{Load, Mass, Measure, MovementLibrary, Pace, Piece, Place, Region, Severity, Side, Sides};

/// The same movements with the same numbers.
pub(crate) fn library(host: &MovementLibrary) -> ListedLibrary {
    let kit: Vec<String> = host.kit_kinds().iter().map(|kind| kind.id.clone()).collect();
    let ms = |pace: Option<Pace>| pace.map_or(0, |pace| pace.typical_ms);
    let movement = |movement: &classwright_training::Movement| {
        let mut easier: Vec<String> = Vec::new();
        for ix in movement.regressed_to.iter().chain(&movement.progressed_from) {
            let id = &host.movement(*ix).id;
            if !easier.contains(id) {
                easier.push(id.clone());
            }
        }
        ListedMovement {
            id: movement.id.clone(),
            patterns: movement.patterns.iter().map(|at| host.patterns()[*at as usize].clone()).collect(),
            demand: Region::ALL.map(|region| (region.id().to_owned(), movement.demand_on(region))).into(),
            kit: movement.needs.iter().map(|need| (host.kit(need.kit).id.clone(), need.count)).collect(),
            load_kind: movement.load_kind.id().into(),
            skill: movement.skill.into(),
            sides: match movement.sides {
                Sides::Both => 0,
                Sides::Each => 1,
                Sides::Alternating => 2,
            },
            rep_ms: ms(movement.rep),
            metre_ms: ms(movement.metre),
            calorie_ms: ms(movement.calorie),
            timed: movement.timed,
            easier,
        }
    };
    ListedLibrary::new(host.movements().iter().map(movement).collect(), &kit).expect("the host has checked it")
}

/// The question as a component gets it, but for the numbers of kinds of kit.
pub(crate) fn question(asked: &CardQuestion<'_>, host: &MovementLibrary, listed: &ListedLibrary) -> sdk::Question {
    let mut texts: Vec<String> = Vec::new();
    let mut text = |text: &str| match texts.iter().position(|known| known == text) {
        Some(at) => at as u32,
        None => {
            texts.push(text.to_owned());
            texts.len() as u32 - 1
        }
    };
    let part = |part: &classwright_policies::PartFacts| sdk::Part {
        kind: text(part.kind.id()),
        scheme: text(part.scheme),
        rounds: part.rounds,
        interval_s: part.interval_s,
        limit_s: part.limit_s,
    };
    let parts = asked.parts.iter().map(part).collect();
    let (mut athletes, mut pieces, mut limitations) = (Vec::new(), Vec::new(), Vec::new());
    let (mut bests, mut tags, mut kit) = (Vec::new(), Vec::new(), Vec::new());
    for ((athlete, card), number) in asked.athletes.iter().zip(asked.cards).zip(0..) {
        athletes.push(sdk::Athlete {
            column: athlete.column.into(),
            skill: athlete.skill.into(),
            place: match athlete.place {
                Place::Floor => 0,
                Place::Home(home) => home + 1,
            },
            return_week: athlete.return_week.unwrap_or(0).into(),
            age_years: athlete.age_years.unwrap_or(0).into(),
            body_mass_g: athlete.body_mass.map_or(0, Mass::grams),
            first_piece: pieces.len() as u32,
            piece_count: card.pieces.len() as u32,
        });
        pieces.extend(card.pieces.iter().map(|own| piece(number, own)));
        limitations.extend(athlete.limitations.iter().map(|own| sdk::Limitation {
            athlete: number,
            region: own.region as u32,
            side: match own.side {
                Side::Both => sdk::BodySide::Both,
                Side::Left => sdk::BodySide::Left,
                Side::Right => sdk::BodySide::Right,
            },
            severity: match own.severity {
                Severity::Mild => sdk::Severity::Mild,
                Severity::Moderate => sdk::Severity::Moderate,
                Severity::Severe => sdk::Severity::Severe,
            },
        }));
        bests.extend(athlete.bests.iter().map(|best| sdk::Best {
            athlete: number,
            movement: best.movement.0,
            load_g: best.load.grams(),
            tested: best.tested.into(),
        }));
        tags.extend(athlete.tags.iter().map(|tag| sdk::Tag { athlete: number, text: text(tag) }));
    }
    for (own, place) in std::iter::once(asked.floor_kit).chain(asked.home_kits).zip(0..) {
        kit.extend(own.stock.iter().map(|row| sdk::KitRow {
            place,
            kit: listed.find_kit(&host.kit(row.kit).id).expect("every kind is listed"),
            load_g: row.load.grams(),
            count: row.count,
        }));
    }
    let facts = sdk::ClassFacts {
        length_s: asked.length_s,
        may_raise_load: asked.allow.load.into(),
        may_raise_volume: asked.allow.volume.into(),
        may_raise_demand: asked.allow.demand.into(),
    };
    let settings = asked.settings.into();
    sdk::Question { texts, settings, facts, athletes, limitations, bests, tags, parts, pieces, kit }
}

fn piece(athlete: u32, piece: &Piece) -> sdk::Piece {
    sdk::Piece {
        athlete,
        part: piece.part,
        item: piece.item,
        step: piece.step,
        movement: piece.movement.0,
        times: piece.times,
        measure: match piece.amount.measure {
            Measure::Repetitions => sdk::Measure::Repetitions,
            Measure::Seconds => sdk::Measure::Seconds,
            Measure::Metres => sdk::Measure::Metres,
            Measure::Calories => sdk::Measure::Calories,
        },
        sides: match piece.amount.sides {
            Sides::Both => sdk::Sides::Both,
            Sides::Each => sdk::Sides::Each,
            Sides::Alternating => sdk::Sides::Alternating,
        },
        amount_low: piece.amount.low,
        amount_high: piece.amount.high,
        load_first_g: Load::first(&piece.load).map_or(0, Mass::grams),
        load_top_g: Load::top(&piece.load).map_or(0, Mass::grams),
        best_permille: piece.best_permille,
        effort_tenths: piece.effort_tenths,
        range_percent: piece.range_percent,
        rep_ms: piece.rep_ms.unwrap_or(0),
    }
}

/// The floor's question as a component gets it.
pub(crate) fn heats(floor: &Floor, effort: u64) -> heats::Question {
    let known = |number: Option<u32>| number.unwrap_or(NONE);
    let pairs = |list: &[(u32, u32)]| list.iter().map(|&(first, second)| heats::Pair { first, second }).collect();
    let mut texts: Vec<String> = floor.stock.iter().map(|row| row.name.clone()).collect();
    texts.extend(floor.bar_types.iter().map(|(name, _)| name.clone()));
    let first_bar_type = floor.stock.len() as u32;
    let (mut bouts, mut claims) = (Vec::new(), Vec::new());
    for (own, number) in floor.bouts.iter().zip(0..) {
        bouts.push(heats::Bout {
            athlete: own.athlete,
            stage: own.stage,
            duration_s: own.duration_s,
            shortest_s: own.shortest_s,
            longest_s: own.longest_s,
            rest_least_s: own.rest_least_s,
            rest_most_s: known(own.rest_most_s),
            watch: own.watch,
            bar_type: known(own.bar.map(|(bar_type, _)| bar_type)),
            loading: known(own.bar.map(|(_, loading)| loading)),
        });
        claims.extend(own.claims.iter().map(|&(kit, count)| heats::Claim { bout: number, kit, count }));
    }
    let (mut loadings, mut plates) = (Vec::new(), Vec::new());
    for side in &floor.loadings {
        loadings.push(heats::Loading { first: plates.len() as u32, count: side.len() as u32 });
        plates.extend(side);
    }
    heats::Question {
        texts,
        settings: "{}".into(),
        effort,
        window_s: floor.window_s,
        now_s: floor.now_s,
        start_step_s: floor.start_step_s,
        coach_span: floor.coach_span,
        max_heats: floor.max_heats,
        setup_fixed_s: floor.setup_fixed_s,
        setup_pair_s: floor.setup_pair_s,
        stage_count: floor.stage_count,
        athletes: floor
            .athletes
            .iter()
            .map(|own| heats::Athlete { ready_s: own.ready_s, first_bout: own.first_bout, bout_count: own.bout_count })
            .collect(),
        bouts,
        claims,
        stock: (0..).zip(&floor.stock).map(|(kit, row)| heats::StockRow { kit, count: row.count }).collect(),
        bar_types: (first_bar_type..)
            .zip(&floor.bar_types)
            .map(|(name, (_, mass))| heats::BarType { name, mass_g: mass.grams() })
            .collect(),
        bars: floor
            .bars
            .iter()
            .map(|bar| heats::Bar { bar_type: bar.bar_type, free_from_s: bar.free_from_s, loading: bar.loading })
            .collect(),
        loadings,
        plates,
        plate_stock: floor
            .plates
            .iter()
            .map(|&(mass, pairs)| heats::PlateStock { mass_g: mass.grams(), pairs })
            .collect(),
        taken: Vec::new(),
        together: pairs(&floor.together),
        apart: pairs(&floor.apart),
        present: None,
    }
}
