//! The gym folder, whole.
//!
//! [`open`] reads every file, goes on after a fault, and hands out a [`Gym`] only if there was none: whatever a plan
//! is made from has been read without a doubt.

mod athletes;
mod bests;
mod classes;
mod company;
mod homes;
mod kit;
mod rules;
mod shelf;

use std::path::{Path, PathBuf};

use classwright_training::floor::FloorRules;
use classwright_training::{Athlete, Kit, MovementLibrary};

use crate::error::{FileError, Report};
use crate::file::{Text, files_with_ending};
use crate::library;

pub use classes::ClassSheet;
pub use shelf::{ShelfEntry, ShelfLimits};

/// Everything that a gym folder says.
#[derive(Clone, Debug)]
pub struct Gym {
    /// The folder.
    pub folder: PathBuf,
    /// Name of the gym.
    pub name: String,
    /// How it runs its floor.
    pub rules: FloorRules,
    /// The built-in movements and kinds of kit with the gym's own.
    pub library: MovementLibrary,
    /// Everyone on the roster, in its order.
    pub athletes: Vec<Athlete>,
    /// Kit in service on the floor.
    pub floor_kit: Kit,
    /// Ids of the homes, in the order of `home_kits`.
    pub homes: Vec<String>,
    /// Kit in the homes; [`classwright_training::Place::Home`] points into it.
    pub home_kits: Vec<Kit>,
    /// Policies, in the order in which they are asked.
    pub shelf: Vec<ShelfEntry>,
    /// Classes, in the order of their files.
    pub classes: Vec<ClassSheet>,
    /// Files of written sessions, in order.
    pub sessions: Vec<PathBuf>,
}

/// Reads a gym folder. `gym.toml`, `kit.toml` and `roster.csv` have to be there; the other files may be missing.
pub fn open(folder: &Path) -> Result<Gym, Vec<FileError>> {
    let report = Report::default();
    let gym = read(folder, &report);
    report.finish(gym)
}

fn read(folder: &Path, report: &Report) -> Option<Gym> {
    if !folder.is_dir() {
        report.add(folder, None, None, "is no folder; name the folder that holds gym.toml");
        return None;
    }
    let must = |name: &str| Text::read(folder.join(name), report);
    let may = |name: &str| Text::read_if_there(folder.join(name), report).flatten();

    let (name, rules) = must("gym.toml").and_then(|file| rules::read(&file, report)).unzip();
    let kit_file = must("kit.toml");
    let roster_file = must("roster.csv");
    // Everything below names movements or kit.
    let library = library::of_gym(folder, report)?;
    let floor_kit = kit_file.and_then(|file| kit::read(&file, &library, report));
    let (homes, home_kits) = may("homes.toml").map(|file| homes::read(&file, &library, report)).unwrap_or_default();
    let bar_types = floor_kit.as_ref().map(|kit| kit.bar_types.as_slice());
    let mut athletes = roster_file.map(|file| athletes::read(&file, &homes, bar_types, report))?;
    if let Some(file) = may("bests.csv") {
        bests::read(&file, &library, &mut athletes, report);
    }
    if let Some(file) = may("limitations.csv") {
        athletes::read_limitations(&file, &mut athletes, report);
    }
    let shelf = may("shelf.toml").map(|file| shelf::read(&file, folder, report)).unwrap_or_default();
    let sessions = files_with_ending(&folder.join("sessions"), "md", report);
    let floor_kit = floor_kit?;
    let place = classes::Surroundings {
        folder,
        library: &library,
        athletes: &athletes,
        floor_kit: &floor_kit,
        rules: rules.as_ref(),
    };
    let classes = files_with_ending(&folder.join("classes"), "toml", report)
        .into_iter()
        .filter_map(|path| classes::read(&Text::read(path, report)?, &place, report))
        .collect();
    Some(Gym {
        folder: folder.to_owned(),
        name: name?,
        rules: rules?,
        library,
        athletes,
        floor_kit,
        homes,
        home_kits,
        shelf,
        classes,
        sessions,
    })
}
