//! What a class waits for where other classes hold kit: not guessed, but planned again with that kit there.
//!
//! Where two kinds of kit hold the class up alike, giving back one alone may gain nothing; then only the sum is told.

use std::collections::BTreeSet;

use classwright_training::floor::Floor;

use crate::given::kit_name;
use crate::{Class, Plan, heats};

/// How much earlier a class would be done without the others in the room.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Waits {
    /// End of the plan with all kit there; none where there is no plan of it.
    pub alone_s: Option<u32>,
    /// Kit by name with the seconds that the class would gain if nobody else held it; the most first, none of 0.
    pub each: Vec<(String, u32)>,
}

/// A kind of kit that others hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Held {
    Bars(u32),
    Plates(u32),
    Stock(u32),
}

/// What a planned class waits for. None where nobody else holds anything.
pub fn waits(class: &Class<'_>, plan: &Plan) -> Option<Waits> {
    let floor = &plan.floor.floor;
    let held = held(floor);
    if held.is_empty() || plan.floor.layout.starts.is_empty() {
        return None;
    }
    let finish = plan.floor.finish_s();
    let alone_s = heats::finish_s(class, &held.iter().fold(floor.clone(), |floor, what| without(floor, *what)));
    let mut each = Vec::new();
    if alone_s.is_some_and(|alone| alone < finish) {
        for what in held {
            let then = heats::finish_s(class, &without(floor.clone(), what)).unwrap_or(finish);
            if then < finish {
                each.push((name(class, floor, what), finish - then));
            }
        }
    }
    each.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    Some(Waits { alone_s, each })
}

fn held(floor: &Floor) -> Vec<Held> {
    let taken = floor.taken.iter().filter_map(|taken| taken.stock.map(Held::Stock).or(taken.plate.map(Held::Plates)));
    let bars = floor.bars.iter().filter(|bar| bar.free_from_s > 0).map(|bar| Held::Bars(bar.bar_type));
    taken.chain(bars).collect::<BTreeSet<_>>().into_iter().collect()
}

fn without(mut floor: Floor, what: Held) -> Floor {
    match what {
        Held::Bars(kind) => {
            floor.bars.iter_mut().filter(|bar| bar.bar_type == kind).for_each(|bar| bar.free_from_s = 0);
        }
        Held::Plates(plate) => floor.taken.retain(|taken| taken.plate != Some(plate)),
        Held::Stock(row) => floor.taken.retain(|taken| taken.stock != Some(row)),
    }
    floor
}

fn name(class: &Class<'_>, floor: &Floor, what: Held) -> String {
    match what {
        Held::Bars(kind) => floor.bar_types[kind as usize].0.clone(),
        Held::Plates(plate) => format!("{} plates", floor.plates[plate as usize].0),
        Held::Stock(row) => kit_name(class, &floor.stock[row as usize].name),
    }
}
