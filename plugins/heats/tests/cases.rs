//! The cases beside the policy, run natively; the kit runs the same against the component.

use classwright_heats::HouseHeats;
use classwright_sdk::cases::run_heats;

#[test]
fn all_cases_are_kept() {
    let cases = concat!(env!("CARGO_MANIFEST_DIR"), "/cases");
    run_heats::<HouseHeats>(cases).expect("the cases can be read").assert_kept();
}
