//! What a gym owns: read from its folder, or kept in a database ([`db`]).
//!
//! [`open`] reads a gym folder whole and answers with a [`Gym`] or with every fault it found, each with its file, line
//! and field; [`read_files`] does the same with the folder's files as texts. [`record`] has what a gym owns field by
//! field, as files, the API and the database have it alike: [`record::GymRecords::files`] is the way to a [`Gym`], so
//! that one reader judges all of them. [`library()`] is the built-in movement library, to which a gym may add.
//!
//! ```
//! let library = classwright_store::library();
//! let squat = library.named("back squats").expect("is built in");
//! assert_eq!(library.movement(squat).id, "back-squat");
//! ```
//!
//! It runs no policy and reads no session: sessions are handed over as paths or texts, since their meaning is the
//! notation's.

pub mod db;
mod error;
mod file;
mod folder;
mod gym;
mod library;
pub mod record;

pub use error::FileError;
pub use file::Files;
pub use folder::{RosterFile, read_roster, session_file_name, write_folder};
pub use gym::{ClassSheet, Gym, ShelfEntry, ShelfLimits, open, read_files};
pub use library::{PATTERNS, library, read_built_in};
