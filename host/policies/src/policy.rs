//! A loaded policy, and how it is called: a fresh instance for every call, within limits, and never twice.

use std::sync::{Arc, OnceLock};
use std::time::Instant;

use classwright_training::MovementLibrary;
use classwright_training::floor::{Floor, HeatsAnswer};
use wasmtime::component::{Component, Instance, InstancePre};
use wasmtime::{Error, ResourceLimiter, Store, Trap};

use crate::inspection::wanted;
use crate::runtime::Shared;
use crate::ticker::Ticker;
use crate::v1::library::{Misuse, Tables};
use crate::{CardAnswer, CardQuestion, Description, FailureKind, Inspection, Limits, PolicyFailure, Usage, v1};

/// Last words are kept up to this length.
const WORDS_BYTES: usize = 4096;

/// A policy that the host has taken. Cheap to clone, and can be called from several threads at once.
#[derive(Clone)]
pub struct Policy {
    inner: Arc<Inner>,
}

struct Inner {
    shared: Arc<Shared>,
    inspection: Inspection,
    instances: InstancePre<CallState>,
    exports: v1::Exports,
    /// Name and version, once it has said them.
    named: OnceLock<(String, String)>,
}

impl Policy {
    pub(crate) fn new(shared: Arc<Shared>, component: Component, inspection: Inspection) -> Result<Self, FailureKind> {
        let other_type = |error: Error| FailureKind::Incompatible {
            found: format!("a component whose types are not the contract's ({error:#})"),
            wanted: wanted(),
        };
        let exports = v1::Exports::find(&component, &inspection).map_err(other_type)?;
        let instances = shared.linker.instantiate_pre(&component).map_err(other_type)?;
        let inner = Inner { shared, inspection, instances, exports, named: OnceLock::new() };
        Ok(Policy { inner: Arc::new(inner) })
    }

    /// What can be said of it without running it.
    pub fn inspection(&self) -> &Inspection {
        &self.inner.inspection
    }

    /// What it says of itself.
    pub fn describe(&self, limits: &Limits) -> Result<Description, PolicyFailure> {
        let call = "describe";
        let (answer, _) = self.run(call, None, limits, |store, at| self.inner.exports.describe(store, at))?;
        let description =
            v1::description(answer, &self.inner.inspection.kinds).map_err(|kind| self.failure(call, kind))?;
        self.inner.named.get_or_init(|| (description.name.clone(), description.version.clone()));
        Ok(description)
    }

    /// What each person can do of what was written.
    pub fn scale(
        &self,
        question: &CardQuestion<'_>,
        library: &Arc<MovementLibrary>,
        limits: &Limits,
    ) -> Result<(CardAnswer, Usage), PolicyFailure> {
        self.cards("scale", question, library, limits)
    }

    /// What to do where the kit is missing.
    pub fn substitute(
        &self,
        question: &CardQuestion<'_>,
        library: &Arc<MovementLibrary>,
        limits: &Limits,
    ) -> Result<(CardAnswer, Usage), PolicyFailure> {
        self.cards("substitute", question, library, limits)
    }

    /// Who starts when, with which bar. More effort looks longer for a better plan.
    pub fn plan_heats(
        &self,
        floor: &Floor,
        settings: &str,
        effort: u64,
        limits: &Limits,
    ) -> Result<(HeatsAnswer, Usage), PolicyFailure> {
        let call = "plan-heats";
        let sent = v1::heats::Sent::new(floor);
        let question = sent.question(settings, effort);
        let asked = self.run(call, None, limits, |store, at| self.inner.exports.plan_heats(store, at, question));
        let (answer, usage) = asked?;
        let answer = v1::heats::answer(answer, floor).map_err(|kind| self.failure(call, kind))?;
        Ok((answer, usage))
    }

    fn cards(
        &self,
        call: &'static str,
        question: &CardQuestion<'_>,
        library: &Arc<MovementLibrary>,
        limits: &Limits,
    ) -> Result<(CardAnswer, Usage), PolicyFailure> {
        let tables = self.inner.shared.tables(library);
        let sent = v1::question::Sent::new(question);
        let asked = self.run(call, Some(tables), limits, |store, at| match call {
            "scale" => self.inner.exports.scale(store, at, sent.question()),
            _ => self.inner.exports.substitute(store, at, sent.question()),
        });
        let (answer, usage) = asked?;
        let answer = v1::answer::answer(answer, &sent, library).map_err(|kind| self.failure(call, kind))?;
        Ok((answer, usage))
    }

    /// Runs one call in an instance of its own.
    fn run<R>(
        &self,
        call: &'static str,
        library: Option<Arc<Tables>>,
        limits: &Limits,
        function: impl FnOnce(&mut Store<CallState>, &Instance) -> wasmtime::Result<R>,
    ) -> Result<(R, Usage), PolicyFailure> {
        let started = Instant::now();
        let shared = &self.inner.shared;
        let _running = shared.ticker.start();
        let mut store = Store::new(&shared.engine, CallState::new(library, limits));
        store.limiter(|state| &mut state.memory);
        store.set_epoch_deadline(Ticker::epochs(limits.wall));
        store.set_hostcall_fuel(usize::try_from(limits.answer_bytes).unwrap_or(usize::MAX));
        let result = store
            .set_fuel(limits.fuel)
            .and_then(|()| self.inner.instances.instantiate(&mut store))
            .and_then(|instance| function(&mut store, &instance));
        let value = result.map_err(|error| self.failure(call, kind(&error, &mut store, limits)))?;
        let usage = Usage {
            fuel: limits.fuel.saturating_sub(store.get_fuel().unwrap_or(0)),
            memory_bytes: store.data().memory.bytes,
            wall: started.elapsed(),
        };
        Ok((value, usage))
    }

    fn failure(&self, call: &'static str, kind: FailureKind) -> PolicyFailure {
        let digest = self.inner.inspection.digest.clone();
        let named = self.inner.named.get().cloned();
        let (policy, version) = named.unwrap_or_else(|| (crate::runtime::short(&digest), String::new()));
        PolicyFailure { policy, version, digest, call, kind }
    }
}

/// What a call ended with.
fn kind(error: &Error, store: &mut Store<CallState>, limits: &Limits) -> FailureKind {
    if let Some(Refused { wanted, limit }) = error.downcast_ref() {
        return FailureKind::Memory { wanted: wanted.clone(), limit: limit.clone() };
    }
    let stopped = match error.downcast_ref::<Trap>() {
        Some(Trap::OutOfFuel) => return FailureKind::OutOfFuel { fuel: limits.fuel },
        Some(Trap::Interrupt) => return FailureKind::PastDeadline { wall: limits.wall },
        Some(trap) => Some(trap.to_string()),
        None => error.downcast_ref::<Misuse>().map(Misuse::to_string),
    };
    match stopped {
        Some(trap) => FailureKind::Trapped { words: store.data_mut().last_words(), trap },
        // Wasmtime has no type for this one; a test holds its words.
        None if format!("{error:#}").contains("fuel allocated for hostcalls has been exhausted") => {
            let limit = format!("{} bytes", limits.answer_bytes);
            FailureKind::AnswerTooLarge { found: format!("more than {limit}"), limit }
        }
        None => FailureKind::AnswerMalformed { what: format!("{error:#}") },
    }
}

/// What the host keeps for one call.
pub(crate) struct CallState {
    /// Where the call may look movements up.
    pub(crate) library: Option<Arc<Tables>>,
    memory: MemoryLimit,
    words: String,
}

impl CallState {
    fn new(library: Option<Arc<Tables>>, limits: &Limits) -> Self {
        let memory = MemoryLimit {
            bytes: 0,
            bytes_limit: limits.memory_bytes,
            elements: 0,
            elements_limit: limits.table_elements,
        };
        CallState { library, memory, words: String::new() }
    }

    /// Keeps the end of what the policy says before it stops.
    pub(crate) fn hear(&mut self, text: &str) {
        self.words.push_str(&text[end(text)..]);
        self.words.drain(..end(&self.words));
    }

    fn last_words(&mut self) -> Option<String> {
        let words = std::mem::take(&mut self.words);
        let shown = words.replace(|c: char| c.is_control() && c != '\n', " ");
        (!shown.trim().is_empty()).then_some(shown)
    }
}

/// Where the last [`WORDS_BYTES`] of a text start.
fn end(text: &str) -> usize {
    let from = text.len().saturating_sub(WORDS_BYTES);
    (from..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len())
}

/// Counts what the instance has, all memories and tables together.
struct MemoryLimit {
    bytes: u64,
    bytes_limit: u64,
    elements: u64,
    elements_limit: u64,
}

/// The policy asked for more than it may have.
#[derive(Debug, thiserror::Error)]
#[error("asked for {wanted}, the limit is {limit}")]
struct Refused {
    wanted: String,
    limit: String,
}

impl ResourceLimiter for MemoryLimit {
    fn memory_growing(&mut self, current: usize, desired: usize, maximum: Option<usize>) -> wasmtime::Result<bool> {
        // Its own declared maximum is the policy's affair: growing past that fails, as it does anywhere.
        if maximum.is_some_and(|maximum| desired > maximum) && (desired as u64) <= self.bytes_limit {
            return Ok(false);
        }
        grow(&mut self.bytes, self.bytes_limit, desired.saturating_sub(current), "bytes of memory")
    }

    fn table_growing(&mut self, current: usize, desired: usize, maximum: Option<usize>) -> wasmtime::Result<bool> {
        if maximum.is_some_and(|maximum| desired > maximum) && (desired as u64) <= self.elements_limit {
            return Ok(false);
        }
        grow(&mut self.elements, self.elements_limit, desired.saturating_sub(current), "table elements")
    }
}

fn grow(held: &mut u64, limit: u64, more: usize, what: &str) -> wasmtime::Result<bool> {
    let wanted = held.saturating_add(more as u64);
    if wanted > limit {
        return Err(Refused { wanted: format!("{wanted} {what}"), limit: limit.to_string() }.into());
    }
    *held = wanted;
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn last_words_keep_their_end_and_whole_characters() {
        let mut state = CallState::new(None, &Limits::default());
        assert_eq!(state.last_words(), None);
        state.hear(&"ä".repeat(5000));
        state.hear("!");
        let words = state.last_words().unwrap();
        assert_eq!(words.len(), 4095);
        assert!(words.ends_with("ä!"));
        state.hear("a\u{7}b\nc");
        assert_eq!(state.last_words().unwrap(), "a b\nc");
    }
}
