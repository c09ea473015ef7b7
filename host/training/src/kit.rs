//! What the floor or a home holds, counted, without what is out of service.

use crate::{KitIx, Mass};

/// Kit at one place: the gym floor for a class, or an athlete's home.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// Kinds of bar.
    pub bar_types: Vec<BarType>,
    /// Bars in service, each one by itself.
    pub bars: Vec<Bar>,
    /// Plates by mass, in pairs, heaviest first.
    pub plates: Vec<PlateStock>,
    /// Mass of one collar; zero where collars are not counted in the load.
    pub collar: Mass,
    /// Pairs of collars; none where there are enough for every bar.
    pub collar_pairs: Option<u32>,
    /// Everything else.
    pub stock: Vec<Stock>,
}

/// A kind of bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BarType {
    /// Stable id, for example `bar-20`.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Mass of the bar alone.
    pub mass: Mass,
}

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What the coach calls it, for example `A1`.
    pub id: String,
    /// Position in [`Kit::bar_types`].
    pub bar_type: u32,
}

/// Plates of one mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlateStock {
    /// Mass of one plate.
    pub mass: Mass,
    /// How many pairs.
    pub pairs: u32,
}

/// Counted kit that is not told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Kind.
    pub kit: KitIx,
    /// Mass of each, zero where that does not matter.
    pub load: Mass,
    /// How many in service.
    pub count: u32,
}

impl Kit {
    /// How many of a kind are in service, whatever their mass. Bars are stock too: `barbell` counts all of them.
    pub fn count(&self, kit: KitIx) -> u32 {
        self.stock.iter().filter(|row| row.kit == kit).map(|row| row.count).sum()
    }

    /// The masses in which a kind comes in at least `count` pieces, lightest first.
    pub fn masses(&self, kit: KitIx, count: u32) -> Vec<Mass> {
        let mut masses: Vec<Mass> =
            self.stock.iter().filter(|row| row.kit == kit && row.count >= count).map(|row| row.load).collect();
        masses.sort();
        masses
    }
}
