//! A gym's records as the files of a folder, and back.
//!
//! [`render`] writes records as texts by name: the same records give the same bytes. [`take`] reads them back once the
//! one reader of gym folders has found no fault. [`disk`] puts texts into a new folder, all or nothing.

mod disk;
mod render;
mod roster;
mod tables;
mod take;

pub use disk::write_folder;
pub use render::session_file_name;
pub use roster::{RosterFile, read_roster};
