//! The house scaling policy as it lies in the tree: fresh, let in by the host, and true to its cases.

use std::path::{Path, PathBuf};

use classwright_kit::build::component_path;
use classwright_kit::{Record, run_cases, source_digest};
use classwright_policies::{Runtime, RuntimeOptions};
use wit_component::DecodedWasm;
use wit_parser::WorldItem;

fn scaling() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../plugins/scaling")
}

fn component() -> Vec<u8> {
    std::fs::read(component_path(&scaling())).expect("the built component lies beside its source")
}

#[test]
fn the_component_is_built_from_the_source_beside_it() {
    let record = Record::read(&scaling()).expect("the record lies beside the component");
    let digest = source_digest(&scaling()).expect("the source can be read");
    assert_eq!(record.source_sha256, digest, "stale: build plugins/scaling again");
    let runtime = Runtime::new(RuntimeOptions::default()).expect("the host starts");
    let policy = runtime.load(&component()).expect("the host takes it");
    assert_eq!(policy.inspection().digest, record.component_sha256);
}

#[test]
fn it_can_call_the_library_and_last_words_and_nothing_else() {
    let decoded = wit_component::decode(&component()).expect("it is a component");
    let DecodedWasm::Component(resolve, world) = decoded else { panic!("a package of types") };
    let mut called_into = Vec::new();
    for (key, item) in &resolve.worlds[world].imports {
        let WorldItem::Interface { id, .. } = item else { panic!("imports a bare {key:?}") };
        // `cards` is imported too, as the contract's world has it: types without a function.
        if !resolve.interfaces[*id].functions.is_empty() {
            called_into.push(resolve.name_world_key(key));
        }
    }
    called_into.sort();
    assert_eq!(called_into, ["classwright:policy/last-words@1.0.0", "classwright:policy/library@1.0.0"]);
}

#[test]
fn every_case_is_kept_in_the_host() {
    run_cases(&component(), &scaling().join("cases")).expect("the cases can be run").assert_kept();
}
