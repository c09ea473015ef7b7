//! Bars and discs by the rules of weightlifting and of powerlifting: masses, colours, what a disc may be off.
//!
//! IWF Technical and Competition Rules and Regulations, section 3.3; IPF Technical Rules, bars and discs. Colours are
//! those of weightlifting only: elsewhere the same colour is another mass, and 2.5 kg repeats the red of 25 kg, so a
//! set-up is always told in masses. Pound plates and bars are common practice, no source.

use crate::Mass;

/// A bar of the rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuleBar {
    /// Stable name.
    pub id: &'static str,
    /// Bar alone.
    pub mass: Mass,
    /// Length in millimetres.
    pub length_mm: u32,
    /// Thickness of the grip in millimetres.
    pub grip_mm: u32,
}

/// The two bars of weightlifting.
pub const BARS: [RuleBar; 2] = [
    RuleBar { id: "men", mass: Mass::from_grams(20_000), length_mm: 2200, grip_mm: 28 },
    RuleBar { id: "women", mass: Mass::from_grams(15_000), length_mm: 2010, grip_mm: 25 },
];

/// One competition collar.
pub const COLLAR: Mass = Mass::from_grams(2_500);

/// A disc of weightlifting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Disc {
    /// Mass of one.
    pub mass: Mass,
    /// Colour.
    pub colour: &'static str,
}

const fn disc(grams: u32, colour: &'static str) -> Disc {
    Disc { mass: Mass::from_grams(grams), colour }
}

/// The discs of weightlifting, heaviest first.
pub const DISCS: [Disc; 10] = [
    disc(25_000, "red"),
    disc(20_000, "blue"),
    disc(15_000, "yellow"),
    disc(10_000, "green"),
    disc(5_000, "white"),
    disc(2_500, "red"),
    disc(2_000, "blue"),
    disc(1_500, "yellow"),
    disc(1_000, "green"),
    disc(500, "white"),
];

/// Pound plates in common use, hundredths of a pound, heaviest first.
pub const POUND_PLATES: [u32; 6] = [4500, 3500, 2500, 1000, 500, 250];

/// Grams that a powerlifting disc may be off: 0.25 % or 10 g, whichever is more (our reading of "or").
pub fn powerlifting_tolerance_g(nominal: Mass) -> f64 {
    (f64::from(nominal.grams()) * 0.0025).max(10.0)
}
