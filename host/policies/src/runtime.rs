//! Where policies are loaded: one engine, one pool, one cache for the whole process.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use classwright_training::MovementLibrary;
use sha2::{Digest, Sha256};
use wasmtime::component::{Component, Linker};
use wasmtime::{Engine, Error};

use crate::cache::Cache;
use crate::inspection::{Inspection, wanted};
use crate::policy::{CallState, Policy};
use crate::ticker::Ticker;
use crate::v1::library::Tables;
use crate::{FailureKind, PolicyFailure, engine, trusted, v1};

/// How the runtime is set up, for the life of a process.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuntimeOptions {
    /// Where compiled components are kept; `None` compiles at each load.
    pub cache_dir: Option<PathBuf>,
    /// The most memory that a call's [`crate::Limits`] can give.
    pub memory_bytes: u64,
    /// The most elements of one table.
    pub table_elements: u64,
    /// Calls that run at once; further ones wait for a place.
    pub calls_at_once: u32,
    /// Longest component that is taken.
    pub component_bytes: u64,
}

impl Default for RuntimeOptions {
    /// No cache, 64 MiB of memory, 10,000 table elements, 4 calls at once, components of up to 64 MiB.
    fn default() -> Self {
        RuntimeOptions {
            cache_dir: None,
            memory_bytes: 64 << 20,
            table_elements: 10_000,
            calls_at_once: 4,
            component_bytes: 64 << 20,
        }
    }
}

/// The runtime cannot be set up on this machine.
#[derive(Debug, thiserror::Error)]
#[error("the policy runtime cannot start: {0}")]
pub struct RuntimeError(String);

/// Loads policies. Cheap to clone; every policy loaded keeps what it needs of it alive.
#[derive(Clone)]
pub struct Runtime {
    shared: Arc<Shared>,
}

/// What policies share.
pub(crate) struct Shared {
    pub(crate) engine: Engine,
    pub(crate) linker: Linker<CallState>,
    pub(crate) ticker: Ticker,
    options: RuntimeOptions,
    cache: Option<Cache>,
    tables: Mutex<Option<Arc<Tables>>>,
}

impl Runtime {
    /// Sets up the engine and its pool. Nothing is compiled and no thread started yet.
    pub fn new(options: RuntimeOptions) -> Result<Self, RuntimeError> {
        let failed = |error: Error| RuntimeError(format!("{error:#}"));
        let engine = engine::engine(&options).map_err(failed)?;
        let linker = v1::library::linker(&engine).map_err(failed)?;
        let ticker = Ticker::new(&engine, options.calls_at_once);
        let cache = options.cache_dir.as_ref().map(|dir| Cache::new(dir, engine::fingerprint(&engine)));
        let shared = Shared { engine, linker, ticker, options, cache, tables: Mutex::default() };
        Ok(Runtime { shared: Arc::new(shared) })
    }

    /// Takes a component, or says why not. Nothing of it runs yet.
    pub fn load(&self, bytes: &[u8]) -> Result<Policy, PolicyFailure> {
        let digest = hex(&Sha256::digest(bytes));
        let failure = |kind| PolicyFailure {
            policy: short(&digest),
            version: String::new(),
            digest: digest.clone(),
            call: "load",
            kind,
        };
        let shared = &self.shared;
        let component = shared.component(&digest, bytes).map_err(failure)?;
        let ty = component.component_type();
        let imports = ty.imports(&shared.engine).map(|(name, _)| name.to_string()).collect();
        let exports = ty.exports(&shared.engine).map(|(name, _)| name.to_string()).collect();
        let inspection = Inspection::new(digest.clone(), bytes.len() as u64, imports, exports).map_err(failure)?;
        Policy::new(Arc::clone(shared), component, inspection).map_err(failure)
    }
}

impl Shared {
    /// From the cache, or compiled now and kept.
    fn component(&self, digest: &str, bytes: &[u8]) -> Result<Component, FailureKind> {
        let limit = self.options.component_bytes;
        if bytes.len() as u64 > limit {
            let wanted = format!("a component of {} bytes", bytes.len());
            return Err(FailureKind::Memory { wanted, limit: format!("{limit} bytes") });
        }
        let kept = self.cache.as_ref().and_then(|cache| cache.code(digest));
        if let Some(component) = kept.and_then(|code| trusted::compiled(&self.engine, &code)) {
            return Ok(component);
        }
        let component = Component::from_binary(&self.engine, bytes).map_err(|error| self.unreadable(bytes, &error))?;
        if let (Some(cache), Ok(code)) = (&self.cache, component.serialize()) {
            cache.keep(digest, &code);
        }
        Ok(component)
    }

    /// Why bytes are no component that the host can take.
    fn unreadable(&self, bytes: &[u8], error: &Error) -> FailureKind {
        // The preamble of the binary format: `\0asm`, a version, and a layer: 0 for a module, 1 for a component.
        let found = match bytes {
            [0, b'a', b's', b'm', _, _, 0, 0, ..] => "a core WebAssembly module and not a component".to_string(),
            [0, b'a', b's', b'm', ..] => {
                let why = format!("{error:#}");
                // The pool's words where a component is larger than its slots.
                if why.contains("which exceeds the") {
                    let limit = format!("{} bytes of memory", self.options.memory_bytes);
                    return FailureKind::Memory { wanted: format!("more than a call can have ({why})"), limit };
                }
                format!("a component that cannot be compiled ({why})")
            }
            _ => "not a WebAssembly component".into(),
        };
        FailureKind::Incompatible { found, wanted: wanted() }
    }

    /// The library in the contract's shape, made once for each library.
    pub(crate) fn tables(&self, library: &Arc<MovementLibrary>) -> Arc<Tables> {
        let mut tables = self.tables.lock().unwrap_or_else(PoisonError::into_inner);
        match &*tables {
            Some(made) if made.is_of(library) => Arc::clone(made),
            _ => Arc::clone(tables.insert(Arc::new(Tables::new(library)))),
        }
    }
}

/// How a policy is called that has not said its name yet.
pub(crate) fn short(digest: &str) -> String {
    format!("sha256:{}", &digest[..12])
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
