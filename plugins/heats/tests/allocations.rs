//! The walk takes no memory at its steps: a longer search takes hardly more of it than a short one.

mod support;

use classwright_heats::Settings;

#[test]
fn a_step_of_the_search_takes_no_memory() {
    let floor = support::read("c60c");
    let taken = |effort| {
        let question = support::question(&floor, effort);
        let plan = || assert!(classwright_heats::plan(&question, &Settings::default()).is_ok());
        allocation_counter::measure(plan).count_total
    };
    let (short, long) = (taken(10_000_000), taken(14_000_000));
    println!("{short} allocations at 10,000,000 looks, {long} at 14,000,000");
    // No part of this floor is small enough to be proven. Thousands of orders are run in between; each better plan is
    // copied, and lists grow when a heat is larger than any before.
    assert!(long < short + 2_000, "{long} against {short}");
}
