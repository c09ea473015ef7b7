//! Passwords: kept as argon2id, looked at a few at a time.
//!
//! Parameters are the second recommended option of RFC 9106, section 4: 64 MiB of memory, 3 passes, 4 lanes, a salt of
//! 16 bytes and 32 bytes of tag. Each look takes that memory and a good part of a second of one processor, so that only
//! a few run at once and the rest wait in a short line: logins cannot starve the service.

use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, OnceLock};

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use tokio::sync::Semaphore;

use super::{LoginRules, secrets};
use crate::AppError;

/// The fewest characters of a password.
pub const SHORTEST: usize = 12;
/// The most bytes of a password.
pub const LONGEST: usize = 1024;

/// Where passwords are looked at.
pub(in crate::service) struct Passwords {
    places: Arc<Semaphore>,
    waiting: AtomicU32,
    line: u32,
    /// What is looked at where there is no password, so that it takes as long as if there were.
    decoy: OnceLock<String>,
}

impl Passwords {
    pub(super) fn new(rules: &LoginRules) -> Passwords {
        Passwords {
            places: Arc::new(Semaphore::new(rules.hashes_at_once.max(1) as usize)),
            waiting: AtomicU32::new(0),
            line: rules.hashes_waiting,
            decoy: OnceLock::new(),
        }
    }

    /// What is kept of a password: a PHC string.
    pub(in crate::service) async fn keep(&self, password: &str) -> Result<String, AppError> {
        let password = password.to_owned();
        self.run(move || hash(&password)).await?
    }

    /// Whether a password is the one of which `kept` is kept; false, and as late, where nothing is.
    pub(super) async fn is(&self, password: &str, kept: Option<&str>) -> Result<bool, AppError> {
        let real = kept.is_some();
        let against = match (kept, self.decoy.get()) {
            (Some(kept), _) => kept.to_owned(),
            (None, Some(decoy)) => decoy.clone(),
            (None, None) => {
                let decoy = self.keep(&secrets::secret()?).await?;
                self.decoy.get_or_init(|| decoy).clone()
            }
        };
        let password = password.to_owned();
        let matches = self
            .run(move || {
                let parsed = PasswordHash::new(&against).map_err(|error| {
                    AppError::Fault(format!("a password is kept in a way that nobody reads: {error}"))
                })?;
                Ok::<bool, AppError>(Argon2::default().verify_password(password.as_bytes(), &parsed).is_ok())
            })
            .await??;
        Ok(matches && real)
    }

    async fn run<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T, AppError> {
        let _waiting = Waiting::new(&self.waiting);
        if self.waiting.load(Ordering::Relaxed) > self.line {
            return Err(AppError::Overloaded { retry_after_s: 2 });
        }
        let place = Arc::clone(&self.places).acquire_owned().await;
        let place = place.map_err(|_| AppError::Fault("the places for passwords were closed".into()))?;
        let done = tokio::task::spawn_blocking(move || {
            let _place = place;
            work()
        });
        done.await.map_err(|error| AppError::Fault(format!("a look at a password broke off: {error}")))
    }
}

/// An error unless it will do as a password.
pub(in crate::service) fn check(password: &str, login: &str) -> Result<(), AppError> {
    let problem = if password.chars().count() < SHORTEST {
        format!("has to have {SHORTEST} characters at least: several words are easy to keep in mind")
    } else if password.len() > LONGEST {
        format!("has to have {LONGEST} bytes at most")
    } else if password.to_lowercase().contains(&login.to_lowercase()) && login.chars().count() > 3 {
        "holds the name that one logs in with: choose another".to_owned()
    } else {
        return Ok(());
    };
    Err(AppError::input("password", problem))
}

fn hash(password: &str) -> Result<String, AppError> {
    let fault = |error: &dyn std::fmt::Display| AppError::Fault(format!("a password cannot be kept: {error}"));
    let params = Params::new(64 * 1024, 3, 4, Some(32)).map_err(|error| fault(&error))?;
    let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    let kept: argon2::password_hash::phc::PasswordHash =
        argon2.hash_password(password.as_bytes()).map_err(|error| fault(&error))?;
    Ok(kept.to_string())
}

/// Somebody in the line; leaves it when dropped.
struct Waiting<'a>(&'a AtomicU32);

impl<'a> Waiting<'a> {
    fn new(count: &'a AtomicU32) -> Self {
        count.fetch_add(1, Ordering::Relaxed);
        Waiting(count)
    }
}

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_password_is_known_again_and_nothing_is_known_of_nobody() {
        let passwords = Passwords::new(&LoginRules::default());
        let kept = passwords.keep("eight grey ponies").await.unwrap();
        assert!(kept.starts_with("$argon2id$v=19$m=65536,t=3,p=4$"), "{kept}");
        assert!(passwords.is("eight grey ponies", Some(&kept)).await.unwrap());
        assert!(!passwords.is("eight grey pony", Some(&kept)).await.unwrap());
        assert!(!passwords.is("eight grey ponies", None).await.unwrap());
        assert!(matches!(passwords.is("x", Some("plain")).await, Err(AppError::Fault(_))));
    }

    #[tokio::test]
    async fn a_long_line_is_told_to_come_back() {
        let rules = LoginRules { hashes_at_once: 1, hashes_waiting: 2, ..LoginRules::default() };
        let passwords = Passwords::new(&rules);
        let looks = futures_of(&passwords, 6).await;
        assert!(looks.iter().any(|look| matches!(look, Err(AppError::Overloaded { .. }))));
        assert!(looks.iter().any(Result::is_ok));
    }

    async fn futures_of(passwords: &Passwords, many: usize) -> Vec<Result<String, AppError>> {
        let mut looks = tokio::task::JoinSet::new();
        let passwords = Arc::new(Passwords {
            places: Arc::clone(&passwords.places),
            waiting: AtomicU32::new(0),
            line: passwords.line,
            decoy: OnceLock::new(),
        });
        for _ in 0..many {
            let passwords = Arc::clone(&passwords);
            looks.spawn(async move { passwords.keep("eight grey ponies").await });
        }
        looks.join_all().await
    }

    #[test]
    fn a_short_password_and_one_with_the_login_are_refused() {
        assert!(check("eight grey ponies", "ama").is_ok());
        assert!(check("eleven-char", "ama").is_err());
        assert!(check("my amatide word", "amatide").is_err());
        assert!(check(&"x".repeat(LONGEST + 1), "ama").is_err());
    }
}
