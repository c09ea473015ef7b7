//! Chance that is the same on every machine: a small generator with a fixed seed.

#[derive(Clone, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new() -> Self {
        Dice(0x9E37_79B9_7F4A_7C15)
    }

    /// A number below another.
    pub(crate) fn below(&mut self, most: usize) -> usize {
        ((self.next() * most as u64) >> 32) as usize
    }

    /// A draw that is seldom large: of the exponential distribution with mean 1, in 1/1024ths. The logarithm is taken in
    /// straight lines between powers of two, so that it is the same everywhere.
    pub(crate) fn seldom(&mut self) -> u64 {
        let drawn = (self.next() << 32) | 1;
        let zeros = drawn.leading_zeros();
        let after = (drawn << zeros) >> 53 & 0x3FF;
        ((u64::from(zeros) + 1) * 1024 - after) * 710 / 1024
    }

    fn next(&mut self) -> u64 {
        // Multiplicative xorshift: Vigna, "An experimental exploration of Marsaglia's xorshift generators", 2016.
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32
    }
}
