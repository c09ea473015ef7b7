//! The gym folder, whole: on the disk ([`open`]), or as texts by name ([`read_files`]).
//!
//! Every file is read, reading goes on after a fault, and a [`Gym`] is handed out only if there was none: whatever a
//! plan is made from has been read without a doubt.

mod athletes;
mod bests;
mod classes;
mod company;
mod dated;
mod homes;
mod kit;
mod rules;
mod shelf;

use std::path::{Path, PathBuf};

use classwright_training::floor::FloorRules;
use classwright_training::session::Date;
use classwright_training::{Athlete, Kit, MovementLibrary};

use crate::error::{FileError, Report};
use crate::file::{Files, Source};
use crate::library;
use dated::History;

pub(crate) use athletes::{LIMITATIONS, LIMITATIONS_OPTIONAL, ROSTER};
pub(crate) use bests::BESTS;
pub use classes::ClassSheet;
pub use shelf::{ShelfEntry, ShelfLimits};

/// Everything that a gym folder says.
#[derive(Clone, Debug)]
pub struct Gym {
    /// The folder; nothing where it was read from texts by name.
    pub folder: PathBuf,
    /// Name of the gym.
    pub name: String,
    /// How it runs its floor.
    pub rules: FloorRules,
    /// The built-in movements and kinds of kit with the gym's own.
    pub library: MovementLibrary,
    /// Everyone on the roster, in its order, as they are where no day is known; see [`Gym::athletes_on`].
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
    history: History,
}

impl Gym {
    /// Everyone on the roster with the bests and limitations that hold on a day.
    ///
    /// Of the bests for a movement the newest on or before the day counts. Where no day is known, the newest of all
    /// counts, and every limitation does, also one that has a last day: give the session a date.
    pub fn athletes_on(&self, day: Option<Date>) -> Vec<Athlete> {
        self.history.on(&self.athletes, day)
    }

    /// Reads one more class of this gym. `files` holds its sheet, `classes/<id>.toml`, and the text of its session under
    /// the path that the sheet names.
    pub fn read_class(&self, id: &str, files: &Files) -> Result<ClassSheet, Vec<FileError>> {
        let (report, source) = (Report::default(), Source::Files(files));
        source.check_names(&report);
        let place = classes::Surroundings {
            source,
            library: &self.library,
            athletes: &self.athletes,
            floor_kit: &self.floor_kit,
            rules: Some(&self.rules),
        };
        let file = source.must(source.path(&format!("classes/{id}.toml")), &report);
        let sheet = file.and_then(|file| classes::read(&file, &place, &report));
        report.finish(sheet)
    }
}

/// Reads a gym folder. `gym.toml`, `kit.toml` and `roster.csv` have to be there; the other files may be missing.
pub fn open(folder: &Path) -> Result<Gym, Vec<FileError>> {
    let report = Report::default();
    if !folder.is_dir() {
        report.add(folder, None, None, "is no folder; name the folder that holds gym.toml");
        return report.finish(None);
    }
    let gym = read(Source::Folder(folder), &report);
    report.finish(gym)
}

/// Reads a gym from the files of its folder, by name. Faults and paths name them as they are named there; the text of a
/// class's session stands in `files` under [`ClassSheet::session`].
pub fn read_files(files: &Files) -> Result<Gym, Vec<FileError>> {
    let (report, source) = (Report::default(), Source::Files(files));
    source.check_names(&report);
    let gym = read(source, &report);
    report.finish(gym)
}

fn read(source: Source<'_>, report: &Report) -> Option<Gym> {
    let must = |name: &str| source.must(source.path(name), report);
    let may = |name: &str| source.may(source.path(name), report).flatten();

    let (name, rules) = must("gym.toml").and_then(|file| rules::read(&file, report)).unzip();
    let kit_file = must("kit.toml");
    let roster_file = must("roster.csv");
    // Everything below names movements or kit.
    let library = library::of_gym(source, report)?;
    let floor_kit = kit_file.and_then(|file| kit::read(&file, &library, report));
    let (homes, home_kits) = may("homes.toml").map(|file| homes::read(&file, &library, report)).unwrap_or_default();
    let bar_types = floor_kit.as_ref().map(|kit| kit.bar_types.as_slice());
    let athletes = roster_file.map(|file| athletes::read(&file, &homes, bar_types, report))?;
    let mut history = History::of(athletes.len());
    if let Some(file) = may("bests.csv") {
        bests::read(&file, &library, &athletes, &mut history, report);
    }
    if let Some(file) = may("limitations.csv") {
        athletes::read_limitations(&file, &athletes, &mut history, report);
    }
    let athletes = history.on(&athletes, None);
    let shelf = may("shelf.toml").map(|file| shelf::read(&file, source, report)).unwrap_or_default();
    let sessions = source.with_ending("sessions", "md", report);
    let floor_kit = floor_kit?;
    let place = classes::Surroundings {
        source,
        library: &library,
        athletes: &athletes,
        floor_kit: &floor_kit,
        rules: rules.as_ref(),
    };
    let classes = source
        .with_ending("classes", "toml", report)
        .into_iter()
        .filter_map(|path| classes::read(&source.must(path, report)?, &place, report))
        .collect();
    Some(Gym {
        folder: source.folder().to_owned(),
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
        history,
    })
}
