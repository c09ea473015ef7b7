//! How a host is set up: from a TOML file, overruled by the environment.
//!
//! Every setting stands once in the table below, with its default and what it does; that reads it, checks that nothing
//! else stands in the file, and writes [`sample`], which is the documentation. A setting such as `host.body-limit-kib`
//! is `CLASSWRIGHT_HOST_BODY_LIMIT_KIB` in the environment; a list has commas there. All faults are told at once.

mod check;
mod kind;

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use classwright_app::service::ServiceOptions;
use classwright_app::service::auth::LoginRules;
use config::{Config, File, FileFormat, Value, ValueKind};

pub(crate) use check::{Network, host_of};
use kind::Kind;

macro_rules! settings {
    ($($(#[doc = $doc:literal])+ $name:ident: $type:ty = $default:expr, $key:literal;)+) => {
        /// Every setting of a host.
        #[derive(Clone, Debug, PartialEq, Eq)]
        pub struct Settings { $($(#[doc = $doc])+ pub $name: $type,)+ }

        impl Default for Settings {
            fn default() -> Self {
                Settings { $($name: $default,)+ }
            }
        }

        /// Every setting: its key, its default as TOML, what it does.
        fn table() -> Vec<Setting> {
            let default = Settings::default();
            vec![$(Setting { key: $key, default: default.$name.written(), about: &[$($doc),+] },)+]
        }

        /// Sets what is set; what cannot be read is told, and stays as it was.
        fn set(settings: &mut Settings, found: &Found, faults: &mut Vec<SettingFault>) {
            $(
                match found.of($key).map(<$type as Kind>::read) {
                    Some(Ok(value)) => settings.$name = value,
                    Some(Err(problem)) => faults.push(found.fault($key, problem)),
                    None => {}
                }
            )+
        }
    };
}

settings! {
    /// Address and port to listen on; port 0 takes any that is free.
    listen: String = "127.0.0.1:8080".into(), "host.listen";
    /// The gym's data: a SQLite file, or `postgres://…` for many hosts.
    data: String = "classwright.db".into(), "host.data";
    /// What people call the host by, such as `https://gym.example`, where that is not what it listens on: behind a
    /// proxy. With `https` a login's cookie is sent over TLS only.
    public_url: String = String::new(), "host.public-url";
    /// Addresses or networks (`10.0.0.0/8`) of proxies whose `X-Forwarded-For` is believed.
    trusted_proxies: Vec<String> = Vec::new(), "host.trusted-proxies";
    /// The largest body of a call, KiB; uploads of policies and gyms have limits of their own.
    body_limit_kib: u32 = 1024, "host.body-limit-kib";
    /// A call that is not answered after so many seconds is given up.
    answer_within_s: u32 = 120, "host.answer-within-s";
    /// When stopping, running calls get so many seconds to finish.
    stop_within_s: u32 = 30, "host.stop-within-s";
    /// TLS: a file with the certificate and those up to the root, PEM. Empty: no TLS.
    certificate: String = String::new(), "tls.certificate";
    /// TLS: the file with the certificate's key, PEM.
    key: String = String::new(), "tls.key";
    /// A folder for compiled policies, kept between runs. Empty: compiled anew at each start.
    policy_cache: String = String::new(), "policies.cache";
    /// Classes that are planned at once.
    plans_at_once: u32 = 4, "policies.at-once";
    /// How many of one gym may wait for that; further ones are told to come back.
    plans_waiting: u32 = 64, "policies.waiting";
    /// How many seconds one waits at most.
    plan_wait_s: u32 = 30, "policies.wait-s";
    /// After so many wrong passwords in a row, no password of that user is looked at for a while.
    wrong_passwords: u32 = 10, "logins.wrong-passwords";
    /// For how many minutes.
    lock_min: u32 = 15, "logins.lock-min";
    /// How many hours a login holds.
    login_h: u32 = 168, "logins.hold-h";
    /// How many hours a link that works once works.
    link_h: u32 = 24, "logins.link-h";
    /// The most days for which a token is made.
    token_days: u32 = 366, "logins.token-days";
    /// Passwords that are looked at at once: each takes 64 MiB while it is.
    hashes_at_once: u32 = 2, "logins.looks-at-once";
    /// How many may wait for that; further ones are told to come back.
    hashes_waiting: u32 = 32, "logins.looks-waiting";
    /// Tries to log in, or with a link, from one address in a minute. 0: as many as they like.
    tries_address: u32 = 60, "limits.tries-a-minute-address";
    /// Tries to log in as one user in a minute. 0: as many as they like.
    tries_user: u32 = 20, "limits.tries-a-minute-user";
    /// Calls without a login, or with a wrong one, from one address in a second. 0: as many as they like.
    strangers: u32 = 20, "limits.strangers-a-second";
    /// Calls of one user in a second, over all hosts' addresses; bursts may be ten times that. 0: as many as they like.
    calls_user: u32 = 50, "limits.calls-a-second-user";
    /// What is logged: `error`, `warn`, `info`, `debug`, or parts such as `info,sqlx=warn`.
    log: String = "info".into(), "log.level";
}

/// A setting, for documents.
struct Setting {
    key: &'static str,
    default: String,
    about: &'static [&'static str],
}

/// A setting that is not right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingFault {
    /// Its key; empty for the file as a whole.
    pub key: String,
    /// Where it was set: a file, or the name of a variable.
    pub from: String,
    /// What is wrong, and what to do.
    pub problem: String,
}

impl fmt::Display for SettingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [self.from.as_str(), self.key.as_str()].into_iter().filter(|part| !part.is_empty());
        for part in parts {
            write!(f, "{part}: ")?;
        }
        f.write_str(&self.problem)
    }
}

impl Settings {
    /// Reads settings from a file, if one is named, and from the environment. What cannot be read is told, and stays
    /// at its default; [`Settings::check`] holds the rest against what makes sense.
    pub fn read(file: Option<&Path>, variable: impl Fn(&str) -> Option<String>) -> (Settings, Vec<SettingFault>) {
        let mut faults = Vec::new();
        let found = Found::gather(file, variable, &mut faults);
        let mut settings = Settings::default();
        set(&mut settings, &found, &mut faults);
        (settings, faults)
    }

    /// How the service is set up.
    pub fn service(&self) -> ServiceOptions {
        let hours = |hours: u32| Duration::from_secs(u64::from(hours) * 3600);
        ServiceOptions {
            cache_dir: (!self.policy_cache.is_empty()).then(|| PathBuf::from(&self.policy_cache)),
            guest_calls_at_once: self.plans_at_once,
            waiting_line: self.plans_waiting,
            longest_wait: Duration::from_secs(u64::from(self.plan_wait_s)),
            logins: LoginRules {
                wrong_passwords: self.wrong_passwords,
                lock: Duration::from_secs(u64::from(self.lock_min) * 60),
                login_holds: hours(self.login_h),
                link_works: hours(self.link_h),
                longest_token: hours(self.token_days * 24),
                hashes_at_once: self.hashes_at_once,
                hashes_waiting: self.hashes_waiting,
            },
        }
    }

    /// Whether people reach the host over TLS.
    pub(crate) fn over_tls(&self) -> bool {
        !self.certificate.is_empty() || self.public_url.starts_with("https://")
    }
}

/// A settings file with every setting at its default, and what it does.
pub fn sample() -> String {
    let mut text = String::new();
    let mut section = "";
    for Setting { key, default, about } in table() {
        let (of, name) = key.split_once('.').unwrap_or(("", key));
        if of != section {
            let gap = if text.is_empty() { "" } else { "\n" };
            text += &format!("{gap}[{of}]\n");
            section = of;
        }
        for line in about {
            text += &format!("#{line}\n");
        }
        text += &format!("# {}\n{name} = {default}\n", variable_of(key));
    }
    text
}

/// The name of a setting in the environment.
fn variable_of(key: &str) -> String {
    format!("CLASSWRIGHT_{}", key.replace(['.', '-'], "_").to_uppercase())
}

/// What was set, and where.
struct Found {
    values: BTreeMap<String, (Value, String)>,
}

impl Found {
    fn gather(file: Option<&Path>, variable: impl Fn(&str) -> Option<String>, faults: &mut Vec<SettingFault>) -> Found {
        let mut values = BTreeMap::new();
        if let Some(file) = file {
            let from = file.display().to_string();
            let read = std::fs::read_to_string(file).map_err(|error| format!("cannot be read: {error}"));
            let parsed = read.and_then(|text| {
                let source = Config::builder().add_source(File::from_str(&text, FileFormat::Toml)).build();
                source
                    .and_then(Config::try_deserialize::<config::Map<String, Value>>)
                    .map_err(|error| format!("is no TOML: {error}"))
            });
            match parsed {
                Ok(table) => flatten("", table, &from, &mut values),
                Err(problem) => faults.push(SettingFault { key: String::new(), from: from.clone(), problem }),
            }
            let known: Vec<&str> = table().iter().map(|setting| setting.key).collect();
            for (key, _) in values.iter().filter(|(key, _)| !known.contains(&key.as_str())) {
                let problem = format!("there is no such setting; there are {}", near(key, &known));
                faults.push(SettingFault { key: key.clone(), from: from.clone(), problem });
            }
        }
        for setting in table() {
            let name = variable_of(setting.key);
            if let Some(text) = variable(&name) {
                values.insert(setting.key.to_owned(), (Value::new(Some(&name), ValueKind::String(text)), name));
            }
        }
        Found { values }
    }

    fn of(&self, key: &str) -> Option<Value> {
        self.values.get(key).map(|(value, _)| value.clone())
    }

    fn fault(&self, key: &str, problem: String) -> SettingFault {
        let from = self.values.get(key).map(|(_, from)| from.clone()).unwrap_or_default();
        SettingFault { key: key.to_owned(), from, problem }
    }
}

fn flatten(above: &str, table: config::Map<String, Value>, from: &str, values: &mut BTreeMap<String, (Value, String)>) {
    for (name, value) in table {
        let key = if above.is_empty() { name } else { format!("{above}.{name}") };
        match value.kind {
            ValueKind::Table(inner) => flatten(&key, inner, from, values),
            _ => {
                values.insert(key, (value, from.to_owned()));
            }
        }
    }
}

/// The settings of the same section, or all sections where there is none of that name.
fn near(key: &str, known: &[&str]) -> String {
    let section = key.split('.').next().unwrap_or_default();
    let within: Vec<&str> = known.iter().filter(|known| known.split('.').next() == Some(section)).copied().collect();
    if !within.is_empty() {
        return within.join(", ");
    }
    let mut sections: Vec<&str> = known.iter().filter_map(|known| known.split('.').next()).collect();
    sections.dedup();
    format!("the sections {}", sections.join(", "))
}

#[cfg(test)]
mod tests;
