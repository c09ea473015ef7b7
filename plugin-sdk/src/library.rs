//! The gym's movement library as a policy sees it.
//!
//! Rules take a `&dyn Library`, so that they run natively on a [`crate::ListedLibrary`] and in the host on
//! [`HostLibrary`]. Movement numbers hold for one call only. Each call crosses the sandbox's border: ask for many
//! movements at once, or read a [`crate::Catalogue`] first.

use crate::wire::common::classwright::policy::library as host;

pub use host::{Fact, Link, Names as Tables, Need};

/// The movement library. Movements are numbered 0 to [`Library::count`] - 1; a number outside stops the policy.
pub trait Library {
    /// Names that facts point into by position.
    fn tables(&self) -> Tables;
    /// How many movements there are.
    fn count(&self) -> u32;
    /// The number of the movement with this id.
    fn find(&self, id: &str) -> Option<u32>;
    /// The id of each movement, in the order asked.
    fn ids(&self, movements: &[u32]) -> Vec<String>;
    /// The fact of each movement, in the order asked.
    fn facts(&self, movements: &[u32]) -> Vec<Fact>;
    /// Demand 0 to 3 on each region: a row a movement, a column a region of [`Tables::regions`].
    fn demands(&self, movements: &[u32]) -> Vec<u8>;
    /// All kit that the movements need.
    fn needs(&self, movements: &[u32]) -> Vec<Need>;
    /// All patterns of the movements.
    fn patterns_of(&self, movements: &[u32]) -> Vec<Link>;
    /// The movements of a pattern, in number order.
    fn with_pattern(&self, pattern: u32) -> Vec<u32>;
    /// The easier movements that the library names for each.
    fn easier(&self, movements: &[u32]) -> Vec<Link>;
}

/// The host's library. Works inside a component only; natively every call stops the program.
#[derive(Clone, Copy, Debug)]
pub struct HostLibrary;

impl Library for HostLibrary {
    fn tables(&self) -> Tables {
        host::tables()
    }
    fn count(&self) -> u32 {
        host::count()
    }
    fn find(&self, id: &str) -> Option<u32> {
        host::find(id)
    }
    fn ids(&self, movements: &[u32]) -> Vec<String> {
        host::ids(movements)
    }
    fn facts(&self, movements: &[u32]) -> Vec<Fact> {
        host::facts(movements)
    }
    fn demands(&self, movements: &[u32]) -> Vec<u8> {
        host::demands(movements)
    }
    fn needs(&self, movements: &[u32]) -> Vec<Need> {
        host::needs(movements)
    }
    fn patterns_of(&self, movements: &[u32]) -> Vec<Link> {
        host::patterns_of(movements)
    }
    fn with_pattern(&self, pattern: u32) -> Vec<u32> {
        host::with_pattern(pattern)
    }
    fn easier(&self, movements: &[u32]) -> Vec<Link> {
        host::easier(movements)
    }
}
