//! How often one may try. Each host counts for itself and forgets when it ends; what has to outlast that, the lock
//! after wrong passwords, is in the data.

use std::hash::Hash;
use std::net::IpAddr;
use std::num::NonZeroU32;
use std::sync::atomic::{AtomicU32, Ordering};

use classwright_app::service::Who;
use governor::clock::{Clock, DefaultClock};
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};

use crate::problem::{Kind, Problem};
use crate::settings::Settings;

/// What is counted.
pub(crate) struct Limits {
    tries_address: Limit<Option<IpAddr>>,
    tries_user: Limit<(String, String)>,
    strangers: Limit<Option<IpAddr>>,
    calls_user: Limit<(String, String)>,
}

impl Limits {
    pub(crate) fn new(settings: &Settings) -> Limits {
        let a_minute = |many: u32| Some(Quota::per_minute(NonZeroU32::new(many)?));
        let a_second = |many: u32, burst: u32| {
            Some(Quota::per_second(NonZeroU32::new(many)?).allow_burst(NonZeroU32::new(many.saturating_mul(burst))?))
        };
        Limits {
            tries_address: Limit::new(a_minute(settings.tries_address)),
            tries_user: Limit::new(a_minute(settings.tries_user)),
            strangers: Limit::new(a_second(settings.strangers, 5)),
            calls_user: Limit::new(a_second(settings.calls_user, 10)),
        }
    }

    /// Counts a try to log in as somebody, whether or not there is such a user.
    pub(crate) fn log_in(&self, from: Option<IpAddr>, gym: &str, login: &str) -> Result<(), Problem> {
        self.tries_address.count(alike(from))?;
        self.tries_user.count((gym.to_owned(), login.trim().to_lowercase()))
    }

    /// Counts a try with a link.
    pub(crate) fn link(&self, from: Option<IpAddr>) -> Result<(), Problem> {
        self.tries_address.count(alike(from))
    }

    /// Counts a call without a login, or with a wrong one.
    pub(crate) fn stranger(&self, from: Option<IpAddr>) -> Result<(), Problem> {
        self.strangers.count(alike(from))
    }

    /// Counts a call of a user.
    pub(crate) fn user(&self, who: &Who) -> Result<(), Problem> {
        self.calls_user.count((who.gym.clone(), who.id.clone()))
    }
}

/// Whoever has one IPv6 address has all that share its first half.
fn alike(address: Option<IpAddr>) -> Option<IpAddr> {
    address.map(|address| match address {
        IpAddr::V6(address) => IpAddr::V6((address.to_bits() & !u128::from(u64::MAX)).into()),
        address => address,
    })
}

struct Limit<K: Hash + Eq + Clone> {
    counts: Option<DefaultKeyedRateLimiter<K>>,
    clock: DefaultClock,
    since_swept: AtomicU32,
}

impl<K: Hash + Eq + Clone> Limit<K> {
    fn new(quota: Option<Quota>) -> Self {
        Limit { counts: quota.map(RateLimiter::keyed), clock: DefaultClock::default(), since_swept: AtomicU32::new(0) }
    }

    fn count(&self, key: K) -> Result<(), Problem> {
        let Some(counts) = &self.counts else { return Ok(()) };
        // Keys that nobody uses any more go now and then, so that they do not fill the memory.
        if self.since_swept.fetch_add(1, Ordering::Relaxed) >= 10_000 {
            self.since_swept.store(0, Ordering::Relaxed);
            counts.retain_recent();
        }
        counts.check_key(&key).map_err(|until| {
            let seconds = until.wait_time_from(self.clock.now()).as_secs_f64().ceil().max(1.0) as u32;
            Kind::TooMany
                .with(format!("too many calls in a short time: try again in {seconds} s"))
                .retry_after(seconds)
                .member("retry-after-s", seconds)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tries_are_counted_by_address_and_by_user() {
        let settings = Settings { tries_address: 5, tries_user: 2, ..Settings::default() };
        let limits = Limits::new(&settings);
        let from = |text: &str| Some(text.parse().unwrap());
        assert!(limits.log_in(from("9.9.9.1"), "hall", "ama").is_ok());
        assert!(limits.log_in(from("9.9.9.2"), "hall", " AMA").is_ok());
        let third = limits.log_in(from("9.9.9.3"), "hall", "ama").unwrap_err();
        assert_eq!(third.status(), 429);
        assert!(limits.log_in(from("9.9.9.3"), "yard", "ama").is_ok(), "of another gym");
        for n in 0..5 {
            assert!(limits.log_in(from("2001:db8::1"), "hall", &format!("user-{n}")).is_ok());
        }
        assert!(limits.log_in(from("2001:db8::2"), "hall", "user-6").is_err(), "the same network");
        assert!(limits.log_in(from("2001:db8:0:1::2"), "hall", "user-6").is_ok(), "another network");
    }

    #[test]
    fn nothing_is_counted_where_the_limit_is_nought() {
        let limits = Limits::new(&Settings { strangers: 0, ..Settings::default() });
        assert!((0..10_000).all(|_| limits.stranger(None).is_ok()));
    }
}
