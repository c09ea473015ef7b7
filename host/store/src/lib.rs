//! What a gym owns, read from its folder.
//!
//! [`open`] reads a gym folder whole and answers with a [`Gym`] or with every fault it found, each with its file, line
//! and field. [`library()`] is the built-in movement library, to which a gym's folder may add.
//!
//! ```
//! let library = classwright_store::library();
//! let squat = library.named("back squats").expect("is built in");
//! assert_eq!(library.movement(squat).id, "back-squat");
//! ```
//!
//! It writes nothing, runs no policy and reads no session: sessions are handed over as paths, since their meaning is
//! the notation's.

pub mod db;
mod error;
mod file;
mod gym;
mod library;
pub mod record;

pub use error::FileError;
pub use gym::{ClassSheet, Gym, ShelfEntry, ShelfLimits, open};
pub use library::{PATTERNS, library, read_built_in};
