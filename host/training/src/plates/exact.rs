//! Masses so fine that grams and hundredths of a pound are both whole numbers.
//!
//! A plate handed over as 20,412 g is a 45 lb plate; adding grams would make 135 lb a gram too heavy. So a mass that
//! is the nearest gram of a number of quarter pounds is read as pounds, where the set-up is one of pounds.

use super::BarSetUp;
use crate::{Mass, Unit};

/// So many ten-millionths of a gram: 0.01 lb is exactly 45,359,237 of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Exact(pub(super) u64);

const GRAM: u64 = 10_000_000;
const QUARTER_POUND: u64 = Unit::Pounds.exactly(25);
pub(super) const HALF_GRAM: u64 = GRAM / 2;

impl Exact {
    pub(super) fn to_mass(self) -> Mass {
        let grams = (self.0 + HALF_GRAM) / GRAM;
        Mass::from_grams(u32::try_from(grams).unwrap_or(u32::MAX))
    }
}

/// How the masses of a set-up are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scale {
    /// Whole grams as they stand.
    Grams,
    /// Quarter pounds where they fit, else whole grams.
    Pounds,
}

impl Scale {
    /// Pounds where a plate is one of pounds and the others are even enough (multiples of 125 g) that the sums of
    /// both kinds together stay few.
    pub(super) fn of(setup: &BarSetUp) -> Scale {
        let in_pounds = |mass: Mass| hundredths_of_pounds(mass).is_some();
        let even = |mass: Mass| mass.grams().is_multiple_of(125);
        let mut plates = setup.plates.iter().map(|row| row.mass);
        let any = plates.clone().any(in_pounds);
        if any && plates.all(|mass| in_pounds(mass) || even(mass)) { Scale::Pounds } else { Scale::Grams }
    }

    pub(super) fn read(self, mass: Mass) -> Exact {
        match (self, hundredths_of_pounds(mass)) {
            (Scale::Pounds, Some(hundredths)) => Exact(u64::from(hundredths) / 25 * QUARTER_POUND),
            _ => Exact(u64::from(mass.grams()) * GRAM),
        }
    }

    /// Bar and both collars.
    pub(super) fn bare(self, setup: &BarSetUp) -> Exact {
        Exact(self.read(setup.bar).0 + 2 * self.read(setup.collar).0)
    }
}

/// The hundredths of a pound that a mass stands for, where it is the nearest gram of whole quarter pounds and not
/// of whole quarter kilograms.
pub fn hundredths_of_pounds(mass: Mass) -> Option<u32> {
    if mass.grams().is_multiple_of(250) {
        return None;
    }
    let quarters = (u64::from(mass.grams()) * GRAM + QUARTER_POUND / 2) / QUARTER_POUND;
    let hundredths = u32::try_from(quarters * 25).ok()?;
    (Unit::Pounds.to_mass(hundredths) == mass).then_some(hundredths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_of_pounds_are_told_from_plates_of_kilograms() {
        for pounds in [125, 250, 500, 1000, 1500, 2500, 3300, 3500, 4500, 5500, 10_000] {
            assert_eq!(hundredths_of_pounds(Unit::Pounds.to_mass(pounds)), Some(pounds));
        }
        for grams in [125, 250, 500, 1000, 1250, 1500, 2000, 2500, 5000, 10_000, 15_000, 20_000, 25_000, 50_000] {
            assert_eq!(hundredths_of_pounds(Mass::from_grams(grams)), None);
        }
    }
}
