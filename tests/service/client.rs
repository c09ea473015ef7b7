//! Calls of a host's API, as a program makes them.

use serde_json::Value;

/// Somebody with a token.
#[derive(Clone)]
pub(crate) struct Client {
    agent: ureq::Agent,
    url: String,
    token: String,
}

/// A status, and the body as JSON; null where there is none.
pub(crate) type Answer = Result<(u16, Value), ureq::Error>;

impl Client {
    pub(crate) fn new(url: &str, token: &str) -> Client {
        let agent = ureq::Agent::config_builder().http_status_as_error(false).proxy(None).build().new_agent();
        Client { agent, url: url.into(), token: format!("Bearer {token}") }
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        let sent = self.agent.get(format!("{}{path}", self.url)).header("Authorization", &self.token).call();
        read(sent)
    }

    pub(crate) fn post(&self, path: &str, body: &Value) -> Answer {
        let request = self.agent.post(format!("{}{path}", self.url)).header("Authorization", &self.token);
        read(request.send_json(body))
    }
}

fn read(sent: Result<ureq::http::Response<ureq::Body>, ureq::Error>) -> Answer {
    let mut answer = sent?;
    let text = answer.body_mut().read_to_string()?;
    Ok((answer.status().as_u16(), serde_json::from_str(&text).unwrap_or(Value::Null)))
}
