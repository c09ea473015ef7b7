//! The committed components of the house policies are what their sources say: built anew, they have the recorded
//! source digest and do the same over all cases.

use std::path::{Path, PathBuf};

use classwright_kit::{Record, fresh, run_cases, source_digest};
use sha2::{Digest, Sha256};

const HOUSE: [&str; 3] = ["scaling", "substitution", "heats"];

fn plugin(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../plugins").join(name)
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn committed_components_are_recorded_as_they_are() {
    for name in HOUSE {
        let dir = plugin(name);
        let record = Record::read(&dir).expect("a record beside the source");
        let component = std::fs::read(dir.join(format!("{name}.wasm"))).expect("a component beside the source");
        assert_eq!(record.component_sha256, sha256(&component), "{name}: another component than its record names");
        assert_eq!(record.size, component.len() as u64);
        let now = source_digest(&dir).expect("a source");
        assert_eq!(
            record.source_sha256, now,
            "{name}: the source has changed; run `classwright policy build plugins/{name}`"
        );
    }
}

#[test]
fn a_component_built_anew_does_the_same_over_all_cases() {
    for name in HOUSE {
        let dir = plugin(name);
        let committed = std::fs::read(dir.join(format!("{name}.wasm"))).expect("a component beside the source");
        let fresh = fresh(&dir).expect("it builds").component;
        let cases = dir.join("cases");
        let (committed, fresh) = (run_cases(&committed, &cases), run_cases(&fresh, &cases));
        let (committed, fresh) = (committed.expect("the cases run"), fresh.expect("the cases run"));
        assert!(committed.outcomes.len() >= 8, "{name} has {} cases", committed.outcomes.len());
        assert!(committed.all_kept(), "{name}, committed:\n{committed}");
        assert_eq!(committed.outcomes, fresh.outcomes, "{name}");
    }
}
