//! The clock that stops policies, and the gate that bounds how many run at once.
//!
//! A thread raises the engine's epoch every 10 ms while calls are running, and for a second after the last one, so that
//! a run of calls does not wake it each time. It starts with the first call and ends when the ticker is dropped.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

use wasmtime::Engine;

/// Length of an epoch.
pub(crate) const TICK: Duration = Duration::from_millis(10);
/// Ticks without a call after which the thread sleeps.
const IDLE_TICKS: u32 = 100;

pub(crate) struct Ticker {
    shared: Arc<Shared>,
    engine: Engine,
    most: u32,
}

#[derive(Default)]
struct Shared {
    state: Mutex<State>,
    /// Wakes the thread.
    work: Condvar,
    /// Wakes a call that waits for a place.
    place: Condvar,
}

#[derive(Default)]
struct State {
    running: u32,
    asleep: bool,
    stop: bool,
    thread: Option<JoinHandle<()>>,
}

/// A call that is running; ends when dropped.
pub(crate) struct Running<'a>(&'a Shared);

impl Ticker {
    /// For at most so many calls at once.
    pub(crate) fn new(engine: &Engine, most: u32) -> Self {
        Ticker { shared: Arc::default(), engine: engine.clone(), most: most.max(1) }
    }

    /// Waits for a place, and keeps the clock running until the guard is dropped.
    pub(crate) fn start(&self) -> Running<'_> {
        let mut state = self.shared.lock();
        while state.running >= self.most {
            state = self.shared.place.wait(state).unwrap_or_else(PoisonError::into_inner);
        }
        state.running += 1;
        if state.asleep {
            state.asleep = false;
            self.shared.work.notify_one();
        }
        if state.thread.is_none() {
            let (shared, engine) = (Arc::clone(&self.shared), self.engine.clone());
            state.thread = Some(std::thread::spawn(move || shared.tick(&engine)));
        }
        Running(&self.shared)
    }

    /// Epochs that last at least so long.
    pub(crate) fn epochs(wall: Duration) -> u64 {
        let ticks = wall.as_millis().div_ceil(TICK.as_millis());
        // The first tick may come at once.
        u64::try_from(ticks).map_or(u64::MAX / 2, |ticks| ticks.min(u64::MAX / 2) + 1)
    }
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn tick(&self, engine: &Engine) {
        let mut idle = 0;
        let mut state = self.lock();
        while !state.stop {
            if idle >= IDLE_TICKS {
                state.asleep = true;
                state = self.work.wait(state).unwrap_or_else(PoisonError::into_inner);
                state.asleep = false;
                idle = 0;
                continue;
            }
            state = self.work.wait_timeout(state, TICK).unwrap_or_else(PoisonError::into_inner).0;
            engine.increment_epoch();
            idle = if state.running == 0 { idle + 1 } else { 0 };
        }
    }
}

impl Drop for Running<'_> {
    fn drop(&mut self) {
        self.0.lock().running -= 1;
        self.0.place.notify_one();
    }
}

impl Drop for Ticker {
    fn drop(&mut self) {
        let thread = {
            let mut state = self.shared.lock();
            state.stop = true;
            state.thread.take()
        };
        self.shared.work.notify_all();
        if let Some(thread) = thread {
            // It holds nothing that could be lost, so that a panic of it is of no interest here.
            let _ = thread.join();
        }
    }
}
