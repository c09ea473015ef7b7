//! What every command of the service is told: where the data is, and of which gym.

use std::path::PathBuf;

use classwright_app::Place;

use super::here::Here;
use super::http::Http;
use super::{Client, Way};
use crate::error::CliError;

/// Where the data is: with a host that runs, or right here.
#[derive(clap::Args)]
#[command(next_help_heading = "Where the gym's data is")]
pub(crate) struct Connect {
    /// Open the data itself: a file, or postgres://…; CLASSWRIGHT_DATA where neither this nor --at is given.
    #[arg(long, value_name = "PLACE", global = true)]
    data: Option<String>,
    /// Ask the host that runs at this URL.
    #[arg(long, value_name = "URL", global = true, conflicts_with = "data")]
    at: Option<String>,
    /// The token to show to the host; CLASSWRIGHT_TOKEN where it is left out, which other users of this machine cannot
    /// read.
    #[arg(long, value_name = "TOKEN", global = true, conflicts_with = "data")]
    token: Option<String>,
    /// Log in as this user for the command, with the password that is typed in or in CLASSWRIGHT_PASSWORD; needs --gym.
    #[arg(long = "login", value_name = "LOGIN", global = true, conflicts_with = "token")]
    login_as: Option<String>,
    /// Trust the certificates in this file (PEM) too, for a host with a certificate of its own.
    #[arg(long, value_name = "FILE", global = true, conflicts_with = "data")]
    trust: Option<PathBuf>,
    /// The gym, by its id; may be left out where there is just one.
    #[arg(long, value_name = "ID", global = true)]
    gym: Option<String>,
    /// Print the service's own document as JSON.
    #[arg(long, global = true)]
    pub(crate) json: bool,
}

/// A command of the service beside commands that need none.
#[derive(clap::Args)]
pub(crate) struct Served<A: clap::Args> {
    /// What it is told.
    #[command(flatten)]
    pub(crate) args: A,
    /// Where the data is.
    #[command(flatten)]
    pub(crate) connect: Connect,
}

impl Connect {
    /// The way to the service, to data that is there.
    pub(crate) fn client(&self) -> Result<Client, CliError> {
        self.way(false)
    }

    /// The same; data that is not there is made.
    pub(crate) fn client_to_make(&self) -> Result<Client, CliError> {
        self.way(true)
    }

    fn way(&self, make: bool) -> Result<Client, CliError> {
        let mut gym = self.gym.clone();
        let way = match &self.at {
            Some(url) => {
                let token = self.token.clone().or_else(|| env("CLASSWRIGHT_TOKEN"));
                let token = token.filter(|_| self.login_as.is_none());
                // A token begins with the id of the gym for which it is.
                let own = token.as_deref().and_then(|token| token.split_once('.')).map(|(gym, _)| gym.to_owned());
                gym = gym.or(own);
                Way::Http(Http::new(url, token, self.trust.as_deref())?)
            }
            None => Way::Here(Here::open(&self.place()?, make, self.login_as.is_some())?),
        };
        let mut client = Client { way, gym, shown: Vec::new() };
        if let Some(login) = &self.login_as {
            client.log_in(login)?;
        }
        Ok(client)
    }

    /// Whether a host was named.
    pub(crate) fn at_a_host(&self) -> bool {
        self.at.is_some()
    }

    /// Where the data is, for what no host can do for somebody else.
    pub(crate) fn place_for(&self, what: &str) -> Result<Place, CliError> {
        match &self.at {
            Some(_) => {
                let text = format!("error: {what} works on the data itself: name it with --data, where the data is");
                Err(CliError::new(text, 2))
            }
            None => self.place(),
        }
    }

    fn place(&self) -> Result<Place, CliError> {
        let data = self.data.clone().or_else(|| env("CLASSWRIGHT_DATA"));
        data.map(|data| Place::read(&data)).ok_or_else(|| {
            CliError::new(
                "error: whose data? Name it with --data FILE or --data postgres://… (or in CLASSWRIGHT_DATA), or with \
                 --at URL a host that runs",
                2,
            )
        })
    }
}

/// What a variable of the environment says; nothing where it is empty.
pub(crate) fn env(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}
