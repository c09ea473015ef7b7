//! What one call has read from the movement library, in batches, each movement once.
//!
//! Promises that a movement named to [`Excerpt::read`] is there afterwards. Refuses nothing: the host numbers its
//! movements without gaps, and a number outside them stops the call.

use std::collections::BTreeMap;

use classwright_sdk::library::Fact;
use classwright_sdk::{Library, Tables};

/// What carries a load, as far as this policy knows the library's kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Carrier {
    None,
    Bar,
    Pair,
    Single,
    Machine,
    Band,
    Added,
    /// A kind this policy was not written for: never given a load.
    Unknown,
}

impl Carrier {
    pub(crate) fn from_id(id: &str) -> Carrier {
        match id {
            "none" => Carrier::None,
            "bar" => Carrier::Bar,
            "pair" => Carrier::Pair,
            "single" => Carrier::Single,
            "machine" => Carrier::Machine,
            "band" => Carrier::Band,
            "added" => Carrier::Added,
            _ => Carrier::Unknown,
        }
    }

    /// How many times the load of one implement a person moves at once; 0 where a load is no mass.
    pub(crate) fn implements(self) -> u64 {
        match self {
            Carrier::Pair => 2,
            Carrier::Bar | Carrier::Single | Carrier::Added => 1,
            Carrier::None | Carrier::Machine | Carrier::Band | Carrier::Unknown => 0,
        }
    }

    /// True for something with a mass that is held in the hands or on the back.
    pub(crate) fn is_implement(self) -> bool {
        matches!(self, Carrier::Bar | Carrier::Pair | Carrier::Single)
    }

    /// Steps from this kind to another: 0 the same, 1 another implement, 2 a band, 3 anything else.
    pub(crate) fn steps_to(self, other: Carrier) -> u32 {
        let free = |carrier| matches!(carrier, Carrier::None | Carrier::Added);
        match (self, other) {
            _ if self == other => 0,
            _ if self.is_implement() && other.is_implement() => 1,
            _ if free(self) && free(other) => 1,
            (Carrier::Band, _) | (_, Carrier::Band) => 2,
            _ => 3,
        }
    }
}

/// One movement with all that the rules ask of it.
pub(crate) struct Movement {
    pub(crate) id: String,
    pub(crate) fact: Fact,
    pub(crate) carrier: Carrier,
    /// Demand on each region of the tables.
    pub(crate) demand: Vec<u8>,
    /// Kit and count that one person needs.
    pub(crate) needs: Vec<(u32, u32)>,
    /// All its patterns, sorted.
    pub(crate) patterns: Vec<u32>,
}

/// The part of the library that this call has read.
pub(crate) struct Excerpt<'a> {
    pub(crate) library: &'a dyn Library,
    pub(crate) tables: Tables,
    carriers: Vec<Carrier>,
    /// By number; only those that were read are there.
    movements: Vec<Option<Movement>>,
    by_pattern: BTreeMap<u32, Vec<u32>>,
}

impl<'a> Excerpt<'a> {
    pub(crate) fn new(library: &'a dyn Library) -> Self {
        let tables = library.tables();
        let carriers = tables.load_kinds.iter().map(|id| Carrier::from_id(id)).collect();
        Excerpt {
            library,
            tables,
            carriers,
            movements: (0..library.count()).map(|_| None).collect(),
            by_pattern: BTreeMap::new(),
        }
    }

    /// Reads all of these that are not yet here, in five calls whatever their number.
    pub(crate) fn read(&mut self, numbers: impl IntoIterator<Item = u32>) {
        let mut new: Vec<u32> =
            numbers.into_iter().filter(|&number| self.movements[number as usize].is_none()).collect();
        new.sort_unstable();
        new.dedup();
        if new.is_empty() {
            return;
        }
        let regions = self.tables.regions.len();
        let mut ids = self.library.ids(&new);
        let facts = self.library.facts(&new);
        let demands = self.library.demands(&new);
        for (at, (&number, fact)) in new.iter().zip(facts).enumerate() {
            let carrier = self.carriers.get(fact.load_kind as usize).copied().unwrap_or(Carrier::Unknown);
            let demand = demands[at * regions..(at + 1) * regions].to_vec();
            let id = std::mem::take(&mut ids[at]);
            let movement = Movement { id, fact, carrier, demand, needs: Vec::new(), patterns: Vec::new() };
            self.movements[number as usize] = Some(movement);
        }
        for need in self.library.needs(&new) {
            if let Some(movement) = &mut self.movements[need.movement as usize] {
                movement.needs.push((need.kit, need.count));
            }
        }
        for link in self.library.patterns_of(&new) {
            if let Some(movement) = &mut self.movements[link.movement as usize] {
                movement.patterns.push(link.to);
            }
        }
        for number in new {
            if let Some(movement) = &mut self.movements[number as usize] {
                movement.patterns.sort_unstable();
                movement.patterns.dedup();
            }
        }
    }

    /// A movement that was read.
    pub(crate) fn movement(&self, number: u32) -> &Movement {
        self.movements[number as usize].as_ref().expect("every movement is read before it is asked for")
    }

    /// The id of a movement that was read.
    pub(crate) fn id(&self, number: u32) -> &str {
        &self.movement(number).id
    }

    /// The movements of these patterns, read.
    pub(crate) fn read_patterns(&mut self, patterns: &[u32]) {
        for &pattern in patterns {
            let library = self.library;
            self.by_pattern.entry(pattern).or_insert_with(|| library.with_pattern(pattern));
        }
        let numbers: Vec<u32> =
            patterns.iter().filter_map(|pattern| self.by_pattern.get(pattern)).flatten().copied().collect();
        self.read(numbers);
    }

    /// The movements of a pattern that was read.
    pub(crate) fn with_pattern(&self, pattern: u32) -> &[u32] {
        self.by_pattern.get(&pattern).map_or(&[], Vec::as_slice)
    }

    /// The position of a pattern id.
    pub(crate) fn pattern(&self, id: &str) -> Option<u32> {
        self.tables.patterns.iter().position(|known| known == id).map(|at| at as u32)
    }
}
