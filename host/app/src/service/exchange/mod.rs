//! A gym in and out: whole, as the files of its folder with its components; its roster as a table; one athlete's whole
//! record.
//!
//! A gym comes in whole or not at all, into a gym that has nothing yet. What goes out is what the folder has words for:
//! the newest text of each session, the classes with their lists, the shelf; not plans, users or the ledger.

mod bundle;
mod export;
mod import;
mod person;
mod roster;

pub use bundle::{BundleDoc, read_gym_folder, write_gym_folder};
pub use export::ExportedDoc;
pub use import::{ImportedDoc, ImportedPolicyDoc};
pub use person::{CardOfDoc, ClassOfDoc, EntryOfDoc, OverrideOfDoc, PersonDoc, UserOfDoc};
pub use roster::{ChangedRowDoc, FieldChangeDoc, MissingRowDoc, RosterChangeDoc};
