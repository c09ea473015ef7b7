//! Mass in whole grams, and the two units that coaches write it in.

use std::fmt;

/// A mass in whole grams.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mass(u32);

impl Mass {
    /// Nothing.
    pub const ZERO: Mass = Mass(0);

    /// A mass of so many grams.
    pub const fn from_grams(grams: u32) -> Self {
        Mass(grams)
    }

    /// The nearest gram to so many kilograms; negative and not-a-number become zero.
    pub fn from_kg(kg: f64) -> Self {
        Mass((kg * 1000.0).round() as u32)
    }

    /// Whole grams.
    pub const fn grams(self) -> u32 {
        self.0
    }

    /// Kilograms, for showing and for formulas.
    pub fn kg(self) -> f64 {
        f64::from(self.0) / 1000.0
    }

    /// Pounds, for showing.
    pub fn pounds(self) -> f64 {
        self.kg() / 0.453_592_37
    }

    /// True for no mass at all.
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// So many thousandths of this mass, to the nearest gram.
    pub fn permille(self, permille: u32) -> Mass {
        Mass(((u64::from(self.0) * u64::from(permille) + 500) / 1000) as u32)
    }
}

impl std::ops::Add for Mass {
    type Output = Mass;
    fn add(self, other: Mass) -> Mass {
        Mass(self.0.saturating_add(other.0))
    }
}

impl std::iter::Sum for Mass {
    fn sum<I: Iterator<Item = Mass>>(iter: I) -> Mass {
        iter.fold(Mass::ZERO, |a, b| a + b)
    }
}

impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kg", self.kg())
    }
}

/// The unit in which a load was written. Amounts in a unit are kept in hundredths of it, so that what was written
/// can be written back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Kilograms.
    Kilograms,
    /// Avoirdupois pounds of exactly 0.45359237 kg (international yard and pound agreement, 1959).
    Pounds,
}

impl Unit {
    /// The mass of so many hundredths of the unit, to the nearest gram.
    pub fn to_mass(self, hundredths: u32) -> Mass {
        let grams = match self {
            Unit::Kilograms => u64::from(hundredths) * 10,
            // 1 lb = 453.59237 g exactly: 0.01 lb = 453,592.37 / 100,000 g.
            Unit::Pounds => (u64::from(hundredths) * 45_359_237 + 5_000_000) / 10_000_000,
        };
        Mass(grams as u32)
    }

    /// So many hundredths of the unit in ten-millionths of a gram: both units are whole numbers of these.
    pub const fn exactly(self, hundredths: u32) -> u64 {
        match self {
            Unit::Kilograms => hundredths as u64 * 100_000_000,
            Unit::Pounds => hundredths as u64 * 45_359_237,
        }
    }

    /// How the unit is written.
    pub const fn symbol(self) -> &'static str {
        match self {
            Unit::Kilograms => "kg",
            Unit::Pounds => "lb",
        }
    }
}
