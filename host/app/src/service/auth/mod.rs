//! Who somebody is: by a password, by what a login left behind, or by a token.
//!
//! Whether there is such a user, whether the password was wrong, or whether nobody's password is looked at for a while
//! is never told apart: the same words, after the same time. Wrong passwords are counted in the data, so that all hosts
//! know of them.
//!
//! Who a login or a token stands for is asked of the data at most once a second, and again as soon as this host hears
//! of a change: whoever is kept out, or whose token is taken back, is out at once on the host where it was done, and
//! within a second on every other.

pub(super) mod passwords;
mod scope;
pub(super) mod secrets;

use std::sync::Arc;
use std::time::Duration;

use classwright_store::db::users::{self, User};
use classwright_store::db::{Db, digest, logins, now_ms, tokens};
use moka::sync::Cache;
use serde_json::json;
use tokio::sync::watch;
use tokio::time::{Instant, sleep_until};

use super::{Role, Service, Who};
use crate::AppError;
use passwords::Passwords;

pub use passwords::{LONGEST, SHORTEST};
pub use scope::Scope;
pub use secrets::same;

/// How long a wrong login takes at least, whatever was wrong about it.
const REFUSAL_TAKES: Duration = Duration::from_millis(500);

/// How logging in is held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoginRules {
    /// After so many wrong passwords in a row, none is looked at for a while.
    pub wrong_passwords: u32,
    /// For how long.
    pub lock: Duration,
    /// How long a login holds.
    pub login_holds: Duration,
    /// How long a link that works once works.
    pub link_works: Duration,
    /// The longest that a token may work.
    pub longest_token: Duration,
    /// How many passwords are looked at at once.
    pub hashes_at_once: u32,
    /// How many may wait for that.
    pub hashes_waiting: u32,
}

impl Default for LoginRules {
    /// 10 wrong passwords lock for 15 min; a login holds a week, a link 24 h, a token a year; 2 looks, 32 waiting.
    fn default() -> Self {
        LoginRules {
            wrong_passwords: 10,
            lock: Duration::from_secs(15 * 60),
            login_holds: Duration::from_secs(7 * 24 * 3600),
            link_works: Duration::from_secs(24 * 3600),
            longest_token: Duration::from_secs(366 * 24 * 3600),
            hashes_at_once: 2,
            hashes_waiting: 32,
        }
    }
}

/// Somebody who is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// Who.
    pub who: Who,
    /// What they are called.
    pub name: String,
    /// How they are known.
    pub by: By,
    /// Until when, in milliseconds since 1970.
    pub expires_at: i64,
}

/// How somebody is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum By {
    /// By a login.
    Login {
        /// What a call that changes something sends along.
        csrf: String,
    },
    /// By a token.
    Token {
        /// What it may be used for.
        scopes: Vec<Scope>,
    },
}

/// What a login leaves with whoever logged in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoggedIn {
    /// Shown to them alone; only its digest is kept.
    pub secret: String,
    /// Who they are.
    pub known: Known,
}

/// What is needed to know people.
pub(super) struct Gate {
    pub(super) passwords: Passwords,
    pub(super) rules: LoginRules,
    /// By the number of changes heard of, the gym and the digest: a change makes all that was known before unknown.
    known: Cache<(u64, String, String), Arc<Known>>,
    changes: watch::Receiver<u64>,
}

impl Gate {
    pub(super) fn new(db: &Db, rules: LoginRules) -> Gate {
        let known = Cache::builder().max_capacity(10_000).time_to_live(Duration::from_secs(1)).build();
        Gate { passwords: Passwords::new(&rules), rules, known, changes: db.changes() }
    }
}

impl Service {
    /// Logs somebody in; `None` where that name and that password do not belong together, or nobody looks at the moment.
    pub async fn log_in(&self, gym: &str, login: &str, password: &str) -> Result<Option<LoggedIn>, AppError> {
        let began = Instant::now();
        let user = match self.password_fits(gym, &tidy_login(login), password).await? {
            Some(user) => self.make_login(gym, &user).await?,
            None => None,
        };
        if user.is_none() {
            sleep_until(began + REFUSAL_TAKES).await;
        }
        Ok(user)
    }

    /// Ends the login of a secret.
    pub async fn log_out(&self, gym: &str, who: &Who, secret: &str) -> Result<(), AppError> {
        let mut w = self.db().write(gym, &who.id).await?;
        logins::end(&mut w, &digest(secret)).await?;
        Ok(w.commit().await?)
    }

    /// Who is logged in with a secret.
    pub async fn known_by_login(&self, gym: &str, secret: &str) -> Result<Option<Arc<Known>>, AppError> {
        let digest = digest(secret);
        self.known(gym, &digest, async |now| {
            let mut conn = self.db().read().await?;
            let Some(login) = logins::find(&mut conn, gym, &digest, now).await? else { return Ok(None) };
            let by = By::Login { csrf: login.csrf };
            Ok(Some(Known { who: who(gym, &login.user)?, name: login.user.name, by, expires_at: login.expires_at }))
        })
        .await
    }

    /// For whom a token stands.
    pub async fn known_by_token(&self, gym: &str, secret: &str) -> Result<Option<Arc<Known>>, AppError> {
        let digest = digest(secret);
        self.known(gym, &digest, async |now| {
            let mut conn = self.db().read().await?;
            let Some((token, user)) = tokens::find(&mut conn, gym, &digest, now).await? else { return Ok(None) };
            let scopes = token.scopes.iter().filter_map(|scope| Scope::read(scope)).collect();
            let by = By::Token { scopes };
            Ok(Some(Known { who: who(gym, &user)?, name: user.name, by, expires_at: token.expires_at }))
        })
        .await
    }

    async fn known(
        &self,
        gym: &str,
        digest: &str,
        find: impl AsyncFnOnce(i64) -> Result<Option<Known>, AppError>,
    ) -> Result<Option<Arc<Known>>, AppError> {
        let gate = self.gate();
        let key = (*gate.changes.borrow(), gym.to_owned(), digest.to_owned());
        let now = now_ms();
        if let Some(known) = gate.known.get(&key) {
            return Ok((known.expires_at > now).then_some(known));
        }
        let found = find(now).await?.map(Arc::new);
        if let Some(known) = &found {
            gate.known.insert(key, Arc::clone(known));
        }
        Ok(found)
    }

    /// The user whose login and password these are. Takes the same work whether or not there is such a user.
    pub(super) async fn password_fits(&self, gym: &str, login: &str, password: &str) -> Result<Option<User>, AppError> {
        let gate = self.gate();
        let user = {
            let mut conn = self.db().read().await?;
            users::by_login(&mut conn, gym, login).await?
        };
        let kept = user.as_ref().and_then(|user| user.password.as_deref());
        let fits = password.len() <= LONGEST && gate.passwords.is(password, kept).await?;
        let Some(user) = user.filter(|user| !user.disabled) else { return Ok(None) };
        let locked = |user: &User| user.locked_until.is_some_and(|until| until > now_ms());
        if locked(&user) {
            return Ok(None);
        }
        if fits {
            return Ok(Some(user));
        }
        let mut w = self.db().write(gym, &user.user).await?;
        if !locked(&users::get(w.conn(), gym, &user.user).await?) {
            let (most, lock) = (i64::from(gate.rules.wrong_passwords), gate.rules.lock.as_millis() as i64);
            users::wrong_password(&mut w, &user.user, most, lock).await?;
        }
        w.commit().await?;
        Ok(None)
    }

    /// Makes a login for a user whose password was right, unless something has come in between.
    pub(super) async fn make_login(&self, gym: &str, user: &User) -> Result<Option<LoggedIn>, AppError> {
        let (secret, csrf) = (secrets::secret()?, secrets::secret()?);
        let mut w = self.db().write(gym, &user.user).await?;
        let now = users::get(w.conn(), gym, &user.user).await?;
        if now.disabled || now.password != user.password || now.locked_until.is_some_and(|until| until > w.at()) {
            return Ok(None);
        }
        users::right_password(&mut w, &user.user).await?;
        let expires_at = w.at() + self.gate().rules.login_holds.as_millis() as i64;
        let new = logins::NewLogin { digest: &digest(&secret), user: &user.user, csrf: &csrf, expires_at };
        logins::make(&mut w, &new).await?;
        w.note("user.logged-in", &format!("user:{}", user.user), json!({})).await?;
        w.commit().await?;
        let known = Known { who: who(gym, &now)?, name: now.name, by: By::Login { csrf }, expires_at };
        Ok(Some(LoggedIn { secret, known }))
    }
}

/// What somebody logs in with, as it is kept: without blanks around it, in small letters.
pub(super) fn tidy_login(login: &str) -> String {
    login.trim().to_lowercase()
}

fn who(gym: &str, user: &User) -> Result<Who, AppError> {
    let role = Role::read(&user.role)
        .ok_or_else(|| AppError::Fault(format!("user `{}` has the role `{}`", user.user, user.role)))?;
    Ok(Who { gym: gym.to_owned(), id: user.user.clone(), role, athlete: user.athlete.clone() })
}
