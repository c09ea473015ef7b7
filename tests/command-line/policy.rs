//! `classwright policy build`, `show` and `check`.

use std::fs;

use crate::support::{classwright, json};

const HOUSE: [&str; 3] = ["scaling", "substitution", "heats"];

#[test]
fn the_house_policies_say_what_they_are() {
    for name in HOUSE {
        let shown = json(&["policy", "show", &format!("plugins/{name}/{name}.wasm"), "--json"]);
        assert_eq!(shown["kinds"], serde_json::json!([name]));
        assert_eq!(shown["digest"].as_str().map(str::len), Some(64));
        let imports = shown["imports"].as_array().expect("a list");
        let allowed = |import: &serde_json::Value| {
            let name = import.as_str().unwrap_or_default();
            // `cards` holds types only: there is nothing in it to call.
            ["library", "last-words", "cards"]
                .iter()
                .any(|own| name.starts_with(&format!("classwright:policy/{own}@1.")))
        };
        assert!(imports.iter().all(allowed), "{name} imports {imports:?}");
    }
}

#[test]
fn the_house_policies_pass_their_cases() {
    for name in HOUSE {
        let ran = classwright(&["policy", "check", &format!("plugins/{name}")]);
        assert_eq!(ran.code, 0, "{name}: {}{}", ran.out, ran.err);
        assert!(ran.out.contains("cases"), "{}", ran.out);
    }
}

#[test]
fn a_file_that_is_no_component_is_told_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let core = folder.path().join("core.wasm");
    fs::write(&core, wat::parse_str("(module)").expect("a module")).expect("written");
    let ran = classwright(&["policy", "show", core.to_str().expect("plain")]);
    assert_eq!(ran.code, 20, "{}", ran.err);
    assert!(ran.err.contains("component"), "{}", ran.err);
}

#[test]
fn a_policy_that_imports_more_than_it_may_is_refused_with_the_list() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("nosy.wasm");
    let text = r#"(component
        (import "wasi:clocks/wall-clock@0.2.0" (instance (export "now" (func (result u64)))))
    )"#;
    fs::write(&file, wat::parse_str(text).expect("a component")).expect("written");
    let ran = classwright(&["policy", "show", file.to_str().expect("plain")]);
    assert_eq!(ran.code, 21, "{}", ran.err);
    assert!(ran.err.contains("wasi:clocks/wall-clock@0.2.0"), "{}", ran.err);
}

#[test]
fn a_folder_without_a_policy_cannot_be_built() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = classwright(&["policy", "build", folder.path().to_str().expect("plain")]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("Cargo.toml"), "{}", ran.err);
}
