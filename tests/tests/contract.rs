//! The contract is frozen: `wit/v1` has the digest that `wit/v1.sha256` names, and parses.

use std::path::PathBuf;

use sha2::{Digest, Sha256};

fn wit() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../wit"))
}

/// SHA-256 over the files in the order of their names, each as name, line feed, text.
fn digest() -> String {
    let folder = std::fs::read_dir(wit().join("v1")).expect("wit/v1 is there");
    let mut files: Vec<PathBuf> = folder.map(|entry| entry.expect("an entry").path()).collect();
    files.sort();
    let mut hash = Sha256::new();
    for file in files {
        hash.update(file.file_name().expect("a name").as_encoded_bytes());
        hash.update(b"\n");
        hash.update(std::fs::read(&file).expect("a readable file"));
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn version_1_is_what_was_released() {
    let released = std::fs::read_to_string(wit().join("v1.sha256")).expect("wit/v1.sha256 is there");
    assert_eq!(digest(), released.trim(), "wit/v1 is frozen: see wit/VERSIONING.md for where changes go");
}

#[test]
fn version_1_parses_and_documents_every_world() {
    let mut resolve = wit_parser::Resolve::default();
    let (package, _) = resolve.push_dir(wit().join("v1")).expect("wit/v1 parses");
    let worlds: Vec<&String> = resolve.packages[package].worlds.keys().collect();
    assert_eq!(worlds, ["scaling", "substitution", "heats"]);
    let mut undocumented = Vec::new();
    let mut seen = 0;
    let mut look = |name: String, docs: &wit_parser::Docs| {
        seen += 1;
        if docs.contents.is_none() {
            undocumented.push(name);
        }
    };
    for (_, kind) in resolve.types.iter().filter(|(_, kind)| kind.name.is_some()) {
        let name = kind.name.clone().unwrap_or_default();
        match &kind.kind {
            wit_parser::TypeDefKind::Record(record) => {
                look(name.clone(), &kind.docs);
                record.fields.iter().for_each(|field| look(format!("{name}.{}", field.name), &field.docs));
            }
            wit_parser::TypeDefKind::Enum(_) => look(name, &kind.docs),
            // A name taken over from another interface is described there.
            _ => {}
        }
    }
    for (_, interface) in &resolve.interfaces {
        look(interface.name.clone().unwrap_or_default(), &interface.docs);
        interface.functions.values().for_each(|function| look(function.name.clone(), &function.docs));
    }
    for (_, world) in &resolve.worlds {
        look(world.name.clone(), &world.docs);
    }
    assert!(undocumented.is_empty(), "without a word on what it is: {undocumented:?}");
    assert!(seen > 150, "{seen} items: is the whole contract looked at?");
}
