//! From a Rust crate to a component beside it.
//!
//! Builds with the lock file as it is, into a target folder of its own, small and without the builder's paths, so that
//! the same source and compiler give the same bytes. What comes out is validated; a component that would import
//! anything outside the contract is refused here as the host would refuse it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use tempfile::NamedTempFile;
use wit_component::{ComponentEncoder, DecodedWasm};
use wit_parser::WorldItem;

use crate::source::{SourceError, hex, manifest, source_digest};
use crate::toolchain::{ADVICE, TARGET, Toolchain};

/// A policy that could not be built.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    /// Nothing here can build it.
    #[error("{ADVICE}")]
    NoToolchain,
    /// The source cannot be read.
    #[error(transparent)]
    Source(#[from] SourceError),
    /// Cargo failed; what it said.
    #[error("cargo: {0}")]
    Cargo(String),
    /// It was compiled and is no policy.
    #[error("not a policy: {0}")]
    NotAPolicy(String),
    /// A file cannot be written or read.
    #[error("{}: {problem}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What is wrong.
        problem: String,
    },
}

/// A component and where it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Built {
    /// The component's file.
    pub component: PathBuf,
    /// What it was built from.
    pub record: Record,
}

/// What a component was built from; kept beside it as `<name>.wasm.toml`.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Record {
    /// [`source_digest`] of its folder.
    pub source_sha256: String,
    /// SHA-256 of the component.
    pub component_sha256: String,
    /// Bytes of the component.
    pub size: u64,
    /// The compiler, as it names itself.
    pub toolchain: String,
}

impl Record {
    /// Reads the record beside a policy's source.
    pub fn read(dir: &Path) -> Result<Record, BuildError> {
        let path = component_path(dir).with_extension("wasm.toml");
        let text = std::fs::read_to_string(&path).map_err(|error| file(&path, error))?;
        toml::from_str(&text).map_err(|error| file(&path, error))
    }
}

/// Where the component of a folder is kept: named as the folder.
pub fn component_path(dir: &Path) -> PathBuf {
    let full = std::path::absolute(dir).unwrap_or_else(|_| dir.into());
    let name = full.components().next_back().map(|last| last.as_os_str().to_string_lossy().into_owned());
    full.join(format!("{}.wasm", name.unwrap_or_else(|| "policy".into())))
}

/// Builds the policy in a folder and leaves component and record beside its source: both, or neither.
pub fn build(dir: &Path) -> Result<Built, BuildError> {
    let Fresh { component, record } = fresh(dir)?;
    let path = component_path(dir);
    let record_path = path.with_extension("wasm.toml");
    let text = toml::to_string(&record).map_err(|error| file(&record_path, error))?;
    let text = format!("# Written by the build of the component beside it; do not edit.\n{text}");
    let component = beside(&path, &component)?;
    let text = beside(&record_path, text.as_bytes())?;
    component.persist(&path).map_err(|error| file(&path, error))?;
    text.persist(&record_path).map_err(|error| file(&record_path, error))?;
    Ok(Built { component: path, record })
}

/// A component just built, written nowhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fresh {
    /// The component.
    pub component: Vec<u8>,
    /// What it was built from.
    pub record: Record,
}

/// Builds the policy in a folder and writes nothing beside its source.
pub fn fresh(dir: &Path) -> Result<Fresh, BuildError> {
    let source_sha256 = source_digest(dir)?;
    let toolchain = Toolchain::find().ok_or(BuildError::NoToolchain)?;
    let module = compile(dir, &toolchain)?;
    let bytes = std::fs::read(&module).map_err(|error| file(&module, error))?;
    let component = encode(&bytes)?;
    let record = Record {
        source_sha256,
        component_sha256: hex(&Sha256::digest(&component)),
        size: component.len() as u64,
        toolchain: toolchain.version().to_owned(),
    };
    Ok(Fresh { component, record })
}

/// A file with these bytes in the folder of another, to be put in its place.
fn beside(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, BuildError> {
    let wrong = |error: std::io::Error| file(path, error);
    let mut new = NamedTempFile::new_in(path.parent().unwrap_or(Path::new("."))).map_err(wrong)?;
    new.write_all(bytes).map_err(wrong)?;
    // A temporary file is the owner's alone; what is built is for everyone who may read the source.
    #[cfg(unix)]
    new.as_file().set_permissions(std::os::unix::fs::PermissionsExt::from_mode(0o644)).map_err(wrong)?;
    Ok(new)
}

/// Compiles the crate; the answer is the core module.
fn compile(dir: &Path, toolchain: &Toolchain) -> Result<PathBuf, BuildError> {
    let manifest = manifest(dir)?;
    let named = |table: &str| manifest.get(table).and_then(|table| table.get("name")).and_then(toml::Value::as_str);
    let Some(package) = named("package") else {
        return Err(BuildError::NotAPolicy("its Cargo.toml names no package".into()));
    };
    let library = named("lib").unwrap_or(package).replace('-', "_");
    let place = place(dir)?;
    let target = place.target.join("policies");
    let mut cargo = toolchain.cargo_build();
    cargo.current_dir(dir).args(["--lib", "--release", "--locked", "--package", package]);
    cargo.env("CARGO_TARGET_DIR", &target).env("CARGO_ENCODED_RUSTFLAGS", flags(&place).join("\u{1f}"));
    cargo.env_remove("RUSTFLAGS");
    for (setting, value) in PROFILE {
        cargo.env(format!("CARGO_PROFILE_RELEASE_{setting}"), value);
    }
    run(cargo)?;
    Ok(target.join(TARGET).join("release").join(format!("{library}.wasm")))
}

/// Small, and stopping where it panics: the host takes a fresh instance for every call.
const PROFILE: [(&str, &str); 6] = [
    ("OPT_LEVEL", "3"),
    ("LTO", "fat"),
    ("PANIC", "abort"),
    ("STRIP", "symbols"),
    ("CODEGEN_UNITS", "1"),
    ("DEBUG", "false"),
];

/// Where cargo works.
struct Place {
    workspace: String,
    target: PathBuf,
}

/// Asks cargo, which knows about workspaces and configuration.
fn place(dir: &Path) -> Result<Place, BuildError> {
    let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    cargo.current_dir(dir).args(["metadata", "--format-version", "1", "--no-deps"]);
    let metadata: serde_json::Value =
        serde_json::from_slice(&run(cargo)?).map_err(|error| BuildError::Cargo(error.to_string()))?;
    let text = |field: &str| metadata[field].as_str().unwrap_or_default().to_owned();
    Ok(Place { workspace: text("workspace_root"), target: text("target_directory").into() })
}

/// Whose machine it was built on does not show.
fn flags(place: &Place) -> Vec<String> {
    let home = |name: &str, usual: &str| {
        let set = std::env::var(name).ok();
        set.or_else(|| std::env::var("HOME").ok().map(|home| format!("{home}/{usual}")))
    };
    let hidden = [
        (Some(place.workspace.clone()), "/policy"),
        (home("CARGO_HOME", ".cargo"), "/cargo"),
        (home("RUSTUP_HOME", ".rustup"), "/rustup"),
    ];
    let known = hidden.into_iter().filter_map(|(path, shown)| Some((path?, shown)));
    known.map(|(path, shown)| format!("--remap-path-prefix={path}={shown}")).collect()
}

/// Standard output, or what the program said on failure.
fn run(mut program: Command) -> Result<Vec<u8>, BuildError> {
    let output = program.output().map_err(|error| BuildError::Cargo(error.to_string()))?;
    if output.status.success() {
        return Ok(output.stdout);
    }
    Err(BuildError::Cargo(String::from_utf8_lossy(&output.stderr).trim().to_owned()))
}

/// Makes a component of a core module, and looks at what it asks for.
fn encode(module: &[u8]) -> Result<Vec<u8>, BuildError> {
    let refused = |error: &dyn std::fmt::Display| BuildError::NotAPolicy(format!("{error:#}"));
    let mut encoder = ComponentEncoder::default();
    encoder.validate(true).module(module).map_err(|error| refused(&error))?;
    let component = encoder.encode().map_err(|error| refused(&error))?;
    let decoded = wit_component::decode(&component).map_err(|error| refused(&error))?;
    let DecodedWasm::Component(resolve, world) = decoded else {
        return Err(BuildError::NotAPolicy("a package of types".into()));
    };
    let world = &resolve.worlds[world];
    let name = |key: &wit_parser::WorldKey| resolve.name_world_key(key);
    let allowed = |name: &str, item: &WorldItem| {
        let of_the_contract = name.strip_prefix("classwright:policy/").and_then(|rest| rest.split('@').next());
        match (of_the_contract, item) {
            (Some("library" | "last-words"), _) => true,
            // The world's own types, which the rule's function is written in; there is nothing in it to call.
            (Some("cards"), WorldItem::Interface { id, .. }) => resolve.interfaces[*id].functions.is_empty(),
            _ => false,
        }
    };
    let imports = world.imports.iter().map(|(key, item)| (name(key), item));
    let foreign: Vec<String> = imports.filter(|(name, item)| !allowed(name, item)).map(|(name, _)| name).collect();
    if !foreign.is_empty() {
        return Err(BuildError::NotAPolicy(format!("it imports {}", foreign.join(", "))));
    }
    if !world.exports.keys().map(name).any(|name| name.starts_with("classwright:policy/about@")) {
        return Err(BuildError::NotAPolicy("it exports no `about`; is the export macro missing?".into()));
    }
    Ok(component)
}

fn file(path: &Path, error: impl ToString) -> BuildError {
    BuildError::File { path: path.into(), problem: error.to_string() }
}
