//! Loads, limits and calls policy components.
//!
//! A policy is a WebAssembly component that somebody else wrote. This crate runs it with no clock, random source,
//! file or network, in a fresh instance for every call, within [`Limits`], and turns its answer into training's own
//! types. It promises that an answer is well shaped: indexes point at something, texts are bounded. Whether an answer
//! keeps the trade's rules is the planning crate's business.
//!
//! Whatever goes wrong with a policy is a [`PolicyFailure`] with a [`FailureKind`]; nothing a policy does panics,
//! hangs or exhausts the host. One private module, `v1`, knows the contract's version 1; nothing of it shows.
//!
//! Read next: [`Runtime`] to load a policy, [`Policy`] to call it, [`question`] for what is asked and answered.

mod cache;
mod engine;
mod failure;
mod inspection;
mod limits;
mod policy;
pub mod question;
mod runtime;
mod ticker;
mod trusted;
mod v1;

pub use failure::{FailureKind, PolicyFailure};
pub use inspection::{CONTRACT, Contract, Inspection};
pub use limits::{Limits, Usage};
pub use policy::Policy;
pub use question::{CardAnswer, CardChange, CardQuestion, Description, Kind, NewPiece, PartFacts, Reason};
pub use runtime::{Runtime, RuntimeError, RuntimeOptions};
