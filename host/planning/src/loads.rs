//! Step 5: every load becomes one that the kit there is can make, never above what stood on the card.

use std::collections::BTreeMap;

use classwright_training::plates::{BarSetUp, CannotBeMade, Maker, Rounding};
use classwright_training::{AthleteIx, Kit, Load, LoadKind, Mass, MovementIx, Piece, Place};

use crate::Class;
use crate::draft::Draft;
use crate::plan::{By, LoadedBar, MadeLoad};

/// Loads of all pieces of a card, each time they are done.
pub(crate) type CardLoads = Vec<Vec<MadeLoad>>;

/// Rounds every load and gives what was made, a list a card.
pub(crate) fn round(class: &Class<'_>, draft: &mut Draft) -> Vec<CardLoads> {
    let mut makers = Makers::default();
    (0..draft.cards.len()).map(|card| round_card(class, draft, card, &mut makers)).collect()
}

fn round_card(class: &Class<'_>, draft: &mut Draft, card: usize, makers: &mut Makers) -> CardLoads {
    one_bar_one_load(class, draft, card);
    let ix = AthleteIx(card as u32);
    let mut loads = Vec::new();
    let mut on_bar: Vec<Mass> = Vec::new();
    for at in 0..draft.cards[card].pieces.len() {
        let piece = draft.cards[card].pieces[at].clone();
        let Load::Known { each_time, up_to } = &piece.load else {
            loads.push(Vec::new());
            continue;
        };
        if piece.off {
            loads.push(Vec::new());
            continue;
        }
        let made: Result<Vec<MadeLoad>, Unmade> =
            each_time.iter().map(|&load| make(class, ix, piece.movement, load, &mut on_bar, makers)).collect();
        match made {
            Ok(made) => {
                let totals = made.iter().map(|load| load.total).collect();
                let up_to = up_to
                    .and_then(|most| make(class, ix, piece.movement, most, &mut on_bar.clone(), makers).ok())
                    .map(|load| load.total);
                let to = Piece { load: Load::Known { each_time: totals, up_to }, ..piece.clone() };
                let why = "The nearest load not above it that the kit here can make.";
                draft.change(card, at, to, By::Host, "loadable", why);
                loads.push(made);
            }
            Err(unmade) => {
                let why = unmade.sentence();
                let to = Piece { load: Load::Ask(why.clone()), ..piece.clone() };
                draft.change(card, at, to, By::Host, "cannot-be-made", &why);
                loads.push(Vec::new());
            }
        }
    }
    loads
}

/// A complex is done without letting go of the bar: its pieces take the lightest of their loads.
fn one_bar_one_load(class: &Class<'_>, draft: &mut Draft, card: usize) {
    let pieces = draft.cards[card].pieces.clone();
    for (at, piece) in pieces.iter().enumerate() {
        let on_bar = |p: &&Piece| {
            p.item == piece.item && !p.off && class.library.movement(p.movement).load_kind == LoadKind::Bar
        };
        if !on_bar(&piece) {
            continue;
        }
        let lightest = pieces.iter().filter(on_bar).filter(|p| p.load.top().is_some()).min_by_key(|p| p.load.top());
        if let Some(lightest) = lightest.filter(|p| p.load != piece.load) {
            let to = Piece { load: lightest.load.clone(), ..piece.clone() };
            let why = "One bar for the whole complex: its lightest load.";
            draft.change(card, at, to, By::Host, "one-bar", why);
        }
    }
}

/// Why a load cannot be made.
struct Unmade {
    wanted: Mass,
    below: Option<Mass>,
    above: Option<Mass>,
}

impl Unmade {
    fn sentence(&self) -> String {
        let near = match (self.below, self.above) {
            (Some(below), Some(above)) => format!("the nearest are {below} and {above}"),
            (Some(near), None) | (None, Some(near)) => format!("the nearest is {near}"),
            (None, None) => "there is nothing to make it with".to_owned(),
        };
        format!("{} cannot be made here, {near}", self.wanted)
    }
}

fn make(
    class: &Class<'_>,
    ix: AthleteIx,
    movement: MovementIx,
    wanted: Mass,
    on_bar: &mut Vec<Mass>,
    makers: &mut Makers,
) -> Result<MadeLoad, Unmade> {
    let movement = class.library.movement(movement);
    let kit = class.kit_of(ix);
    if movement.load_kind == LoadKind::Bar {
        return make_bar(class, ix, wanted, on_bar, makers);
    }
    // The implement is the needed kit that comes in masses.
    let masses = movement.needs.iter().map(|need| kit.masses(need.kit, need.count));
    let masses: Vec<Mass> = masses.flatten().filter(|mass| !mass.is_zero()).collect();
    if masses.is_empty() {
        // Nothing here has a mass of its own (a machine, a vest): what was written holds.
        return Ok(MadeLoad { total: wanted, bar: None });
    }
    let below = masses.iter().copied().filter(|&mass| mass <= wanted).max();
    let above = masses.iter().copied().filter(|&mass| mass > wanted).min();
    below.map(|total| MadeLoad { total, bar: None }).ok_or(Unmade { wanted, below, above })
}

fn make_bar(
    class: &Class<'_>,
    ix: AthleteIx,
    wanted: Mass,
    on_bar: &mut Vec<Mass>,
    makers: &mut Makers,
) -> Result<MadeLoad, Unmade> {
    let kit = class.kit_of(ix);
    let own = class.athlete(ix).bar_type.as_deref();
    let mut types: Vec<usize> = (0..kit.bar_types.len()).collect();
    // Their own bar first; for a load below it, the heaviest bar that is light enough.
    types.sort_by_key(|&at| (Some(kit.bar_types[at].id.as_str()) != own, std::cmp::Reverse(kit.bar_types[at].mass)));
    let mut near = Unmade { wanted, below: None, above: None };
    for at in types {
        match makers.of(class.athlete(ix).place, kit, at).make(wanted, Rounding::NotAbove, Some(on_bar)) {
            Ok(made) => {
                on_bar.clone_from(&made.side);
                let bar = LoadedBar { bar_type: at as u32, bar: made.bar, side: made.side };
                return Ok(MadeLoad { total: made.total, bar: Some(bar) });
            }
            Err(CannotBeMade { above, .. }) => {
                let above = above.map(|made| made.total);
                near.above = near.above.into_iter().chain(above).min();
            }
        }
    }
    Err(near)
}

/// A plate calculator for each bar type of each place, built when first needed.
#[derive(Default)]
struct Makers(BTreeMap<(Place, usize), Maker>);

impl Makers {
    fn of(&mut self, place: Place, kit: &Kit, bar_type: usize) -> &Maker {
        self.0.entry((place, bar_type)).or_insert_with(|| {
            let bar = kit.bar_types[bar_type].mass;
            Maker::new(&BarSetUp { bar, collar: kit.collar, plates: kit.plates.clone() })
        })
    }
}
