//! The one call that Rust cannot check: taking compiled code from a file as it stands.

#![expect(unsafe_code, reason = "compiled code is only as good as the file that it comes from")]

use wasmtime::Engine;
use wasmtime::component::Component;

/// Takes code that this host compiled earlier. The caller has checked that the file is in a directory which only the
/// owner may write to, that its checksum fits, and that it was written for this engine and this component.
pub(crate) fn compiled(engine: &Engine, code: &[u8]) -> Option<Component> {
    // SAFETY: `code` came from `Component::serialize` of an engine with the same fingerprint; see the caller's duties
    // above. Wasmtime checks its own version and settings once more.
    unsafe { Component::deserialize(engine, code) }.ok()
}
