//! Records as the texts of a gym folder.
//!
//! What says nothing makes no file. All own movements stand in one file, since their order is the gym's.

use serde::Serialize;
use serde_json::{Map, Value};

use super::tables::{bests, limitations, roster};
use crate::file::Files;
use crate::record::{
    ClassRecord, GymRecords, HomeRecord, KitKindRecord, KitRecord, LimitsRecord, MovementRecord, OutRecord,
    RulesRecord, ShelfRecord,
};

impl GymRecords {
    /// All files of the gym's folder.
    pub fn files(&self) -> Files {
        let mut files = self.world_files();
        files.extend(self.classes.iter().map(|class| (class.file_name(), class.file())));
        files.extend(self.sessions.iter().map(|(id, text)| (session_file_name(id), text.clone())));
        if !self.shelf.is_empty() {
            files.insert("shelf.toml".into(), shelf(&self.shelf));
        }
        files
    }

    /// What all classes are planned from: everything but sessions, classes and the shelf.
    pub fn world_files(&self) -> Files {
        let floor = (self.rules != RulesRecord::default()).then_some(&self.rules);
        let mut files = Files::new();
        let mut put = |name: &str, text: String| files.insert(name.into(), text);
        put("gym.toml", toml(&GymFile { name: &self.name, floor }));
        put("kit.toml", toml(&self.floor_kit));
        put("roster.csv", roster(&self.athletes));
        if !self.kit_kinds.is_empty() {
            put("kit-kinds.toml", toml(&KitKindsFile { kit: &self.kit_kinds }));
        }
        if !self.movements.is_empty() {
            put("movements/own.toml", toml(&MovementsFile { movement: &self.movements }));
        }
        if !self.homes.is_empty() {
            let home = self.homes.iter().map(|HomeRecord { id, kit }| HomeRow { id, kit }).collect();
            put("homes.toml", toml(&HomesFile { home }));
        }
        if self.athletes.iter().any(|athlete| !athlete.bests.is_empty()) {
            put("bests.csv", bests(&self.athletes));
        }
        if self.athletes.iter().any(|athlete| !athlete.limitations.is_empty()) {
            put("limitations.csv", limitations(&self.athletes));
        }
        files
    }
}

impl ClassRecord {
    /// Where its sheet stands in the folder.
    pub fn file_name(&self) -> String {
        format!("classes/{}.toml", self.id)
    }

    /// Its sheet.
    pub fn file(&self) -> String {
        toml(&ClassFile {
            date: &self.date,
            time: &self.time,
            zone: &self.zone,
            session: session_file_name(&self.session),
            coach: &self.coach,
            present: self.present.as_deref(),
            absent: self.absent.as_deref(),
            together: &self.together,
            apart: &self.apart,
            floor: self.floor.as_ref(),
            out_of_service: self.out_of_service.as_ref(),
        })
    }
}

/// Where the text of a session stands in the folder.
pub fn session_file_name(id: &str) -> String {
    format!("sessions/{id}.md")
}

fn shelf(records: &[ShelfRecord]) -> String {
    let rows = records.iter().map(|record| ShelfRow {
        file: &record.file,
        enabled: record.enabled,
        settings: settings(&record.settings),
        limits: record.limits,
    });
    toml(&ShelfFile { policy: rows.collect() })
}

/// Settings as a table; as a text of JSON where they hold what TOML cannot say.
fn settings(settings: &Map<String, Value>) -> Option<Settings<'_>> {
    fn says(value: &Value) -> bool {
        match value {
            Value::Null => false,
            Value::Number(number) => number.as_i64().is_some() || !number.is_u64(),
            Value::Array(values) => values.iter().all(says),
            Value::Object(object) => object.values().all(says),
            Value::Bool(_) | Value::String(_) => true,
        }
    }
    match settings {
        none if none.is_empty() => None,
        table if table.values().all(says) => Some(Settings::Table(table)),
        other => Some(Settings::Text(Value::Object(other.clone()).to_string())),
    }
}

fn toml(file: &impl Serialize) -> String {
    toml::to_string(file).expect("a record is a table of what TOML can say")
}

#[derive(Serialize)]
struct GymFile<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    floor: Option<&'a RulesRecord>,
}

#[derive(Serialize)]
struct KitKindsFile<'a> {
    kit: &'a [KitKindRecord],
}

#[derive(Serialize)]
struct MovementsFile<'a> {
    movement: &'a [MovementRecord],
}

#[derive(Serialize)]
struct HomesFile<'a> {
    home: Vec<HomeRow<'a>>,
}

#[derive(Serialize)]
struct HomeRow<'a> {
    id: &'a str,
    #[serde(flatten)]
    kit: &'a KitRecord,
}

#[derive(Serialize)]
struct ShelfFile<'a> {
    policy: Vec<ShelfRow<'a>>,
}

#[derive(Serialize)]
struct ShelfRow<'a> {
    file: &'a str,
    enabled: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    settings: Option<Settings<'a>>,
    #[serde(skip_serializing_if = "crate::record::is_default")]
    limits: LimitsRecord,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Settings<'a> {
    Table(&'a Map<String, Value>),
    Text(String),
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct ClassFile<'a> {
    date: &'a str,
    time: &'a str,
    zone: &'a str,
    session: String,
    coach: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    present: Option<&'a [String]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    absent: Option<&'a [String]>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    together: &'a [[String; 2]],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    apart: &'a [[String; 2]],
    #[serde(skip_serializing_if = "Option::is_none")]
    floor: Option<&'a RulesRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    out_of_service: Option<&'a OutRecord>,
}
