//! The floor: whether a plan of it keeps the rules, what a bar sheet says, and the plain plan for when a policy fails.
//!
//! [`check()`] is complete: a plan without a fault can be run as it stands, whoever made it. [`in_turn`] asks no policy.
//! [`impossible`] names what no plan can mend. Nothing here searches for a good plan; that is a heat policy's work.
//!
//! How loaded bars hold plates: a bar that comes loaded holds its plates from when it is free until its first change;
//! a use holds its plates from the start of its change until the next change of that bar; the last use of a bar holds
//! them until its bout ends. A bar that a plan never uses is put away at once.

mod bars;
mod block;
mod causes;
mod check;
mod claimed;
mod fallback;
mod fault;
mod place;
mod starts;
mod under_way;

pub use bars::{BarUse, bar_uses};
pub use causes::{Cause, OUT_OF_SERVICE_S, heats_needed, impossible, too_tight};
pub use check::{check, objective, overrun_s};
pub use claimed::{Claims, Held, NeededLater, put_claims, reached};
pub use fallback::{InTurn, in_turn};
pub use fault::FloorFault;

#[cfg(test)]
mod claimed_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod turn_tests;
