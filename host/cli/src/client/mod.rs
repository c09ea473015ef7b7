//! The gym's service as the commands call it: the same calls, whether over HTTP to a host that runs ([`Http`]) or in
//! this process to the data itself ([`Here`]). There it is the same router that answers, so that both do the same.
//!
//! A call gives its [`Answer`], or a [`CliError`] made of the problem that was answered. A call that changes something
//! names the revision that it changes; [`Client::edit`] reads, changes and writes with the revision that it read.

mod args;
mod call;
mod events;
mod gym;
mod here;
mod http;
mod login;
mod path;
mod problem;
mod trust;

use std::io::Read;

use serde_json::{Value, json};

pub(crate) use args::{Connect, Served, env};
pub(crate) use call::{Answer, Body, Call, Method};
pub(crate) use events::{Event, Events};
pub(crate) use here::{data, runtime};
pub(crate) use path::Path;

use crate::error::CliError;
use here::Here;
use http::Http;

/// How many items of a list are asked for at once: as many as a host gives.
const PAGE: &str = "200";

/// A way to the service.
pub(crate) struct Client {
    way: Way,
    /// As it was asked for.
    gym: Option<String>,
    /// What every call shows of whoever is logged in.
    shown: Vec<(&'static str, String)>,
}

enum Way {
    Http(Http),
    Here(Here),
}

impl Client {
    /// Makes a call; whatever is answered but a success is an error.
    pub(crate) fn call(&self, call: &Call) -> Result<Answer, CliError> {
        self.send(call)?.or_problem()
    }

    fn send(&self, call: &Call) -> Result<Answer, CliError> {
        let call = call.shows(&self.shown);
        match &self.way {
            Way::Http(http) => http.call(&call),
            Way::Here(here) => here.call(&call),
        }
    }

    /// Makes a call whose answer is read bit by bit.
    pub(crate) fn stream(&self, call: &Call) -> Result<Box<dyn Read + '_>, CliError> {
        let call = call.shows(&self.shown);
        match &self.way {
            Way::Http(http) => http.stream(&call),
            Way::Here(here) => here.stream(&call),
        }
    }

    /// Looks at something.
    pub(crate) fn get(&self, path: Path) -> Result<Answer, CliError> {
        self.call(&Call::new(Method::Get, path))
    }

    /// Looks at something that need not be there.
    pub(crate) fn find(&self, path: Path) -> Result<Option<Answer>, CliError> {
        let answer = self.send(&Call::new(Method::Get, path))?;
        if answer.is_missing() { Ok(None) } else { answer.or_problem().map(Some) }
    }

    /// Makes something new. Sent twice, should the connection break, it is made once.
    pub(crate) fn create(&self, path: Path, body: impl Into<Body>) -> Result<Answer, CliError> {
        self.call(&Call::new(Method::Post, path).body(body).once())
    }

    /// Does something.
    pub(crate) fn post(&self, path: Path, body: impl Into<Body>) -> Result<Answer, CliError> {
        self.call(&Call::new(Method::Post, path).body(body))
    }

    /// Sets something whole; `revision` as an answer gave it.
    pub(crate) fn put(&self, path: Path, body: impl Into<Body>, revision: &str) -> Result<Answer, CliError> {
        self.call(&Call::new(Method::Put, path).body(body).revision(revision))
    }

    /// Removes something, at the revision that is read just before: whoever removes wants it gone as it is now.
    pub(crate) fn remove(&self, path: Path) -> Result<(), CliError> {
        let revision = self.get(path.clone())?.revision()?.to_owned();
        self.call(&Call::new(Method::Delete, path).revision(&revision)).map(|_| ())
    }

    /// Reads something, changes its `value` and writes it back against the revision that was read.
    pub(crate) fn edit(
        &self,
        path: Path,
        change: impl FnOnce(&mut Value) -> Result<(), CliError>,
    ) -> Result<Answer, CliError> {
        let answer = self.get(path.clone())?;
        let revision = answer.revision()?.to_owned();
        let mut value = answer.json()?["value"].take();
        change(&mut value)?;
        self.put(path, value, &revision)
    }

    /// A whole list, page by page: `{"items": […]}`.
    pub(crate) fn list(&self, path: Path) -> Result<Value, CliError> {
        self.list_after(path, None)
    }

    /// What is in a list behind a place.
    pub(crate) fn list_after(&self, path: Path, mut after: Option<String>) -> Result<Value, CliError> {
        let mut items = Vec::new();
        loop {
            let mut page = path.clone().query("limit", PAGE);
            if let Some(after) = &after {
                page = page.query("after", after);
            }
            let mut page = self.get(page)?.json()?;
            if let Value::Array(more) = page["items"].take() {
                items.extend(more);
            }
            match page["next"].as_str() {
                Some(next) if after.as_deref() != Some(next) => after = Some(next.to_owned()),
                _ => return Ok(json!({ "items": items })),
            }
        }
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        self.log_out();
    }
}

#[cfg(test)]
mod tests {
    use classwright_app::Place;

    use super::*;

    #[test]
    fn a_change_of_what_somebody_changed_meanwhile_is_refused_and_theirs_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let place = Place::File(folder.path().join("gym.db"));
        let client = || {
            let way = Way::Here(Here::open(&place, true, false).expect("opened"));
            Client { way, gym: Some("hall".into()), shown: Vec::new() }
        };
        let (one, other) = (client(), client());
        let gym = || one.gym(&[]).expect("it is named");
        one.create(Path::new(&["v1", "gyms"]), json!({ "id": "hall", "name": "The Hall" })).expect("made");
        let rename = |name: &'static str| {
            move |gym: &mut Value| {
                gym["name"] = json!(name);
                Ok(())
            }
        };
        let refused = one.edit(gym(), |value| {
            other.edit(gym(), rename("The Yard"))?;
            rename("The Barn")(value)
        });
        let refused = refused.expect_err("somebody was sooner");
        assert_eq!(refused.code, 7, "{}", refused.text);
        let stands = one.get(gym()).and_then(|answer| answer.json()).expect("an answer");
        assert_eq!(stands["value"]["name"], "The Yard");
    }
}
