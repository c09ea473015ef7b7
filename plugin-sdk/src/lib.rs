//! All that a policy author needs in Rust.
//!
//! A policy is a type that implements [`Policy`] and one of [`Scaling`], [`Substitution`] and [`Heats`]; an export
//! macro makes a component of it. Its rules are plain Rust: they take a [`Class`] (or a heats question) and a
//! [`Library`], and run natively on a [`ListedLibrary`]. With the feature `cases`, tests read the same case files
//! that the kit runs against the built component. A component built on this crate imports the contract's `library`
//! and `last-words` and nothing else.
//!
//! ```
//! use classwright_sdk::{Answer, Changes, Class, Declined, Library, Policy, Scaling};
//!
//! struct HalfRange;
//!
//! impl Policy for HalfRange {
//!     const NAME: &'static str = "half-range";
//!     const VERSION: &'static str = "1.0.0";
//!     const LICENCE: &'static str = "MIT";
//!     const PURPOSE: &'static str = "Everybody moves through half the range.";
//!     type Settings = ();
//! }
//!
//! impl Scaling for HalfRange {
//!     fn scale(class: &Class<'_>, _: &dyn Library, _: &()) -> Result<Answer, Declined> {
//!         let mut changes = Changes::new();
//!         for piece in class.pieces() {
//!             changes.of(piece).range(50).because("half", "Half the range today.");
//!         }
//!         Ok(changes.into_answer())
//!     }
//! }
//!
//! classwright_sdk::export_scaling!(HalfRange);
//! ```

#[cfg(feature = "cases")]
pub mod cases;
pub mod catalogue;
pub mod changes;
pub mod class;
#[doc(hidden)]
pub mod export;
pub mod library;
pub mod listed;
pub mod policy;
pub mod wire;

pub use catalogue::{Catalogue, Known};
pub use changes::{Changes, Edit};
pub use class::{AthleteView, Class, PieceView, PlaceView};
pub use library::{HostLibrary, Library, Tables};
pub use listed::{ListedLibrary, ListedMovement};
pub use policy::{Declined, Heats, Policy, Scaling, Substitution};
pub use wire::common::classwright::policy::cards::{
    Answer, Athlete, Best, BodySide, Change, ClassFacts, KitRow, Limitation, Measure, Part, Piece, Question, Reason,
    Severity, Sides, Tag,
};

/// The heats question and answer.
pub mod heats {
    pub use crate::wire::heats::exports::classwright::policy::heats_rule::{
        Answer, Athlete, Bar, BarType, Bout, Claim, Layout, Loading, Pair, PlateStock, Question, StockRow, Taken,
    };
}

/// Stands for "no such thing" and, in a time, for "no limit".
pub const NONE: u32 = u32::MAX;
