//! Chance that is the same in every run.

/// A linear congruential generator (constants of Knuth's MMIX).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// Below `most`.
    pub(crate) fn below(&mut self, most: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % u64::from(most)) as u32
    }
}
