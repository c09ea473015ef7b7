//! A movement library from a list, for native tests, benchmarks and the kit.
//!
//! Numbers everything as the host does (movements in the order of their ids, patterns sorted, the host's regions and
//! load kinds), so that an answer means the same on both. A reference to something that is not listed is refused.

use std::collections::BTreeMap;

use crate::library::{Fact, Library, Link, Need, Tables};

/// The host's body regions, in its order.
pub const REGIONS: [&str; 9] =
    ["neck", "shoulder", "elbow", "wrist", "upper-back", "lower-back", "hip", "knee", "ankle"];

/// The host's load kinds, in its order.
pub const LOAD_KINDS: [&str; 7] = ["none", "bar", "pair", "single", "machine", "band", "added"];

/// A movement with its references by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ListedMovement {
    /// Stable id.
    pub id: String,
    /// Pattern ids, main one first; at least one.
    pub patterns: Vec<String>,
    /// Demand 0 to 3 by region.
    pub demand: BTreeMap<String, u8>,
    /// Kit by kind, with counts.
    pub kit: BTreeMap<String, u32>,
    /// One of [`LOAD_KINDS`].
    pub load_kind: String,
    /// 1 to 5.
    pub skill: u32,
    /// 0 both at once, 1 a side at a time, 2 alternating.
    pub sides: u32,
    /// Milliseconds a repetition, 0 where not counted.
    pub rep_ms: u32,
    /// Milliseconds a metre, 0 where not measured so.
    pub metre_ms: u32,
    /// Milliseconds a kilocalorie, 0 where not measured so.
    pub calorie_ms: u32,
    /// Can be held or done for a time.
    pub timed: bool,
    /// Ids of easier movements.
    pub easier: Vec<String>,
}

/// A library made of listed movements.
#[derive(Clone, Debug, Default)]
pub struct ListedLibrary {
    movements: Vec<ListedMovement>,
    patterns: Vec<String>,
    kit: Vec<String>,
}

impl ListedLibrary {
    /// Looks up every reference. `kit` names kinds beyond those that movements need; all kinds are sorted.
    pub fn new(mut movements: Vec<ListedMovement>, kit: &[String]) -> Result<Self, String> {
        movements.sort_by(|a, b| a.id.cmp(&b.id));
        let mut patterns: Vec<String> = movements.iter().flat_map(|m| m.patterns.clone()).collect();
        let mut kinds: Vec<String> = movements.iter().flat_map(|m| m.kit.keys().cloned()).chain(kit.to_vec()).collect();
        for list in [&mut patterns, &mut kinds] {
            list.sort();
            list.dedup();
        }
        let library = ListedLibrary { movements, patterns, kit: kinds };
        for pair in library.movements.windows(2) {
            if pair[0].id == pair[1].id {
                return Err(format!("movement `{}` stands twice", pair[0].id));
            }
        }
        library.movements.iter().try_for_each(|movement| library.check(movement))?;
        Ok(library)
    }

    fn check(&self, movement: &ListedMovement) -> Result<(), String> {
        let id = &movement.id;
        if movement.patterns.is_empty() {
            return Err(format!("movement `{id}` has no pattern"));
        }
        if !LOAD_KINDS.contains(&movement.load_kind.as_str()) {
            return Err(format!("movement `{id}`: `{}` is no load kind", movement.load_kind));
        }
        if let Some(region) = movement.demand.keys().find(|region| !REGIONS.contains(&region.as_str())) {
            return Err(format!("movement `{id}`: `{region}` is no region"));
        }
        if movement.demand.values().any(|&demand| demand > 3) {
            return Err(format!("movement `{id}`: demand is 0 to 3"));
        }
        match movement.easier.iter().find(|easier| self.find(easier).is_none()) {
            Some(easier) => Err(format!("movement `{id}`: there is no movement `{easier}`")),
            None => Ok(()),
        }
    }

    /// The movements, in number order.
    pub fn movements(&self) -> &[ListedMovement] {
        &self.movements
    }

    /// Pattern ids, sorted.
    pub fn patterns(&self) -> &[String] {
        &self.patterns
    }

    /// Kinds of kit, sorted.
    pub fn kit(&self) -> &[String] {
        &self.kit
    }

    /// The position of a kind of kit.
    pub fn find_kit(&self, id: &str) -> Option<u32> {
        position(&self.kit, id)
    }

    fn links(&self, movements: &[u32], to: impl Fn(&ListedMovement) -> Vec<u32>) -> Vec<Link> {
        let of =
            |&movement: &u32| to(&self.movements[movement as usize]).into_iter().map(move |to| Link { movement, to });
        movements.iter().flat_map(of).collect()
    }
}

/// Where an id stands in a list.
fn position(list: &[String], id: &str) -> Option<u32> {
    list.iter().position(|known| known == id).map(|at| at as u32)
}

impl Library for ListedLibrary {
    fn tables(&self) -> Tables {
        Tables {
            regions: REGIONS.map(String::from).to_vec(),
            patterns: self.patterns.clone(),
            kit: self.kit.clone(),
            load_kinds: LOAD_KINDS.map(String::from).to_vec(),
        }
    }

    fn count(&self) -> u32 {
        self.movements.len() as u32
    }

    fn find(&self, id: &str) -> Option<u32> {
        self.movements.binary_search_by(|movement| movement.id.as_str().cmp(id)).ok().map(|at| at as u32)
    }

    fn ids(&self, movements: &[u32]) -> Vec<String> {
        movements.iter().map(|&at| self.movements[at as usize].id.clone()).collect()
    }

    fn facts(&self, movements: &[u32]) -> Vec<Fact> {
        let fact = |&at: &u32| {
            let movement = &self.movements[at as usize];
            Fact {
                pattern: position(&self.patterns, &movement.patterns[0]).expect("collected from the movements"),
                load_kind: LOAD_KINDS.iter().position(|kind| *kind == movement.load_kind).unwrap_or(0) as u32,
                skill: movement.skill,
                sides: movement.sides,
                rep_ms: movement.rep_ms,
                metre_ms: movement.metre_ms,
                calorie_ms: movement.calorie_ms,
                timed: u32::from(movement.timed),
            }
        };
        movements.iter().map(fact).collect()
    }

    fn demands(&self, movements: &[u32]) -> Vec<u8> {
        let row = |&at: &u32| {
            let demand = &self.movements[at as usize].demand;
            REGIONS.map(|region| demand.get(region).copied().unwrap_or(0))
        };
        movements.iter().flat_map(row).collect()
    }

    fn needs(&self, movements: &[u32]) -> Vec<Need> {
        let rows = |&movement: &u32| {
            let kit = &self.movements[movement as usize].kit;
            let need = move |(id, &count): (&String, &u32)| Need {
                movement,
                kit: self.find_kit(id).expect("collected from the movements"),
                count,
            };
            kit.iter().map(need)
        };
        movements.iter().flat_map(rows).collect()
    }

    fn patterns_of(&self, movements: &[u32]) -> Vec<Link> {
        self.links(movements, |m| m.patterns.iter().filter_map(|id| position(&self.patterns, id)).collect())
    }

    fn with_pattern(&self, pattern: u32) -> Vec<u32> {
        let id = &self.patterns[pattern as usize];
        let within = |at: &u32| self.movements[*at as usize].patterns.contains(id);
        (0..self.count()).filter(within).collect()
    }

    fn easier(&self, movements: &[u32]) -> Vec<Link> {
        self.links(movements, |m| m.easier.iter().filter_map(|id| self.find(id)).collect())
    }
}
