//! Every case of `cases/`, natively. The kit runs the same files against the built component.

use classwright_sdk::cases::run_substitution;
use classwright_substitution::House;

#[test]
fn cases_are_kept() {
    run_substitution::<House>(concat!(env!("CARGO_MANIFEST_DIR"), "/cases")).expect("cases are readable").assert_kept();
}
