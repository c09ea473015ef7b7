//! Logging in with a password for one command, for what no token may: such as making the first token.

use std::io::{BufRead, IsTerminal, Write};
use std::process::{Command, Stdio};

use serde_json::json;

use super::{Call, Client, Method};
use crate::error::CliError;

impl Client {
    /// Logs in; further calls are this user's.
    pub(super) fn log_in(&mut self, login: &str) -> Result<(), CliError> {
        if self.gym.is_none() {
            return Err(CliError::new("error: --login needs --gym: nobody is known by their login alone", 2));
        }
        let credentials = json!({ "login": login, "password": password(login)? });
        let answer = self.call(&Call::new(Method::Post, self.gym(&["login"])?).body(credentials))?;
        let csrf = answer.json()?["csrf"].as_str().unwrap_or_default().to_owned();
        let cookie = answer.cookie.as_deref().and_then(|cookie| cookie.split(';').next()).unwrap_or_default();
        self.shown = vec![("cookie", cookie.to_owned()), ("x-csrf-token", csrf)];
        Ok(())
    }

    /// Ends the login, if there is one. Where that does not reach the host, it ends by itself some time.
    pub(super) fn log_out(&mut self) {
        if !self.shown.is_empty()
            && let Ok(path) = self.gym(&["logout"])
        {
            let _ = self.call(&Call::new(Method::Post, path));
        }
    }
}

/// The password: from CLASSWRIGHT_PASSWORD, or else typed in, or the first line of what is piped in.
fn password(login: &str) -> Result<String, CliError> {
    if let Ok(password) = std::env::var("CLASSWRIGHT_PASSWORD") {
        return Ok(password);
    }
    let typed = std::io::stdin().is_terminal();
    if typed {
        eprint!("password of {login}: ");
        let _ = std::io::stderr().flush();
        echo(false);
    }
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line);
    if typed {
        echo(true);
        eprintln!();
    }
    match read {
        Ok(0) => Err(CliError::new("error: there is no password: type it, or put it in CLASSWRIGHT_PASSWORD", 2)),
        Ok(_) => Ok(line.trim_end_matches(['\r', '\n']).to_owned()),
        Err(error) => Err(CliError::new(format!("error: standard input: {error}"), 3)),
    }
}

/// Whether the terminal shows what is typed. One that cannot be told shows it.
fn echo(on: bool) {
    let _ = Command::new("stty").arg(if on { "echo" } else { "-echo" }).stderr(Stdio::null()).status();
}
