//! The trade: what a coach's words mean, without a file, clock, random source, database or policy in sight.
//!
//! Everything here is a plain value or a pure function. Names of things the gym owns (movements, kit) are ids in
//! [`MovementLibrary`]; inside a plan they travel as positions in it ([`MovementIx`], [`KitIx`]).
//!
//! ```
//! use classwright_training::{Mass, Unit};
//! assert_eq!(Mass::from_kg(62.5).to_string(), "62.5 kg");
//! assert_eq!(Unit::Pounds.to_mass(10_000).grams(), 45_359); // 100 lb, to the nearest gram
//! ```
//!
//! Read next: [`session`] for what was written, [`card`] for what one athlete does, [`floor`] for who is where when.

pub mod athlete;
pub mod card;
pub mod floor;
pub mod formulas;
pub mod kit;
pub mod library;
pub mod notation;
pub mod plates;
pub mod session;
pub mod time;
pub mod units;

pub use athlete::{Athlete, AthleteIx, Best, Limitation, Place, Severity, Side};
pub use card::{Card, Load, Piece};
pub use kit::{Bar, BarType, Kit, PlateStock, Stock};
pub use library::{KitIx, LoadKind, Movement, MovementIx, MovementLibrary, Need, Pace, Region, Sides};
pub use session::{Amount, Measure, Part, PartKind, Scheme, Session};
pub use units::{Mass, Unit};
