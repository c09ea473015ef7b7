//! The load that can be made from one bar and the plates there are, and how the sleeves are loaded for it.
//!
//! A load is a bar, two collars where they are counted, and the same plates on both sides, heaviest innermost.
//! [`Maker`] knows every load of a set-up and answers in microseconds; [`make`] and [`make_exact`] are for one
//! question. For a total it gives the fewest plates, then the least change from the side that is on the bar now,
//! then the heavier plate first. It never uses more pairs than there are, and it counts exactly: a set of pound
//! plates makes 135 lb to the last digit, though masses are handed over in whole grams.
//!
//! It refuses with [`CannotBeMade`], which holds the nearest loads on both sides. It does not look past
//! [`MAX_SIDE`] on a sleeve or [`MAX_PAIRS`] plates of a size.

mod exact;
mod reach;

use crate::{Mass, PlateStock};
use exact::{Exact, Scale};
use reach::Reach;

pub use exact::hundredths_of_pounds;

/// The most that is put on one sleeve; nothing heavier is looked for.
pub const MAX_SIDE: Mass = Mass::from_grams(300_000);

/// The most plates of one size on one sleeve; further pairs are not looked at.
pub const MAX_PAIRS: u32 = 40;

/// A bar and what may go on it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BarSetUp {
    /// The bar alone.
    pub bar: Mass,
    /// One collar; zero where collars are not counted in the load.
    pub collar: Mass,
    /// Plates in pairs, in any order; rows of the same mass are added up.
    pub plates: Vec<PlateStock>,
}

impl BarSetUp {
    /// What the bar weighs with these plates on each side, whether or not there are so many.
    pub fn loaded(&self, side: &[Mass]) -> Mass {
        let scale = Scale::of(self);
        let plates: u64 = side.iter().map(|&plate| scale.read(plate).0).sum();
        Exact(scale.bare(self).0 + 2 * plates).to_mass()
    }
}

/// Which way to go where the wanted load cannot be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// The heaviest that is not above.
    NotAbove,
    /// The nearest; the lower of two that are equally near.
    Nearest,
    /// The lightest that is not below.
    NotBelow,
}

/// A load that can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// Bar, collars and plates, to the nearest gram.
    pub total: Mass,
    /// The bar alone.
    pub bar: Mass,
    /// Plates on each side, inner to outer, heaviest first.
    pub side: Vec<Mass>,
}

/// The wanted load cannot be made; these are its neighbours.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("cannot be made; {}", neighbours(.below, .above))]
pub struct CannotBeMade {
    /// The heaviest load below it, `None` where it is under the bare bar.
    pub below: Option<Made>,
    /// The lightest load above it, `None` where there are not enough plates.
    pub above: Option<Made>,
}

fn neighbours(below: &Option<Made>, above: &Option<Made>) -> String {
    match (below, above) {
        (Some(below), Some(above)) => format!("nearest are {} and {}", below.total, above.total),
        (Some(below), None) => format!("the heaviest is {}", below.total),
        (None, Some(above)) => format!("the lightest is {}", above.total),
        (None, None) => "there is no load at all".to_owned(),
    }
}

/// Every load of one set-up, ready for many questions.
#[derive(Clone, Debug)]
pub struct Maker {
    bar: Mass,
    bare: Exact,
    scale: Scale,
    /// Plates and all their sums, in the units of [`Exact`].
    reach: Reach,
}

impl Maker {
    /// Works out every load once.
    pub fn new(setup: &BarSetUp) -> Self {
        let scale = Scale::of(setup);
        let stock = setup.plates.iter().map(|row| (scale.read(row.mass).0, row.pairs)).collect();
        Maker { bar: setup.bar, bare: scale.bare(setup), scale, reach: Reach::new(stock) }
    }

    /// The load chosen by `rounding`, loaded with the fewest plates, then the least change from `previous`.
    ///
    /// Fails only where that direction has no load: [`Rounding::NotAbove`] under the bare bar,
    /// [`Rounding::NotBelow`] over the last plate.
    pub fn make(&self, target: Mass, rounding: Rounding, previous: Option<&[Mass]>) -> Result<Made, CannotBeMade> {
        let (below, above) = self.around(target);
        let chosen = match rounding {
            Rounding::NotAbove => below,
            Rounding::NotBelow => above,
            Rounding::Nearest => match (below, above) {
                (Some(low), Some(high)) => {
                    let wanted = self.scale.read(target).0;
                    Some(if wanted.abs_diff(self.total(low)) <= wanted.abs_diff(self.total(high)) { low } else { high })
                }
                (one, other) => one.or(other),
            },
        };
        chosen.map(|side| self.load(side, previous)).ok_or_else(|| self.refusal(below, above, previous))
    }

    /// Exactly this load, to the gram, or its neighbours.
    pub fn make_exact(&self, target: Mass, previous: Option<&[Mass]>) -> Result<Made, CannotBeMade> {
        let (below, above) = self.around(target);
        match (below, above) {
            (Some(low), Some(high)) if low == high => Ok(self.load(low, previous)),
            _ => Err(self.refusal(below, above, previous)),
        }
    }

    /// The bar with nothing on it but its collars.
    pub fn lightest(&self) -> Made {
        self.load(0, None)
    }

    /// The heaviest load.
    pub fn heaviest(&self) -> Made {
        self.load(self.reach.heaviest(), None)
    }

    /// The heaviest side not above the target and the lightest not below it: the same one where it fits.
    fn around(&self, target: Mass) -> (Option<u64>, Option<u64>) {
        let wanted = self.scale.read(target).0;
        // A target is known to the nearest gram only: a load that shows as the same gram is that load.
        let high = wanted + exact::HALF_GRAM;
        let below = high.checked_sub(self.bare.0).and_then(|rest| self.reach.not_above(rest / 2));
        if let Some(side) = below
            && self.total(side) + exact::HALF_GRAM >= wanted
        {
            return (below, below);
        }
        let above = self.reach.not_below(wanted.saturating_sub(self.bare.0).div_ceil(2));
        (below, above)
    }

    fn total(&self, side: u64) -> u64 {
        self.bare.0 + 2 * side
    }

    fn load(&self, side: u64, previous: Option<&[Mass]>) -> Made {
        let previous: Vec<u64> = previous.unwrap_or_default().iter().map(|&plate| self.scale.read(plate).0).collect();
        Made {
            total: Exact(self.total(side)).to_mass(),
            bar: self.bar,
            side: self.reach.side(side, &previous).into_iter().map(|plate| Exact(plate).to_mass()).collect(),
        }
    }

    fn refusal(&self, below: Option<u64>, above: Option<u64>, previous: Option<&[Mass]>) -> CannotBeMade {
        CannotBeMade {
            below: below.map(|side| self.load(side, previous)),
            above: above.map(|side| self.load(side, previous)),
        }
    }
}

/// [`Maker::make`] for one question.
pub fn make(
    setup: &BarSetUp,
    target: Mass,
    rounding: Rounding,
    previous: Option<&[Mass]>,
) -> Result<Made, CannotBeMade> {
    Maker::new(setup).make(target, rounding, previous)
}

/// [`Maker::make_exact`] for one question.
pub fn make_exact(setup: &BarSetUp, target: Mass, previous: Option<&[Mass]>) -> Result<Made, CannotBeMade> {
    Maker::new(setup).make_exact(target, previous)
}

/// Pairs taken off or put on to get from one side to another: all but the common inner plates.
pub fn pairs_changed(from: &[Mass], to: &[Mass]) -> usize {
    let kept = from.iter().zip(to).take_while(|(a, b)| a == b).count();
    (from.len() - kept) + (to.len() - kept)
}
