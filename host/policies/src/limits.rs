//! How much a policy may use in one call, and how much it used.

use std::time::Duration;

/// What one call may use. The owner sets it; the defaults suit a class of a few hundred on a small computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// WebAssembly instructions, roughly. What stops a call on every machine at the same place.
    pub fuel: u64,
    /// Time by the clock: only the backstop, since it differs from machine to machine.
    pub wall: Duration,
    /// Memory of the policy, all its memories together. Never above [`crate::RuntimeOptions::memory_bytes`].
    pub memory_bytes: u64,
    /// Elements of the policy's tables, all together.
    pub table_elements: u64,
    /// Bytes of the answer, and of anything else the policy hands to the host in one go.
    pub answer_bytes: u64,
}

impl Default for Limits {
    /// 2,000,000,000 units of fuel, 10 seconds, 64 MiB of memory, 10,000 table elements, 8 MiB of answer.
    fn default() -> Self {
        Limits {
            fuel: 2_000_000_000,
            wall: Duration::from_secs(10),
            memory_bytes: 64 << 20,
            table_elements: 10_000,
            answer_bytes: 8 << 20,
        }
    }
}

/// What one call used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Usage {
    /// Fuel; the same for the same component and question on any machine.
    pub fuel: u64,
    /// Memory at the end of the call, which is the most it had; the same on any machine.
    pub memory_bytes: u64,
    /// Time by the clock. Differs from run to run: never part of a plan.
    pub wall: Duration,
}
