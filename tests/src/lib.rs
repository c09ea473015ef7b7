//! What the tests across crates share: a small class, policies made from WebAssembly text, and answers laid out by
//! hand.
//!
//! [`Fixture`] is a class small enough to know by heart. [`component()`] turns a core module in text form into a policy;
//! [`Answer`] writes such a module around a fixed answer, so that a lie is a value. [`shelve`] puts a policy on a
//! shelf as the app does. Nothing here asserts anything about the product.

mod answer;
mod component;
mod fixture;
mod movements;
#[path = "../../host/store/tests/support/postgres.rs"]
pub mod postgres;
mod shelf;

pub use answer::{Answer, Change, NONE};
pub use component::{Build, component};
pub use fixture::{FREE, Fixture, HOME, LIMITED, items};
pub use movements::library;
pub use shelf::{runtime, shelve, told, undone};
