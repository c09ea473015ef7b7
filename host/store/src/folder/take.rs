//! The records that stand in a gym's files, once the reader has found no fault in them.
//!
//! Comments, the names of the files of movements and the order of keys are lost; nothing else is.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, from_value};
use toml::de::{DeTable, DeValue};

use super::tables::{athlete, best, limitation};
use crate::error::{FileError, Report};
use crate::file::csv::{Row, rows};
use crate::file::json::json;
use crate::file::{Files, Source, Text, plain};
use crate::gym::{BESTS, LIMITATIONS, LIMITATIONS_OPTIONAL, ROSTER};
use crate::record::{
    AthleteRecords, ClassRecord, GymRecords, HomeRecord, KitKindRecord, KitRecord, MovementRecord, RulesRecord,
    ShelfRecord,
};

impl GymRecords {
    /// The records of a gym folder, with the texts of its sessions. Faults come as from [`crate::open`].
    pub fn of_folder(folder: &Path) -> Result<GymRecords, Vec<FileError>> {
        crate::open(folder)?;
        whole(Source::Folder(folder))
    }

    /// The records of a gym folder's files. Faults come as from [`crate::read_files`].
    pub fn of_files(files: &Files) -> Result<GymRecords, Vec<FileError>> {
        crate::read_files(files)?;
        whole(Source::Files(files))
    }
}

fn whole(source: Source<'_>) -> Result<GymRecords, Vec<FileError>> {
    let report = Report::default();
    let records = Taking { source, report: &report }.gym();
    report.finish(records)
}

#[derive(Deserialize)]
struct GymFile {
    name: String,
    #[serde(default)]
    floor: RulesRecord,
}

/// Files that are a list each.
#[derive(Default, Deserialize)]
#[serde(default)]
struct Lists {
    movement: Vec<MovementRecord>,
    home: Vec<Map<String, Value>>,
    policy: Vec<Map<String, Value>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct KitKinds {
    kit: Vec<KitKindRecord>,
}

#[derive(Clone, Copy)]
struct Taking<'a> {
    source: Source<'a>,
    report: &'a Report,
}

impl<'a> Taking<'a> {
    fn gym(self) -> Option<GymRecords> {
        let gym: GymFile = self.file(self.source.path("gym.toml"))?;
        let floor_kit = self.file(self.source.path("kit.toml"))?;
        let (sessions, classes) = self.classes();
        Some(GymRecords {
            name: gym.name.trim().to_owned(),
            rules: gym.floor,
            kit_kinds: self.may::<KitKinds>("kit-kinds.toml").kit,
            movements: self.files::<Lists>("movements").flat_map(|(_, lists)| lists.movement).collect(),
            floor_kit,
            homes: self.each("homes.toml", self.may::<Lists>("homes.toml").home, home),
            athletes: self.athletes(),
            sessions,
            classes,
            shelf: self.each("shelf.toml", self.may::<Lists>("shelf.toml").policy, policy),
        })
    }

    fn athletes(self) -> Vec<AthleteRecords> {
        let mut athletes = self.rows("roster.csv", &ROSTER, &ROSTER[5..], |row| {
            Some(AthleteRecords { record: athlete(row)?, ..AthleteRecords::default() })
        });
        let at: BTreeMap<String, usize> =
            athletes.iter().enumerate().map(|(at, athlete)| (athlete.record.id.clone(), at)).collect();
        let whose = |row: &Row<'_>| at.get(row.field("athlete")?).copied();
        for (at, best) in self.rows("bests.csv", &BESTS, &BESTS[4..], |row| Some((whose(row)?, best(row)?))) {
            athletes[at].bests.push(best);
        }
        let read = |row: &Row<'_>| Some((whose(row)?, limitation(row)?));
        for (at, one) in self.rows("limitations.csv", &LIMITATIONS, &LIMITATIONS_OPTIONAL, read) {
            athletes[at].limitations.push(one);
        }
        athletes
    }

    /// Sessions by id, and the classes, which name them so. A session that stands elsewhere than in `sessions/` gets an
    /// id of its own.
    fn classes(self) -> (BTreeMap<String, String>, Vec<ClassRecord>) {
        let mut sessions = Sessions { taking: self, ids: BTreeMap::new(), texts: BTreeMap::new() };
        for path in self.source.with_ending("sessions", "md", self.report) {
            sessions.id(&path);
        }
        let mut classes: Vec<ClassRecord> =
            self.files("classes").filter_map(|(path, table)| self.class(&path, table, &mut sessions)).collect();
        classes.sort_by(|a, b| a.id.cmp(&b.id));
        (sessions.texts, classes)
    }

    fn class(self, path: &Path, mut table: Map<String, Value>, sessions: &mut Sessions<'_>) -> Option<ClassRecord> {
        let id = self.id(path)?;
        let session = table.get("session")?.as_str()?.trim();
        let session = sessions.id(&self.source.path(session))?;
        table.insert("id".into(), id.into());
        table.insert("session".into(), session.into());
        self.told(path, from_value(table.into()))
    }

    /// What a file is called without its ending, where that can name a file on any system.
    fn id(self, path: &Path) -> Option<String> {
        let id = path.file_stem().and_then(|stem| stem.to_str()).filter(|id| plain(id));
        if id.is_none() {
            let problem = "has a name that not every system can have; choose another, such as monday-evening";
            self.report.add(path, None, None, problem);
        }
        id.map(str::to_owned)
    }

    fn may<T: DeserializeOwned + Default>(self, name: &str) -> T {
        let path = self.source.path(name);
        if self.source.has(&path) { self.file(path).unwrap_or_default() } else { T::default() }
    }

    /// The TOML files of a folder.
    fn files<T: DeserializeOwned + 'a>(self, folder: &str) -> impl Iterator<Item = (PathBuf, T)> + 'a {
        let paths = self.source.with_ending(folder, "toml", self.report).into_iter();
        paths.filter_map(move |path| Some((path.clone(), self.file(path)?)))
    }

    /// A TOML file.
    fn file<T: DeserializeOwned>(self, path: PathBuf) -> Option<T> {
        let Text { path, text } = self.source.must(path, self.report)?;
        let (table, _) = DeTable::parse_recoverable(&text);
        let value = json(&DeValue::Table(table.into_inner()));
        let value = value.map_err(|problem| self.report.add(&path, None, None, problem)).ok()?;
        self.told(&path, from_value(value))
    }

    fn each<T>(
        self,
        name: &str,
        tables: Vec<Map<String, Value>>,
        read: impl Fn(Map<String, Value>) -> serde_json::Result<T>,
    ) -> Vec<T> {
        let path = self.source.path(name);
        tables.into_iter().filter_map(|table| self.told(&path, read(table))).collect()
    }

    fn rows<T>(self, name: &str, known: &[&str], optional: &[&str], read: impl Fn(&Row<'_>) -> Option<T>) -> Vec<T> {
        let file = self.source.may(self.source.path(name), self.report).flatten();
        file.map(|file| rows(&file, self.report, known, optional, read)).unwrap_or_default()
    }

    fn told<T>(self, path: &Path, read: serde_json::Result<T>) -> Option<T> {
        read.map_err(|error| self.report.add(path, None, None, error.to_string())).ok()
    }
}

/// Sessions as they are met.
struct Sessions<'a> {
    taking: Taking<'a>,
    /// By path; nothing where a file cannot be read, which is told once.
    ids: BTreeMap<PathBuf, Option<String>>,
    texts: BTreeMap<String, String>,
}

impl Sessions<'_> {
    /// The id of the session in a file: the file's name, with a number where another has that.
    fn id(&mut self, path: &Path) -> Option<String> {
        // `a/./b` is `a/b`.
        let path: PathBuf = path.components().collect();
        if let Some(id) = self.ids.get(&path) {
            return id.clone();
        }
        let id = self.new_id(&path);
        self.ids.insert(path, id.clone());
        id
    }

    fn new_id(&mut self, path: &Path) -> Option<String> {
        let name = self.taking.id(path)?;
        let text = self.taking.source.must(path.to_owned(), self.taking.report)?.text;
        let numbered = (2..).map(|n| format!("{name}-{n}"));
        let id = std::iter::once(name.clone()).chain(numbered).find(|id| !self.texts.contains_key(id))?;
        self.texts.insert(id.clone(), text);
        Some(id)
    }
}

/// In the file a home's kit stands beside its id.
fn home(mut table: Map<String, Value>) -> serde_json::Result<HomeRecord> {
    let id: String = from_value(table.remove("id").unwrap_or_default())?;
    let kit: KitRecord = from_value(table.into())?;
    Ok(HomeRecord { id: id.trim().to_owned(), kit })
}

/// Settings may be a text of JSON.
fn policy(mut table: Map<String, Value>) -> serde_json::Result<ShelfRecord> {
    if let Some(Value::String(text)) = table.get("settings") {
        let settings = serde_json::from_str(text)?;
        table.insert("settings".into(), settings);
    }
    from_value(table.into())
}
