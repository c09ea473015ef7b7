//! Step 7: the cards become bouts with durations and claims on kit.
//!
//! A set or an interval is a bout; a part without them is one bout. Preparation and cool-down need no eye of the
//! coach on each athlete, so they take none of the coach's span.

use std::collections::BTreeMap;

use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock};
use classwright_training::time::{self, Speed, Stage};
use classwright_training::{AthleteIx, Card, KitIx, Mass, Part, PartKind, Piece, Place};

use crate::Class;
use crate::loads::CardLoads;
use crate::teams::{self, PartTeams};

/// The floor problem of a class, and what its numbers stand for.
#[derive(Clone)]
pub(crate) struct FloorQuestion {
    pub(crate) floor: Floor,
    pub(crate) athletes: Vec<AthleteIx>,
    pub(crate) stages: Vec<(usize, u32)>,
    pub(crate) teams: Vec<PartTeams>,
    /// Parts whose teams do not fit into those of the others.
    pub(crate) misfit: Vec<usize>,
    /// What the coach should know of it.
    pub(crate) notes: Vec<String>,
}

/// Lays out the floor problem.
pub(crate) fn floor(class: &Class<'_>, cards: &[Card], loads: &[CardLoads]) -> FloorQuestion {
    let mut build = Builder::new(class);
    let on_floor = |ix: &AthleteIx| class.athlete(*ix).place == Place::Floor;
    let athletes: Vec<AthleteIx> = (0..class.athletes.len() as u32).map(AthleteIx).filter(on_floor).collect();
    let at_speed = |speed| -> Vec<Vec<Vec<Stage>>> {
        athletes.iter().map(|ix| stages(class, &cards[ix.0 as usize], speed)).collect()
    };
    let [quick, work, slow] = [Speed::Quickest, Speed::Typical, Speed::Slowest].map(at_speed);
    let mut numbered = Vec::new();
    for part in 0..class.session.parts.len() {
        let most = work.iter().map(|parts| parts[part].len()).max().unwrap_or(0);
        numbered.extend((0..most as u32).map(|stage| (part, stage)));
    }
    for (at, ix) in athletes.iter().enumerate() {
        let (card, loads) = (&cards[ix.0 as usize], &loads[ix.0 as usize]);
        build.athlete(at as u32, card, loads, [&quick[at], &work[at], &slow[at]], &numbered);
    }
    build.hand_plates();
    let notes = std::mem::take(&mut build.notes);
    let mut floor = build.floor;
    floor.stage_count = numbered.len() as u32;
    let (teams, misfit) = teams::teams(class.session, athletes.len());
    teams::share(&mut floor, &teams, &numbered);
    FloorQuestion { floor, athletes, stages: numbered, teams, misfit, notes }
}

/// Stages of each part for one card.
pub(crate) fn stages(class: &Class<'_>, card: &Card, speed: Speed) -> Vec<Vec<Stage>> {
    let parts = class.session.parts.iter().enumerate();
    parts
        .map(|(at, part)| {
            let own: Vec<Piece> = card.pieces.iter().filter(|piece| piece.part == at as u32).cloned().collect();
            time::stages(part, class.session.first_item(at), &own, class.library, speed)
        })
        .collect()
}

/// The row of stock that counts collars.
const COLLARS: &str = "pair of collars";

/// Kit that one athlete holds during one set: bar type and loading, and rows of stock with their counts.
struct Held {
    bar: Option<(u32, u32)>,
    claims: Vec<(u32, u32)>,
}

struct Builder<'a> {
    class: &'a Class<'a>,
    floor: Floor,
    loadings: BTreeMap<Vec<u32>, u32>,
    stock: BTreeMap<(KitIx, Mass), u32>,
    notes: Vec<String>,
}

impl<'a> Builder<'a> {
    fn new(class: &'a Class<'a>) -> Self {
        let (kit, rules) = (class.floor_kit, class.rules);
        let bar = |bar: &classwright_training::Bar| FloorBar {
            id: bar.id.clone(),
            bar_type: bar.bar_type,
            free_from_s: 0,
            loading: 0,
        };
        let floor = Floor {
            window_s: class.session.length_s,
            now_s: 0,
            start_step_s: rules.start_step_s,
            coach_span: rules.coach_span,
            max_heats: rules.max_heats,
            setup_fixed_s: rules.setup_fixed_s,
            setup_pair_s: rules.setup_pair_s,
            bar_types: kit.bar_types.iter().map(|bar| (bar.name.clone(), bar.mass)).collect(),
            bars: kit.bars.iter().map(bar).collect(),
            loadings: vec![Vec::new()],
            plates: kit.plates.iter().map(|row| (row.mass, row.pairs)).collect(),
            ..Floor::default()
        };
        Builder { class, floor, loadings: BTreeMap::from([(Vec::new(), 0)]), stock: BTreeMap::new(), notes: Vec::new() }
    }

    fn athlete(
        &mut self,
        at: u32,
        card: &Card,
        loads: &CardLoads,
        [quick, work, slow]: [&[Vec<Stage>]; 3],
        numbered: &[(usize, u32)],
    ) {
        let first_bout = self.floor.bouts.len() as u32;
        for (stage, &(part, set)) in numbered.iter().enumerate() {
            let Some(now) = work[part].get(set as usize) else { continue };
            let last_of_part = set as usize + 1 == work[part].len();
            let between = self.class.rules.between_parts_s;
            let written = &self.class.session.parts[part];
            let Held { bar, mut claims } = self.claims(card, loads, part, written, set);
            claims.extend(self.collars(bar));
            claims.sort_unstable();
            self.floor.bouts.push(Bout {
                athlete: at,
                stage: stage as u32,
                duration_s: now.work_s,
                shortest_s: quick[part][set as usize].work_s.min(now.work_s),
                longest_s: slow[part][set as usize].work_s.max(now.work_s),
                rest_least_s: if last_of_part { between } else { now.rest_least_s },
                rest_most_s: if last_of_part { None } else { now.rest_most_s },
                watch: u32::from(
                    !matches!(written.kind, PartKind::Preparation | PartKind::CoolDown)
                        && busy(card, self.class.session.first_item(part), part, written, set),
                ),
                bar,
                claims,
            });
        }
        let bout_count = self.floor.bouts.len() as u32 - first_bout;
        self.floor.athletes.push(FloorAthlete { ready_s: 0, first_bout, bout_count });
    }

    /// What one athlete holds during one set of a part: a bar with the heaviest loading of that set, and the most of
    /// each kind of other kit.
    fn claims(&mut self, card: &Card, loads: &CardLoads, part: usize, written: &Part, set: u32) -> Held {
        let mut bar: Option<(Mass, u32, Vec<u32>)> = None;
        let mut claims: BTreeMap<u32, u32> = BTreeMap::new();
        let one_stage = !has_sets(written);
        for (piece, made) in card.pieces.iter().zip(loads) {
            if piece.part != part as u32 || piece.off {
                continue;
            }
            let first = self.class.session.first_item(part);
            let Some(time) = (if one_stage { Some(0) } else { time::done(written, first, piece, set + 1) }) else {
                continue;
            };
            let movement = self.class.library.movement(piece.movement);
            let load =
                if one_stage { made.iter().max_by_key(|m| m.total) } else { made.get(time as usize).or(made.last()) };
            for need in &movement.needs {
                let bars = self.class.library.kit(need.kit).id == "barbell";
                if bars {
                    let (bar_type, side) = match load.and_then(|load| load.bar.as_ref()) {
                        Some(loaded) => (loaded.bar_type, self.plates(&loaded.side)),
                        None => (self.own_bar(card.athlete), Vec::new()),
                    };
                    let total = load.map_or(Mass::ZERO, |load| load.total);
                    if bar.as_ref().is_none_or(|(most, ..)| total > *most) {
                        bar = Some((total, bar_type, side));
                    }
                } else if let Some(row) =
                    self.stock_row(need.kit, load.filter(|l| l.bar.is_none()).map(|l| l.total), need.count)
                {
                    let most = claims.entry(row).or_default();
                    *most = (*most).max(need.count);
                }
            }
        }
        let bar = bar.filter(|_| !self.floor.bars.is_empty()).map(|(_, bar_type, side)| (bar_type, self.loading(side)));
        Held { bar, claims: claims.into_iter().collect() }
    }

    /// A pair of collars for a bar with plates on it, where the gym counts them. They go from bar to bar: whoever
    /// works has them.
    fn collars(&mut self, bar: Option<(u32, u32)>) -> Option<(u32, u32)> {
        let there = self.class.floor_kit.collar_pairs?;
        let (_, loading) = bar?;
        if self.floor.loadings[loading as usize].is_empty() {
            return None;
        }
        let stock = &mut self.floor.stock;
        let row = stock.iter().position(|row| row.name == COLLARS).unwrap_or_else(|| {
            stock.push(FloorStock { name: COLLARS.to_owned(), count: there });
            stock.len() - 1
        });
        Some((row as u32, 1))
    }

    fn own_bar(&self, athlete: AthleteIx) -> u32 {
        let own = self.class.athlete(athlete).bar_type.as_deref();
        let types = &self.class.floor_kit.bar_types;
        types.iter().position(|bar| Some(bar.id.as_str()) == own).unwrap_or(0) as u32
    }

    fn plates(&self, side: &[Mass]) -> Vec<u32> {
        let at = |mass: &Mass| self.floor.plates.iter().position(|(own, _)| own == mass);
        side.iter().filter_map(at).map(|at| at as u32).collect()
    }

    fn loading(&mut self, side: Vec<u32>) -> u32 {
        let next = self.floor.loadings.len() as u32;
        let loadings = &mut self.floor.loadings;
        *self.loadings.entry(side).or_insert_with_key(|side| {
            loadings.push(side.clone());
            next
        })
    }

    /// The row of stock that a need is claimed from: implements of the load's mass, else the lightest that come in
    /// enough pieces. None where the floor has too few; such a piece is marked for the coach elsewhere.
    fn stock_row(&mut self, kit: KitIx, load: Option<Mass>, count: u32) -> Option<u32> {
        let masses = self.class.floor_kit.masses(kit, count);
        let mass = load.filter(|load| masses.contains(load)).or(masses.first().copied())?;
        let kind = self.class.library.kit(kit);
        let name = if mass.is_zero() { kind.id.clone() } else { format!("{} {mass}", kind.id) };
        let rows = self.class.floor_kit.stock.iter().filter(|row| row.kit == kit && row.load == mass);
        let count = rows.map(|row| row.count).sum();
        let stock = &mut self.floor.stock;
        Some(*self.stock.entry((kit, mass)).or_insert_with(|| {
            stock.push(FloorStock { name, count });
            stock.len() as u32 - 1
        }))
    }

    /// Plates that people hold in their hands come from those that go on bars. What the fullest bar needs of a mass
    /// stays with the bars; of the rest the hands get as many as they can use.
    fn hand_plates(&mut self) {
        let Some(plate) = self.class.library.find_kit("plate") else { return };
        for (at, (mass, pairs)) in self.floor.plates.iter_mut().enumerate() {
            let Some(&row) = self.stock.get(&(plate, *mass)) else { continue };
            let on_bar = |loading: &Vec<u32>| loading.iter().filter(|&&plate| plate as usize == at).count() as u32;
            let fullest = self.floor.loadings.iter().map(on_bar).max().unwrap_or(0);
            let wanted =
                |bout: &Bout| bout.claims.iter().filter(|claim| claim.0 == row).map(|claim| claim.1).sum::<u32>();
            let most: u32 = self.floor.bouts.iter().map(wanted).sum();
            let least = self.floor.bouts.iter().map(wanted).max().unwrap_or(0);
            let spare = pairs.saturating_sub(fullest);
            let given = if fullest == 0 { spare } else { spare.div_ceil(2).max(least.div_ceil(2)).min(spare) };
            let given = given.min(most.div_ceil(2));
            *pairs -= given;
            self.floor.stock[row as usize].count = 2 * given;
            if 2 * given < least {
                let held = |bout: &mut Bout| bout.claims.retain(|claim| claim.0 != row);
                self.floor.bouts.iter_mut().for_each(held);
                self.notes.push(format!("The bars need all plates of {mass}: those who hold one have to share."));
            }
        }
    }
}

/// True where the athlete has something to do in a set of a part.
fn busy(card: &Card, first_item: u32, part: usize, written: &Part, set: u32) -> bool {
    let mut own = card.pieces.iter().filter(|piece| piece.part == part as u32 && !piece.off);
    match has_sets(written) {
        true => own.any(|piece| time::done(written, first_item, piece, set + 1).is_some()),
        false => own.next().is_some(),
    }
}

/// True where each set or interval of the part is a bout of its own.
fn has_sets(part: &Part) -> bool {
    matches!(part.scheme.id(), "sets" | "interval-sets" | "work-rest")
}
