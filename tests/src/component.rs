//! From a core module in text form to a component of the contract.
//!
//! A module is written as its own fields, imports first. Where it has no allocator or no `describe` of its own it gets
//! the frame's, from `hostile/frame`. Panics, with the text, where a module is wrong: the tests' texts are fixed.

use std::path::Path;

use wit_component::{ComponentEncoder, StringEncoding, embed_component_metadata};
use wit_parser::{PackageId, Resolve};

/// The contract as it is released, and its version in names.
const WIT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../wit/v1");
const RELEASED: &str = "1.0.0";

const MEMORY: &str = include_str!("../hostile/frame/memory.wat");
const ABOUT: &str = include_str!("../hostile/frame/about.wat");

/// A policy of a world of the contract (`scaling`, `substitution` or `heats`) from the fields of a core module.
pub fn component(core: &str, world: &str) -> Vec<u8> {
    Build::of(world).component(core)
}

/// How a component is built.
#[derive(Clone, Copy, Debug)]
pub struct Build<'a> {
    /// Its world.
    pub world: &'a str,
    /// Name that the frame gives it, at most 64 bytes.
    pub name: &'a str,
    /// Version that the frame gives it, at most 16 bytes.
    pub version: &'a str,
    /// Version of the contract that it is built for; names in the module are changed to match.
    pub contract: &'a str,
    /// Another package that has the world, as WIT text; it may include worlds of the contract.
    pub more: Option<&'a str>,
}

impl<'a> Build<'a> {
    /// `hostile 6.6.6`, for the released contract.
    pub fn of(world: &'a str) -> Self {
        Build { world, name: "hostile", version: "6.6.6", contract: RELEASED, more: None }
    }

    /// The component.
    pub fn component(&self, core: &str) -> Vec<u8> {
        let mut resolve = Resolve::default();
        let released = self.contract == RELEASED;
        let mut package = if released { from_folder(&mut resolve) } else { renamed(&mut resolve, self.contract) };
        if let Some(text) = self.more {
            package = resolve.push_str("more.wit", text).expect("the further worlds parse");
        }
        let world = resolve.select_world(&[package], Some(self.world)).expect("the world is there");
        let text = self.module(core).replace(&format!("@{RELEASED}"), &format!("@{}", self.contract));
        let mut module = wat::parse_str(&text).unwrap_or_else(|error| panic!("{error}\n{text}"));
        embed_component_metadata(&mut module, &resolve, world, StringEncoding::UTF8, false)
            .expect("it is a core module");
        let mut encoder = ComponentEncoder::default();
        let encoded = encoder.validate(true).module(&module).and_then(ComponentEncoder::encode);
        encoded.unwrap_or_else(|error| panic!("{error:#}\n{text}"))
    }

    /// The whole text of the module.
    fn module(&self, core: &str) -> String {
        let kind = if ["substitution", "heats"].contains(&self.world) { self.world } else { "scaling" };
        let mut about = ABOUT.to_owned();
        for (place, text) in [("name", self.name), ("version", self.version), ("kind", kind)] {
            let length = escaped(&(text.len() as u32).to_le_bytes());
            about = about.replace(&format!("{{{place}}}"), text).replace(&format!("{{{place}-length}}"), &length);
        }
        let memory = if core.contains("\"cabi_realloc\"") { "" } else { MEMORY };
        let about = if core.contains("#describe\"") { "" } else { &about };
        format!("(module\n{core}\n{memory}\n{about})")
    }
}

/// Bytes as a string of the text format.
pub(crate) fn escaped(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("\\{byte:02x}")).collect()
}

fn from_folder(resolve: &mut Resolve) -> PackageId {
    resolve.push_dir(Path::new(WIT)).expect("the contract parses").0
}

/// The contract under another version: its files in one text, as a package is named once in a text.
fn renamed(resolve: &mut Resolve, version: &str) -> PackageId {
    let package = format!("package classwright:policy@{RELEASED};");
    let file = |name: &str| std::fs::read_to_string(format!("{WIT}/{name}.wit")).expect("the contract is there");
    let all = format!("package classwright:policy@{version};\n{}\n{}", file("cards"), file("heats"));
    resolve.push_str("contract.wit", &all.replace(&package, "")).expect("the contract parses")
}
