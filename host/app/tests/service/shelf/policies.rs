//! Policies for these tests: the house's own, and small ones made from the text format.

use std::path::PathBuf;

use classwright_tests::{Build, component};

/// A house policy, as it is built and pinned.
pub(crate) fn house(name: &str) -> Vec<u8> {
    let path = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../plugins"));
    std::fs::read(path.join(name).join(format!("{name}.wasm"))).expect("the house policies are built")
}

/// One of the hostile scaling policies: `hostile 6.6.6`.
pub(crate) fn hostile(file: &str) -> Vec<u8> {
    component(&hostile_text(file), "scaling")
}

/// A scaling policy that imports a clock.
pub(crate) fn clock_reader() -> Vec<u8> {
    let more = include_str!("../../../../../tests/hostile/frame/worlds.wit");
    let build = Build { more: Some(more), ..Build::of("clock-reader") };
    build.component(&hostile_text("reads-the-clock"))
}

fn hostile_text(file: &str) -> String {
    let path = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/hostile"));
    std::fs::read_to_string(path.join(format!("{file}.wat"))).expect("it is in the folder")
}

/// The scaling policy `light`, version 0.9.0, which leaves every card alone, and breaks down where anything is set.
pub(crate) fn moody() -> Vec<u8> {
    let core = format!(
        r#"(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param $question i32) (result i32)
             (if (i32.gt_u (i32.load offset={SETTINGS} (local.get $question)) (i32.const 2)) (then unreachable))
             (i32.const 1024))
           (data (i32.const 1024) "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00")
           {}"#,
        about("0.9.0", "{}")
    );
    Build { name: "light", version: "0.9.0", ..Build::of("scaling") }.component(&core)
}

/// The scaling policy `light` in a version, with a schema for its settings.
///
/// It leaves every card alone, or takes the first piece of the class off.
pub(crate) fn light(version: &str, schema: &str, takes_off: bool) -> Vec<u8> {
    let taken_off = [0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 100, 0];
    changes_first(version, schema, takes_off.then_some(taken_off))
}

/// The same, but it has the first piece of the class become a ton of whatever stands first in the library.
pub(crate) fn liar() -> Vec<u8> {
    changes_first("6.6.6", "{}", Some([0, 0, 0, 1, 0, 1, 1, 1_000_000, 1_000_000, 0, 100, 0]))
}

/// A change is: piece, off, movement, times, measure and sides; low, high, first load, top load, effort, range, reason.
fn changes_first(version: &str, schema: &str, change: Option<[u32; 12]>) -> Vec<u8> {
    let changes = u32::from(change.is_some());
    let change: String = change.unwrap_or_default().iter().map(|number| word(*number as usize)).collect();
    let core = format!(
        r#"(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param $question i32) (result i32)
             (if (result i32)
               (i32.and (i32.const {changes}) (i32.ne (i32.load offset={PIECES} (local.get $question)) (i32.const 0)))
               (then (i32.const 1024))
               (else (i32.const 1088))))
           ;; One change: the answer, the change, the reason and its texts.
           (data (i32.const 1024) "\00\00\00\00" "\00\06\00\00" "\01\00\00\00" "\d0\07\00\00" "\01\00\00\00")
           ;; No change.
           (data (i32.const 1088) "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00")
           (data (i32.const 1536) "{change}")
           (data (i32.const 2000) "\00\09\00\00" "\04\00\00\00" "\10\09\00\00" "\12\00\00\00")
           (data (i32.const 2304) "ease")
           (data (i32.const 2320) "Lighter for today.")
           {}"#,
        about(version, schema)
    );
    Build { name: "light", version, ..Build::of("scaling") }.component(&core)
}

/// Where the length of the settings stands in a question: after the list of texts comes their place, then their length.
const SETTINGS: u32 = 8 + 4;

/// Where the length of the list of pieces stands in a question: after two texts or lists of eight bytes, the four
/// numbers of the class and five more lists comes its place, then its length.
const PIECES: u32 = 2 * 8 + 4 * 4 + 5 * 8 + 4;

/// What a policy says of itself, with a schema of any length.
fn about(version: &str, schema: &str) -> String {
    let texts = ["light", version, "MIT", "Leaves classes alone, mostly.", schema];
    let places = [16_384, 16_512, 16_640, 16_768, 17_408];
    let place = |at: usize| format!("{} {}", quoted(&word(places[at])), quoted(&word(texts[at].len())));
    let data: String = places
        .iter()
        .zip(texts)
        .map(|(at, text)| format!("(data (i32.const {at}) {})\n", quoted(&escaped(text.as_bytes()))))
        .collect();
    format!(
        r#"(func (export "classwright:policy/about@1.0.0#describe") (result i32) (i32.const 16000))
           (data (i32.const 16000) {} {} {} {} {} {} {})
           (data (i32.const 16128) {} {})
           (data (i32.const 16200) "scaling")
           {data}"#,
        place(0),
        place(1),
        place(2),
        quoted(&word(16_128)),
        quoted(&word(1)),
        place(3),
        place(4),
        quoted(&word(16_200)),
        quoted(&word("scaling".len())),
    )
}

/// A word as bytes of the text format.
fn word(number: usize) -> String {
    escaped(&(number as u32).to_le_bytes())
}

fn escaped(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("\\{byte:02x}")).collect()
}

fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}
