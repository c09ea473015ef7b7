//! For people who write policies: build a component from a Rust crate, and run its cases in the real host.
//!
//! [`build()`] leaves the component beside its source, with a record of what it was built from, so that a checkout
//! can be run without a WebAssembly toolchain and a test can tell a stale component. [`run_cases()`] asks the component
//! every case of a folder, in the sandbox and under the limits that a gym would use.

pub mod build;
pub mod cases;
pub mod source;
pub mod toolchain;

pub use build::{BuildError, Built, Fresh, Record, build, fresh};
pub use cases::{CasesError, run_cases};
pub use source::{SourceError, source_digest};
pub use toolchain::Toolchain;
