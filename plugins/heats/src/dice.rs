//! Chance that is the same on every machine: a small generator with a fixed seed.

#[derive(Clone, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new() -> Self {
        Dice(0x9E37_79B9_7F4A_7C15)
    }

    /// A number below another.
    pub(crate) fn below(&mut self, most: usize) -> usize {
        // Multiplicative xorshift: Vigna, "An experimental exploration of Marsaglia's xorshift generators", 2016.
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let drawn = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32;
        ((drawn * most as u64) >> 32) as usize
    }
}
