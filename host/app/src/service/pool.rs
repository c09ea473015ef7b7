//! A bounded number of places for work that calls policies.
//!
//! A gym gets all places but one, so that a gym whose policies are slow leaves one to the others; within a gym it is
//! first come, first served. Waiting is bounded too, in number and in time: whoever is beyond that is told when to come
//! back. Work that has begun keeps its place until it ends, even where nobody waits for it any more.

use std::collections::HashMap;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use tokio::sync::Semaphore;

use super::{PoolState, ServiceOptions};
use crate::AppError;

/// The places.
pub(super) struct GuestPool {
    places: Arc<Semaphore>,
    count: u32,
    a_gym: usize,
    line: u32,
    longest_wait: Duration,
    gyms: Mutex<HashMap<String, Arc<Line>>>,
    /// How long work took of late, milliseconds.
    usual_ms: Arc<AtomicU64>,
}

/// Those of one gym.
struct Line {
    places: Arc<Semaphore>,
    waiting: AtomicU32,
}

impl Line {
    fn in_line(&self) -> u32 {
        self.waiting.load(Ordering::Relaxed)
    }
}

impl GuestPool {
    pub(super) fn new(options: &ServiceOptions) -> GuestPool {
        let count = options.guest_calls_at_once.max(1);
        GuestPool {
            places: Arc::new(Semaphore::new(count as usize)),
            count,
            a_gym: (count as usize - 1).max(1),
            line: options.waiting_line,
            longest_wait: options.longest_wait,
            gyms: Mutex::default(),
            usual_ms: Arc::new(AtomicU64::new(1000)),
        }
    }

    pub(super) async fn run<T: Send + 'static>(
        &self,
        gym: &str,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, AppError> {
        let line = self.line_of(gym);
        let free =
            Arc::clone(&line.places).try_acquire_owned().ok().zip(Arc::clone(&self.places).try_acquire_owned().ok());
        let places = match free {
            Some(places) => places,
            None => self.wait(&line).await?,
        };
        let usual = Arc::clone(&self.usual_ms);
        let done = tokio::task::spawn_blocking(move || {
            let _places = places;
            let started = Instant::now();
            let value = work();
            let took = started.elapsed().as_millis() as u64;
            usual.store((3 * usual.load(Ordering::Relaxed) + took) / 4, Ordering::Relaxed);
            value
        });
        done.await.map_err(|error| AppError::Fault(format!("the work broke off: {}", words(error))))
    }

    /// How full it is.
    pub(super) fn state(&self) -> PoolState {
        let waiting =
            self.gyms.lock().unwrap_or_else(PoisonError::into_inner).values().map(|line| line.in_line()).sum();
        let running = self.count - (self.places.available_permits() as u32).min(self.count);
        PoolState { places: self.count, running, waiting, full: running == self.count && waiting >= self.line }
    }

    async fn wait(&self, line: &Arc<Line>) -> Result<Places, AppError> {
        let before = line.waiting.fetch_add(1, Ordering::Relaxed);
        let _waiting = Waiting(Arc::clone(line));
        let overloaded = || {
            let ahead = u64::from(before) + 1;
            let wait_ms = self.usual_ms.load(Ordering::Relaxed) * ahead / u64::from(self.count);
            AppError::Overloaded { retry_after_s: (wait_ms.div_ceil(1000)).clamp(1, 60) as u32 }
        };
        if before >= self.line {
            return Err(overloaded());
        }
        let both = async {
            let own = Arc::clone(&line.places).acquire_owned().await.ok()?;
            Some((own, Arc::clone(&self.places).acquire_owned().await.ok()?))
        };
        tokio::time::timeout(self.longest_wait, both).await.ok().flatten().ok_or_else(overloaded)
    }

    /// The line of a gym. Lines in which nobody is are forgotten.
    fn line_of(&self, gym: &str) -> Arc<Line> {
        let mut gyms = self.gyms.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(line) = gyms.get(gym) {
            return Arc::clone(line);
        }
        gyms.retain(|_, line| Arc::strong_count(line) > 1 || line.places.available_permits() < self.a_gym);
        let line = Arc::new(Line { places: Arc::new(Semaphore::new(self.a_gym)), waiting: AtomicU32::new(0) });
        gyms.insert(gym.to_owned(), Arc::clone(&line));
        line
    }
}

type Places = (tokio::sync::OwnedSemaphorePermit, tokio::sync::OwnedSemaphorePermit);

/// Somebody in the line; leaves it when dropped.
struct Waiting(Arc<Line>);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.waiting.fetch_sub(1, Ordering::Relaxed);
    }
}

/// What a panic said.
fn words(error: tokio::task::JoinError) -> String {
    match error.try_into_panic() {
        Ok(said) => match said.downcast::<String>() {
            Ok(text) => *text,
            Err(said) => said.downcast_ref::<&str>().map_or_else(|| "a panic".into(), |text| (*text).to_owned()),
        },
        Err(error) => error.to_string(),
    }
}
