//! Small policies written in WebAssembly text, for tests: well-behaved ones and hostile ones.
//!
//! A [`Guest`] is a core module around a few instructions, wrapped into a component of the contract. Its answers are laid
//! out by hand in its memory, so that each can be wrong in one place. Other test crates take this file with
//! `#[path = "…/host/policies/tests/guest/mod.rs"] mod guest;`.

#![expect(dead_code, reason = "each test file uses its own part of it")]

use std::path::Path;

use wit_component::{ComponentEncoder, StringEncoding, embed_component_metadata};
use wit_parser::Resolve;

/// Where the contract is, from any crate's folder.
pub(crate) const WIT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../wit/v1");

/// "No such thing" in a list of the contract.
pub(crate) const NONE: u32 = u32::MAX;

/// Turns a core module in text form into a component of a world of the contract. The module exports `memory` and
/// `cabi_realloc`, and the world's functions under names such as `classwright:policy/about@1.0.0#describe`.
pub(crate) fn component(wit: &Path, world: &str, core: &str) -> Vec<u8> {
    let mut resolve = Resolve::default();
    let (package, _) = resolve.push_dir(wit).unwrap();
    let world = resolve.select_world(&[package], Some(world)).unwrap();
    let mut module = wat::parse_str(core).unwrap_or_else(|error| panic!("{error}\n{core}"));
    embed_component_metadata(&mut module, &resolve, world, StringEncoding::UTF8, false).unwrap();
    ComponentEncoder::default().validate(true).module(&module).unwrap().encode().unwrap()
}

/// A policy of one kind.
pub(crate) struct Guest {
    world: &'static str,
    function: &'static str,
    kinds: &'static str,
    body: String,
    pages: u32,
    extra: String,
    data: Vec<u8>,
}

/// Where the data starts in the guest's memory.
const DATA: u32 = 1024;

impl Guest {
    pub(crate) fn scaling() -> Self {
        Guest::of("scaling", "scaling-rule@1.0.0#scale")
    }

    pub(crate) fn substitution() -> Self {
        Guest::of("substitution", "substitution-rule@1.0.0#substitute")
    }

    pub(crate) fn heats() -> Self {
        Guest::of("heats", "heats-rule@1.0.0#plan-heats")
    }

    fn of(world: &'static str, function: &'static str) -> Self {
        let (body, extra) = ("unreachable".into(), String::new());
        Guest { world, function, kinds: world, body, pages: 4, extra, data: Vec::new() }
    }

    /// The instructions of its rule: `$question` is a pointer in, a pointer to the answer is what it leaves. It can call
    /// `$say` with a text's position and length, and (not in heats) `$facts` with a list and a place for the answer.
    pub(crate) fn body(mut self, instructions: &str) -> Self {
        self.body = instructions.into();
        self
    }

    /// More items of the module: globals, functions, a start function.
    pub(crate) fn extra(mut self, items: &str) -> Self {
        self.extra.push_str(items);
        self
    }

    /// Pages of 64 KiB that it starts with.
    pub(crate) fn pages(mut self, pages: u32) -> Self {
        self.pages = pages;
        self
    }

    /// Says that it is of other kinds than it is.
    pub(crate) fn claims_to_be(mut self, kinds: &'static str) -> Self {
        self.kinds = kinds;
        self
    }

    /// Puts bytes into its memory and says where.
    pub(crate) fn put(&mut self, bytes: &[u8]) -> u32 {
        self.data.resize(self.data.len().next_multiple_of(8), 0);
        let at = DATA + self.data.len() as u32;
        self.data.extend_from_slice(bytes);
        at
    }

    fn words(&mut self, words: &[u32]) -> u32 {
        let bytes: Vec<u8> = words.iter().flat_map(|word| word.to_le_bytes()).collect();
        self.put(&bytes)
    }

    fn text(&mut self, text: &str) -> [u32; 2] {
        [self.put(text.as_bytes()), text.len() as u32]
    }

    /// Answers a question about cards with these changes and reasons.
    pub(crate) fn answers(mut self, changes: &[Change], reasons: &[(&str, &str)]) -> Self {
        let rows: Vec<u32> = changes.iter().flat_map(Change::words).collect();
        let changes = [self.words(&rows), changes.len() as u32];
        let mut rows = Vec::new();
        for (rule, text) in reasons {
            rows.extend(self.text(rule));
            rows.extend(self.text(text));
        }
        let reasons = [self.words(&rows), reasons.len() as u32];
        self.leaves(&[0, changes[0], changes[1], reasons[0], reasons[1]])
    }

    /// Answers a heats question with this plan: heat count, heats, starts, bars, lower bound, optimal.
    pub(crate) fn plans(
        mut self,
        heats: u32,
        heat_of: &[u32],
        starts: &[u32],
        bar_of: &[u32],
        bound: u32,
        optimal: u32,
    ) -> Self {
        let mut words = vec![0, heats];
        for list in [heat_of, starts, bar_of] {
            words.extend([self.words(list), list.len() as u32]);
        }
        words.extend([bound, optimal]);
        self.leaves(&words)
    }

    /// Declines with a sentence.
    pub(crate) fn declines(mut self, sentence: &str) -> Self {
        let [at, length] = self.text(sentence);
        self.leaves(&[1, at, length, 0, 0])
    }

    /// Leaves these 32-bit words as its answer, whatever they mean.
    pub(crate) fn leaves(mut self, words: &[u32]) -> Self {
        let at = self.words(words);
        self.body(&format!("(i32.const {at})"))
    }

    /// The component.
    pub(crate) fn bytes(mut self) -> Vec<u8> {
        let name = self.text("test-guest");
        let version = self.text("0.1.0");
        let licence = self.text("MIT");
        let kind = self.text(self.kinds);
        let kinds = [self.words(&kind), 1];
        let purpose = self.text("For a test.");
        let schema = self.text("{}");
        let about = self.words(&[name, version, licence, kinds, purpose, schema].concat());
        let Guest { world, function, body, pages, extra, data, .. } = self;
        let hex: String = data.iter().map(|byte| format!("\\{byte:02x}")).collect();
        let library = match world {
            "heats" => "",
            _ => r#"(import "classwright:policy/library@1.0.0" "facts" (func $facts (param i32 i32 i32)))"#,
        };
        let core = format!(
            r#"(module
              {library}
              (import "classwright:policy/last-words@1.0.0" "say" (func $say (param i32 i32)))
              (memory (export "memory") {pages})
              (global $free (mut i32) (i32.const 131072))
              (data (i32.const {DATA}) "{hex}")
              (func (export "cabi_realloc") (param i32 i32 i32 i32) (result i32)
                (local $at i32)
                (local.set $at (i32.and (i32.add (global.get $free) (i32.const 7)) (i32.const -8)))
                (global.set $free (i32.add (local.get $at) (local.get 3)))
                (block $enough (loop $more
                  (br_if $enough (i32.le_u (global.get $free) (i32.mul (memory.size) (i32.const 65536))))
                  (drop (memory.grow (i32.const 1)))
                  (br $more)))
                (local.get $at))
              (func (export "classwright:policy/about@1.0.0#describe") (result i32) (i32.const {about}))
              (func (export "classwright:policy/{function}") (param $question i32) (result i32) {body})
              {extra})"#
        );
        component(Path::new(WIT), world, &core)
    }
}

/// A change, in the contract's order.
#[derive(Clone, Copy)]
pub(crate) struct Change {
    pub(crate) piece: u32,
    pub(crate) off: u32,
    pub(crate) movement: u32,
    pub(crate) times: u32,
    /// Measure in the lowest byte, sides in the next.
    pub(crate) measure_and_sides: u32,
    pub(crate) amount: [u32; 2],
    pub(crate) load_g: [u32; 2],
    pub(crate) effort_tenths: u32,
    pub(crate) range_percent: u32,
    pub(crate) reason: u32,
}

impl Change {
    /// Ten repetitions at 20 kg of movement 0.
    pub(crate) fn of(piece: u32) -> Self {
        Change {
            piece,
            off: 0,
            movement: 0,
            times: 3,
            measure_and_sides: 0,
            amount: [10, 10],
            load_g: [20_000, 20_000],
            effort_tenths: 0,
            range_percent: 100,
            reason: 0,
        }
    }

    fn words(&self) -> [u32; 12] {
        let &Change {
            piece,
            off,
            movement,
            times,
            measure_and_sides,
            amount,
            load_g,
            effort_tenths,
            range_percent,
            reason,
        } = self;
        let [low, high] = amount;
        let [first, top] = load_g;
        [piece, off, movement, times, measure_and_sides, low, high, first, top, effort_tenths, range_percent, reason]
    }
}
