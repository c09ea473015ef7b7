//! Why no plan can exist, whoever makes it: what is asked for that is not there.
//!
//! Promises of both lists: each cause stands alone, so that as long as it holds nothing else helps; none follows from
//! another; and what is named in one is all needed for it. That nothing is named does not mean that there is a plan.
//! [`impossible`] is what no plan can mend. [`too_tight`] is what only more heats or a longer class would mend: a plan
//! that runs over is still of use, and is made.

mod alone;
mod begun;
#[cfg(test)]
mod begun_tests;
mod cause;
mod company;
mod supply;
#[cfg(test)]
mod tests;
mod tight;
#[cfg(test)]
mod tight_tests;

use classwright_training::floor::{Bout, Floor};

pub use cause::Cause;
pub(super) use company::{groups, rests_agree};
pub use supply::OUT_OF_SERVICE_S;
pub(super) use supply::Supply;
pub use tight::{heats_needed, too_tight};

/// All causes that are plain to see: of kit, plates, bar types and the coach's eye the first bout each; of changes one
/// an athlete; of partners the fewest who are enough, and of those who have begun. Of what has happened none.
pub fn impossible(floor: &Floor) -> Vec<Cause> {
    let mut causes = Vec::new();
    if floor.max_heats == 0 && !floor.athletes.is_empty() {
        causes.push(Cause::NoHeat);
    }
    let supply = Supply::at_best(floor);
    let short = alone::causes(floor, &supply, &mut causes);
    company::causes(floor, &supply, &short, &mut causes);
    begun::causes(floor, &supply, &short, &mut causes);
    causes
}

/// What can be left out of a list as long as it still fails, one by one: what stays is all needed.
fn smallest<T: Clone>(all: &[T], fails: impl Fn(&[T]) -> bool) -> Vec<T> {
    let mut needed = all.to_vec();
    for at in (0..all.len()).rev() {
        let one = needed.remove(at);
        if !fails(&needed) {
            needed.insert(at, one);
        }
    }
    needed
}

/// An athlete's bouts in order.
pub(super) fn bouts_of(floor: &Floor, athlete: u32) -> &[Bout] {
    let it = floor.athletes[athlete as usize];
    &floor.bouts[it.first_bout as usize..][..it.bout_count as usize]
}

/// Where they stand among the floor's bouts.
pub(super) fn bout_indexes(floor: &Floor, athlete: u32) -> std::ops::Range<usize> {
    let it = floor.athletes[athlete as usize];
    it.first_bout as usize..(it.first_bout + it.bout_count) as usize
}
