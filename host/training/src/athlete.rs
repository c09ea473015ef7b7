//! A person who trains, as far as a plan needs to know them.

use crate::{Mass, MovementIx, Region};

/// Position of an athlete in a class's roster.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AthleteIx(pub u32);

/// A person who trains.
#[derive(Clone, Debug, PartialEq)]
pub struct Athlete {
    /// Stable id.
    pub id: String,
    /// Name as the coach reads it out.
    pub name: String,
    /// The written load column they follow, from 0.
    pub column: u8,
    /// Skill, 1 to 5.
    pub skill: u8,
    /// Training share of a best, in thousandths: percents are taken of this share of it.
    pub training_share_permille: u32,
    /// One-repetition maxima.
    pub bests: Vec<Best>,
    /// What they report as sore or restricted.
    pub limitations: Vec<Limitation>,
    /// Where they train.
    pub place: Place,
    /// Week since they came back from a break, from 1.
    pub return_week: Option<u8>,
    /// Age in whole years.
    pub age_years: Option<u8>,
    /// Body mass.
    pub body_mass: Option<Mass>,
    /// The bar type they use, by id; the first of the gym where none is named.
    pub bar_type: Option<String>,
    /// Words the gym has put on them.
    pub tags: Vec<String>,
}

impl Athlete {
    /// Their best for a movement.
    pub fn best(&self, movement: MovementIx) -> Option<Best> {
        self.bests.iter().copied().find(|best| best.movement == movement)
    }

    /// Their worst limitation of a region.
    pub fn limitation(&self, region: Region) -> Option<Limitation> {
        self.limitations.iter().copied().filter(|l| l.region == region).max_by_key(|l| l.severity)
    }
}

/// A one-repetition maximum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Best {
    /// Of which movement.
    pub movement: MovementIx,
    /// How much.
    pub load: Mass,
    /// True where it was lifted, false where it was estimated from a set.
    pub tested: bool,
}

/// A body region that is sore or restricted, as the athlete reports it. Not a diagnosis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limitation {
    /// Where.
    pub region: Region,
    /// Which side.
    pub side: Side,
    /// How much.
    pub severity: Severity,
}

/// Side of a limitation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Both, or in the middle.
    Both,
    /// Left.
    Left,
    /// Right.
    Right,
}

/// How much a limitation restricts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Noticed, work goes on with care.
    Mild,
    /// Work that loads the region is cut.
    Moderate,
    /// The region is not loaded.
    Severe,
}

/// Where an athlete trains.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// On the gym floor.
    Floor,
    /// At home: position in the class's list of home kits.
    Home(u32),
}
