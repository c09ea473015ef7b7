//! Every case file, natively. The kit runs the same files against the built component.

use classwright_scaling::House;
use classwright_sdk::cases;

#[test]
fn every_case_is_kept() {
    cases::run_scaling::<House>("cases").expect("every case can be read").assert_kept();
}

#[test]
fn the_schema_takes_the_defaults_it_names() {
    let described = classwright_sdk::policy::describe::<House>(&["scaling"]);
    assert!(described.settings_schema.contains("https://json-schema.org/draft/2020-12/schema"));
    let schema: serde_json::Value = serde_json::from_str(&described.settings_schema).expect("a schema is JSON");
    // Caterisano et al., Strength and Conditioning Journal 41(3):1-23, 2019: 50, 30, 20, 10 percent in weeks 1 to 4.
    let default = &schema["properties"]["return-conditioning-cut-percent"]["default"];
    assert_eq!(*default, serde_json::json!([50, 30, 20, 10]));
}
