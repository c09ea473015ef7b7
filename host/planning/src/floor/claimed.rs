//! What another class in the same room holds, and when: kit in use, plates on its bars, its bars.
//!
//! Promises: a plan that keeps the rules of a floor onto which the claims were put takes nothing that the other plan
//! holds at that second, as long as [`reached`] names no bar. A bar that the other class uses is not to be had before
//! its last use there ends, for it is put away empty then; only one that the other class first needs after this class
//! is over may be used before that. Plates held in hands and plates on bars are the same plates, and counted together.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::Mass;
use classwright_training::floor::{Floor, Layout, Taken};

use super::bars::{bar_uses, start_s};

/// So many of something, held for a while; half-open, in seconds from the start of the class that has to wait.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// From.
    pub from_s: u32,
    /// Until.
    pub to_s: u32,
    /// How many; pairs for plates on bars.
    pub count: u32,
}

/// All that a plan of a floor holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Claims {
    /// By the name of the row of stock; in order of time, without overlap.
    pub stock: BTreeMap<String, Vec<Held>>,
    /// Pairs of plates on bars, by mass.
    pub plates: BTreeMap<Mass, Vec<Held>>,
    /// First and last second of each bar that is used, by its id.
    pub bars: BTreeMap<String, (u32, u32)>,
}

/// A bar that another class needs only after this one is over by its written length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NeededLater {
    /// Position in the floor's bars.
    pub bar: u32,
    /// When the other class begins with it.
    pub from_s: u32,
    /// When the other class has put it away.
    pub to_s: u32,
}

impl Claims {
    /// What a plan holds; `later_s` is by how many seconds its class starts after the one that asks (less than 0 for
    /// earlier). What is over by then is left out.
    pub fn of(floor: &Floor, layout: &Layout, later_s: i64) -> Claims {
        let moved = |from: u32, to: u32| {
            let second = |at: u32| u32::try_from((i64::from(at) + later_s).max(0)).unwrap_or(u32::MAX);
            Some((second(from), second(to))).filter(|(from, to)| from < to)
        };
        let mut stock: BTreeMap<&str, Steps> = BTreeMap::new();
        for (index, bout) in floor.bouts.iter().enumerate() {
            let Some(start) = start_s(floor, layout, index) else { continue };
            let Some(span) = moved(start, start.saturating_add(bout.duration_s)) else { continue };
            for &(row, count) in &bout.claims {
                stock.entry(&floor.stock[row as usize].name).or_default().add(span, count);
            }
        }
        let mut plates: BTreeMap<Mass, Steps> = BTreeMap::new();
        let mut on_bar = |loading: u32, from: u32, to: u32| {
            for &plate in &floor.loadings[loading as usize] {
                if let Some(span) = moved(from, to) {
                    plates.entry(floor.plates[plate as usize].0).or_default().add(span, 1);
                }
            }
        };
        let mut bars: BTreeMap<String, (u32, u32)> = BTreeMap::new();
        let uses = bar_uses(floor, layout);
        for (at, turn) in uses.iter().enumerate() {
            let bar = &floor.bars[turn.bar as usize];
            let mut from = turn.setup_from_s;
            if at == 0 || uses[at - 1].bar != turn.bar {
                on_bar(turn.from_loading, bar.free_from_s, turn.setup_from_s);
                if !floor.loadings[turn.from_loading as usize].is_empty() {
                    from = from.min(bar.free_from_s);
                }
            }
            on_bar(turn.to_loading, turn.setup_from_s, turn.held_until_s);
            if let Some((from, to)) = moved(from, turn.end_s) {
                let span = bars.entry(bar.id.clone()).or_insert((from, to));
                *span = (span.0.min(from), span.1.max(to));
            }
        }
        Claims {
            stock: stock.into_iter().map(|(name, steps)| (name.to_owned(), steps.held())).collect(),
            plates: plates.into_iter().map(|(mass, steps)| (mass, steps.held())).collect(),
            bars,
        }
    }

    /// True where nothing is held.
    pub fn is_empty(&self) -> bool {
        self.stock.is_empty() && self.plates.is_empty() && self.bars.is_empty()
    }
}

/// Puts what several other plans hold onto a floor. Names the bars that may be used for want of an overlap, as long as
/// this class is done with them in time.
pub fn put_claims(floor: &mut Floor, others: &[&Claims]) -> Vec<NeededLater> {
    let mut rows: BTreeMap<&str, Steps> = BTreeMap::new();
    let mut plates: BTreeMap<Mass, Steps> = BTreeMap::new();
    for claims in others {
        for (name, held) in &claims.stock {
            rows.entry(name).or_default().add_all(held);
        }
        for (mass, held) in &claims.plates {
            plates.entry(*mass).or_default().add_all(held);
        }
    }
    let mut taken = Vec::new();
    let hands: Vec<String> = floor.plates.iter().map(|(mass, _)| in_hands(*mass)).collect();
    for (row, stock) in (0..).zip(&floor.stock) {
        if let (Some(steps), false) = (rows.get(stock.name.as_str()), hands.contains(&stock.name)) {
            taken.extend(steps.held().iter().map(|held| held.of_stock(row, stock.count)));
        }
    }
    for (plate, ((mass, pairs), hands)) in (0..).zip(floor.plates.iter().zip(&hands)) {
        let row = floor.stock.iter().position(|stock| stock.name == *hands);
        let on_bars = plates.remove(mass).unwrap_or_default();
        let in_hands = rows.remove(hands.as_str()).unwrap_or_default();
        let loose = row.map_or(0, |row| floor.stock[row].count);
        for (from_s, to_s, pairs_held, held) in Steps::both(&on_bars, &in_hands) {
            let (of_bars, of_hands) = share(pairs_held, held, *pairs, loose);
            let some = |count: u32| Held { from_s, to_s, count };
            if of_bars > 0 {
                taken.push(some(of_bars).of_plates(plate));
            }
            if let (Some(row), true) = (row, of_hands > 0) {
                taken.push(some(of_hands).of_stock(row as u32, loose));
            }
        }
    }
    floor.taken.extend(taken);
    bars(floor, others)
}

/// Bars of the plan that are still in use when another class begins with them.
pub fn reached(floor: &Floor, layout: &Layout, later: &[NeededLater]) -> Vec<NeededLater> {
    let mut ends: BTreeMap<u32, u32> = BTreeMap::new();
    for turn in bar_uses(floor, layout) {
        let end = ends.entry(turn.bar).or_default();
        *end = turn.end_s.max(*end);
    }
    later.iter().filter(|later| ends.get(&later.bar).is_some_and(|end| *end > later.from_s)).copied().collect()
}

fn bars(floor: &mut Floor, others: &[&Claims]) -> Vec<NeededLater> {
    let mut later = Vec::new();
    for (at, bar) in (0..).zip(&mut floor.bars) {
        let spans: Vec<(u32, u32)> = others.iter().filter_map(|claims| claims.bars.get(&bar.id)).copied().collect();
        for (from_s, to_s) in spans {
            if from_s < floor.window_s {
                bar.free_from_s = bar.free_from_s.max(to_s);
            } else {
                later.push(NeededLater { bar: at, from_s, to_s });
            }
        }
    }
    later
}

/// The row of stock of plates that people hold in their hands.
fn in_hands(mass: Mass) -> String {
    format!("plate {mass}")
}

/// How many pairs are missing for bars and how many plates for hands, where others hold so many of each. Hands miss
/// what hands hold as far as there are any for them; each pool bears what is too much for the other.
fn share(pairs_held: u32, held: u32, pairs: u32, loose: u32) -> (u32, u32) {
    let of_hands = held.min(loose);
    let of_bars = pairs_held + (held - of_hands).div_ceil(2);
    let over = of_bars.saturating_sub(pairs);
    (of_bars.min(pairs), (of_hands + 2 * over).min(loose))
}

impl Held {
    fn of_stock(self, row: u32, most: u32) -> Taken {
        let Held { from_s, to_s, count } = self;
        Taken { stock: Some(row), plate: None, count: count.min(most), from_s, to_s }
    }

    fn of_plates(self, plate: u32) -> Taken {
        let Held { from_s, to_s, count } = self;
        Taken { stock: None, plate: Some(plate), count, from_s, to_s }
    }
}

/// How a number goes up and down.
#[derive(Clone, Debug, Default)]
struct Steps(BTreeMap<u32, i64>);

impl Steps {
    fn add(&mut self, (from, to): (u32, u32), count: u32) {
        *self.0.entry(from).or_default() += i64::from(count);
        *self.0.entry(to).or_default() -= i64::from(count);
    }

    fn add_all(&mut self, held: &[Held]) {
        held.iter().for_each(|held| self.add((held.from_s, held.to_s), held.count));
    }

    /// The longest spans of one number each.
    fn held(&self) -> Vec<Held> {
        let spans = Self::both(self, &Steps::default());
        spans.into_iter().map(|(from_s, to_s, count, _)| Held { from_s, to_s, count }).collect()
    }

    /// The longest spans in which two numbers stay, without those in which both are 0.
    fn both(a: &Steps, b: &Steps) -> Vec<(u32, u32, u32, u32)> {
        let seconds: BTreeSet<u32> = a.0.keys().chain(b.0.keys()).copied().collect();
        let mut spans: Vec<(u32, u32, u32, u32)> = Vec::new();
        let (mut of_a, mut of_b, mut from) = (0, 0, 0);
        for second in seconds {
            let (a, b) = (a.0.get(&second).copied().unwrap_or(0), b.0.get(&second).copied().unwrap_or(0));
            if (a, b) == (0, 0) {
                continue;
            }
            if of_a > 0 || of_b > 0 {
                spans.push((from, second, of_a as u32, of_b as u32));
            }
            (of_a, of_b, from) = (of_a + a, of_b + b, second);
        }
        spans
    }
}
