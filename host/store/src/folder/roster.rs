//! A roster in a file by itself, held against the gym that it is for.

use crate::error::FileError;
use crate::file::Files;
use crate::file::csv::columns;
use crate::gym::ROSTER;
use crate::record::{AthleteRecord, GymRecords};

/// What a roster file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RosterFile {
    /// Its columns, in its order. What no column is for, the file says nothing of.
    pub columns: Vec<&'static str>,
    /// Its rows.
    pub athletes: Vec<AthleteRecord>,
}

/// Reads a roster (the text of a `roster.csv`) for a gym: its homes and its types of bar are the gym's. Faults name it
/// `roster.csv`, with line and column.
pub fn read_roster(csv: &str, gym: &GymRecords) -> Result<RosterFile, Vec<FileError>> {
    let without_people = GymRecords { athletes: Vec::new(), ..gym.clone() };
    let mut files: Files = without_people.world_files();
    files.insert("roster.csv".into(), csv.to_owned());
    let records = GymRecords::of_files(&files)?;
    let header = columns(csv);
    Ok(RosterFile {
        columns: header.iter().filter_map(|found| ROSTER.into_iter().find(|column| column == found)).collect(),
        athletes: records.athletes.into_iter().map(|athlete| athlete.record).collect(),
    })
}
