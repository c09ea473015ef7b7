//! What makes a component stale, and what does not.

use std::path::Path;

use classwright_kit::build::component_path;
use classwright_kit::source_digest;

fn write(dir: &Path, name: &str, text: &str) {
    let path = dir.join(name);
    std::fs::create_dir_all(path.parent().expect("a file has a folder")).expect("a folder can be made");
    std::fs::write(path, text).expect("a file can be written");
}

/// A workspace with a policy that uses the SDK through it.
fn workspace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder can be made");
    let root = dir.path();
    write(root, "Cargo.toml", "[workspace]\n[workspace.dependencies]\nclasswright-sdk = { path = \"sdk\" }\n");
    write(root, "sdk/Cargo.toml", "[package]\nname = \"classwright-sdk\"\n");
    write(root, "sdk/src/lib.rs", "// sdk");
    write(root, "sdk/src/cases/mod.rs", "// cases");
    write(root, "wit/v1/cards.wit", "// wit");
    let manifest = "[package]\nname = \"p\"\n[dependencies]\nclasswright-sdk.workspace = true\n";
    write(root, "policy/Cargo.toml", manifest);
    write(root, "policy/src/lib.rs", "// policy");
    dir
}

#[test]
fn what_reaches_the_component_counts_and_nothing_else() {
    let dir = workspace();
    let digest = || source_digest(&dir.path().join("policy")).expect("the source can be read");
    let first = digest();
    for name in ["policy/cases/one.toml", "policy/tests/t.rs", "sdk/src/cases/mod.rs", "policy/policy.wasm"] {
        write(dir.path(), name, "changed");
        assert_eq!(digest(), first, "{name}");
    }
    let mut last = first;
    for name in
        ["policy/src/lib.rs", "policy/src/more/rules.rs", "sdk/src/lib.rs", "sdk/Cargo.toml", "wit/v1/cards.wit"]
    {
        write(dir.path(), name, "changed = 1");
        assert_ne!(digest(), last, "{name}");
        last = digest();
    }
}

#[test]
fn the_digest_does_not_depend_on_where_the_source_lies() {
    let (one, other) = (workspace(), workspace());
    let digest = |dir: &tempfile::TempDir| source_digest(&dir.path().join("policy")).expect("the source can be read");
    assert_eq!(digest(&one), digest(&other));
}

#[test]
fn a_component_is_named_as_its_folder() {
    assert_eq!(component_path(Path::new("/gym/no.pain")), Path::new("/gym/no.pain/no.pain.wasm"));
}

#[test]
fn a_folder_without_a_manifest_is_refused() {
    let dir = tempfile::tempdir().expect("a folder can be made");
    let error = source_digest(dir.path()).expect_err("there is nothing to read");
    assert!(error.path.ends_with("Cargo.toml"), "{error}");
}
