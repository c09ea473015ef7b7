//! The movements and kinds of kit that a gym knows: the built-in ones, and those of its own folder.
//!
//! A gym adds to the library with `movements/*.toml` and `kit-kinds.toml`; an entry with the id of a built-in one
//! takes its place. Patterns and regions are fixed. References that lead nowhere and names that mean two things are
//! refused where they were written.

mod built_in;
mod kit_kinds;
mod movement;

use std::num::NonZero;
use std::path::Path;
use std::sync::OnceLock;
use std::thread;

use classwright_training::MovementLibrary;
use classwright_training::library::{KitKind, LibraryError, MovementEntry};

use crate::error::{FileError, Report};
use crate::file::{Source, Text};
use movement::Found;

pub use built_in::PATTERNS;
pub(crate) use movement::id;

/// More threads than this wait for each other more than they help.
const MOST_THREADS: usize = 4;

/// The built-in library. It is read once.
pub fn library() -> MovementLibrary {
    static LIBRARY: OnceLock<MovementLibrary> = OnceLock::new();
    let make = || {
        let BuiltIn { kinds, entries } = built_in().clone();
        MovementLibrary::new(kinds, entries).expect("the tests of this crate hold the built-in files")
    };
    LIBRARY.get_or_init(make).clone()
}

/// Reads the built-in library without keeping it: what [`library`] does once, for tests and for measuring.
pub fn read_built_in() -> Result<MovementLibrary, Vec<FileError>> {
    let BuiltIn { kinds, entries } = read_entries()?;
    let report = Report::default();
    let library = MovementLibrary::new(kinds, entries);
    let told = |error: &LibraryError| report.add(Path::new("built-in"), None, None, error.to_string());
    let library = library.map_err(|errors| errors.iter().for_each(told)).ok();
    report.finish(library)
}

#[derive(Clone)]
struct BuiltIn {
    kinds: Vec<KitKind>,
    entries: Vec<MovementEntry>,
}

fn built_in() -> &'static BuiltIn {
    static READ: OnceLock<BuiltIn> = OnceLock::new();
    READ.get_or_init(|| read_entries().expect("the tests of this crate hold the built-in files"))
}

/// Reads the files in as many threads as help: a command waits for this before it can do anything.
fn read_entries() -> Result<BuiltIn, Vec<FileError>> {
    let files = built_in::movements();
    let threads = thread::available_parallelism().map_or(1, NonZero::get).min(MOST_THREADS);
    let (kinds, entries) = thread::scope(|scope| {
        let shares = files.chunks(files.len().div_ceil(threads));
        let reading: Vec<_> = shares.map(|share| scope.spawn(|| read_share(share))).collect();
        let report = Report::default();
        let kinds = kit_kinds::read(&built_in::kit_kinds(), Vec::new(), &report);
        let entries = reading.into_iter().map(|share| share.join().expect("reading a file does not panic"));
        (report.finish(Some(kinds)), entries.collect::<Vec<_>>())
    });
    let mut all = BuiltIn { kinds: Vec::new(), entries: Vec::new() };
    let mut errors = Vec::new();
    kinds.map_or_else(|more| errors.extend(more), |kinds| all.kinds = kinds);
    for share in entries {
        share.map_or_else(|more| errors.extend(more), |share| all.entries.extend(share));
    }
    if errors.is_empty() { Ok(all) } else { Err(errors) }
}

fn read_share(files: &[Text]) -> Result<Vec<MovementEntry>, Vec<FileError>> {
    let report = Report::default();
    let found = files.iter().flat_map(|file| movement::read(file, &report));
    let entries = found.map(|found| found.entry).collect();
    report.finish(Some(entries))
}

/// The built-in library with what a gym adds or changes.
pub(crate) fn of_gym(source: Source<'_>, report: &Report) -> Option<MovementLibrary> {
    let kinds_file = source.may(source.path("kit-kinds.toml"), report).flatten();
    let paths = source.with_ending("movements", "toml", report);
    if kinds_file.is_none() && paths.is_empty() {
        return Some(library());
    }
    let BuiltIn { mut kinds, mut entries } = built_in().clone();
    if let Some(file) = &kinds_file {
        kinds = kit_kinds::read(file, kinds, report);
    }
    let files: Vec<Text> = paths.into_iter().filter_map(|path| source.must(path, report)).collect();
    let own: Vec<Found<'_>> = files.iter().flat_map(|file| movement::read(file, report)).collect();
    entries.retain(|theirs| own.iter().all(|ours| ours.id() != theirs.movement.id));
    entries.extend(own.iter().map(|found| found.entry.clone()));
    MovementLibrary::new(kinds, entries).map_err(|errors| tell(&errors, &own, report)).ok()
}

/// Puts every fault of the library where the gym wrote it.
fn tell(errors: &[LibraryError], own: &[Found<'_>], report: &Report) {
    for error in errors {
        // Of two with one id, the later is the one too many.
        match own.iter().rev().find(|found| found.id() == error.movement) {
            Some(found) => {
                let remedy = if matches!(error.field, "id" | "name") { "choose another" } else { "mend or add it" };
                found.origin.wrong(error.field, format!("{}; {remedy}", error.problem), report);
            }
            None => tell_of_taken_names(&error.movement, own, report),
        }
    }
}

/// A name that a built-in movement has already is the gym's to change, since it cannot change ours.
fn tell_of_taken_names(id: &str, own: &[Found<'_>], report: &Report) {
    let library = library();
    for found in own {
        let movement = &found.entry.movement;
        let taken = |name: &&String| library.named(name).is_some_and(|ix| library.movement(ix).id == id);
        for name in [&movement.id, &movement.name].into_iter().chain(&movement.aliases).filter(taken) {
            found.origin.wrong("name", format!("`{name}` is a name of `{id}` too; choose another"), report);
        }
    }
}
