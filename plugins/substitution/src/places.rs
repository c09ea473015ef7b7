//! What kit each place holds, and what a movement would miss there.
//!
//! Kit that is out of service is not in the question, so what is not listed is not there. A movement with two
//! implements needs two of one mass: a 10 kg and a 15 kg dumbbell are no pair.

use classwright_sdk::KitRow;

use crate::excerpt::{Carrier, Movement};

/// The gym floor; homes are 1 and up.
pub(crate) const FLOOR: u32 = 0;

/// Kit of every place of the class.
pub(crate) struct Places {
    kinds: usize,
    /// By place, then by kind of kit: how many of each mass, lightest first.
    stock: Vec<Vec<(u32, u32)>>,
}

impl Places {
    /// `kinds` is how many kinds of kit the library knows.
    pub(crate) fn new(rows: &[KitRow], kinds: usize) -> Self {
        let places = rows.iter().map(|row| row.place as usize + 1).max().unwrap_or(0);
        let mut stock: Vec<Vec<(u32, u32)>> = vec![Vec::new(); places * kinds];
        for row in rows {
            let masses = &mut stock[row.place as usize * kinds + row.kit as usize];
            match masses.binary_search_by_key(&row.load_g, |&(mass, _)| mass) {
                Ok(at) => masses[at].1 = masses[at].1.saturating_add(row.count),
                Err(at) => masses.insert(at, (row.load_g, row.count)),
            }
        }
        Places { kinds, stock }
    }

    /// True where a movement can be done.
    pub(crate) fn allow(&self, place: u32, movement: &Movement) -> bool {
        movement.needs.iter().all(|need| self.short_of(place, movement, need).is_none())
    }

    /// What is missing for a movement at a place; nothing where it can be done.
    pub(crate) fn missing(&self, place: u32, movement: &Movement) -> Vec<Missing> {
        movement.needs.iter().filter_map(|need| self.short_of(place, movement, need)).collect()
    }

    /// The masses of the implement that carries the load, lightest first. Empty where the kit has no fixed mass.
    pub(crate) fn masses(&self, place: u32, movement: &Movement) -> Vec<u32> {
        let of_kit = |&(kit, needed): &(u32, u32)| {
            let masses: Vec<u32> = self
                .rows(place, kit)
                .iter()
                .filter(|&&(mass, count)| mass > 0 && count >= needed)
                .map(|&(mass, _)| mass)
                .collect();
            (!masses.is_empty()).then_some(masses)
        };
        movement.needs.iter().find_map(of_kit).unwrap_or_default()
    }

    fn short_of(&self, place: u32, movement: &Movement, &(kit, needed): &(u32, u32)) -> Option<Missing> {
        let rows = self.rows(place, kit);
        let there = rows.iter().fold(0u32, |sum, &(_, count)| sum.saturating_add(count));
        let of_one_mass = || rows.iter().any(|&(_, count)| count >= needed);
        let enough = there >= needed && (!held(movement) || of_one_mass());
        (!enough).then_some(Missing { kit, needed, there })
    }

    fn rows(&self, place: u32, kit: u32) -> &[(u32, u32)] {
        self.stock.get(place as usize * self.kinds + kit as usize).map_or(&[], Vec::as_slice)
    }
}

/// Kit that a place has too little of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Missing {
    pub(crate) kit: u32,
    pub(crate) needed: u32,
    pub(crate) there: u32,
}

/// True where the load is that of implements held in the hands.
fn held(movement: &Movement) -> bool {
    matches!(movement.carrier, Carrier::Pair | Carrier::Single)
}
