//! The service over HTTP.

use std::io::Read;
use std::path::Path as FilePath;
use std::time::Duration;

use ureq::http::{Request, Response, Uri};
use ureq::{Agent, Body as Received};

use super::call::{Answer, Call, Method};
use super::trust;
use crate::error::CliError;

/// How long a connection may take.
const TO_CONNECT: Duration = Duration::from_secs(10);
/// How long an answer may take to begin: the longest wait for a place, and planning.
const TO_ANSWER: Duration = Duration::from_secs(300);
/// The longest answer that is taken in one piece.
const LARGEST: u64 = 256 << 20;

/// A host that runs.
pub(super) struct Http {
    agent: Agent,
    base: String,
    token: Option<String>,
}

impl Http {
    /// A host by its address.
    pub(super) fn new(url: &str, token: Option<String>, trust: Option<&FilePath>) -> Result<Http, CliError> {
        let base = url.trim_end_matches('/').to_owned();
        let wrong = || {
            let text = format!("error: --at {url}: write a host's address, such as https://hall.example:8443");
            CliError::new(text, 2)
        };
        let uri: Uri = base.parse().map_err(|_| wrong())?;
        let secure = match (uri.scheme_str(), uri.authority(), uri.query()) {
            (Some("https"), Some(_), None) => true,
            (Some("http"), Some(_), None) => false,
            _ => return Err(wrong()),
        };
        if token.as_deref().is_some_and(|token| !token.chars().all(|c| c.is_ascii_graphic())) {
            return Err(CliError::new("error: that is no token: it has letters that none has", 2));
        }
        let config = Agent::config_builder()
            .tls_config(trust::tls(secure, trust)?)
            .http_status_as_error(false)
            .max_redirects(0)
            .user_agent(concat!("classwright/", env!("CARGO_PKG_VERSION")))
            .accept("application/json, application/problem+json, */*")
            .timeout_connect(Some(TO_CONNECT))
            .timeout_recv_response(Some(TO_ANSWER))
            .build();
        Ok(Http { agent: config.new_agent(), base, token })
    }

    pub(super) fn call(&self, call: &Call) -> Result<Answer, CliError> {
        let mut sent = self.send(call);
        // What is done once at most may be sent again where nobody knows whether it arrived.
        if call.key.is_some() && sent.as_ref().is_err_and(broke_off) {
            sent = self.send(call);
        }
        let response = sent.map_err(|error| self.failed(&error))?;
        let status = response.status().as_u16();
        if (300..400).contains(&status) {
            let to = response.headers().get("location").and_then(|to| to.to_str().ok()).unwrap_or("elsewhere");
            return Err(CliError::new(format!("error: {} sends on to {to}: name that with --at", self.base), 2));
        }
        let header = |name| response.headers().get(name).and_then(|value| value.to_str().ok()).map(str::to_owned);
        let (revision, cookie) = (header("etag"), header("set-cookie"));
        let body = response.into_body().into_with_config().limit(LARGEST).read_to_vec();
        Ok(Answer { status, revision, cookie, body: body.map_err(|error| self.failed(&error))? })
    }

    pub(super) fn stream(&self, call: &Call) -> Result<Box<dyn Read + '_>, CliError> {
        let response = self.send(call).map_err(|error| self.failed(&error))?;
        let status = response.status().as_u16();
        let body = response.into_body().into_with_config();
        if (200..300).contains(&status) {
            return Ok(Box::new(body.limit(u64::MAX).reader()));
        }
        let body = body.limit(LARGEST).read_to_vec().map_err(|error| self.failed(&error))?;
        Err(super::problem::error(status, &body))
    }

    fn send(&self, call: &Call) -> Result<Response<Received>, ureq::Error> {
        let mut request = Request::builder().method(call.method.name()).uri(format!("{}{}", self.base, call.path));
        for (name, value) in call.all_headers() {
            request = request.header(name, value);
        }
        if let Some(key) = &call.key {
            request = request.header("idempotency-key", key);
        }
        if let Some(token) = &self.token {
            request = request.header("authorization", format!("Bearer {token}"));
        }
        let body = call.body.bytes();
        match call.method {
            Method::Get | Method::Delete if body.is_empty() => self.agent.run(request.body(())?),
            _ => self.agent.run(request.body(body)?),
        }
    }

    fn failed(&self, error: &ureq::Error) -> CliError {
        let todo = match error {
            _ if is_of_tls(error) => {
                "name the host as its certificate does, and trust a certificate of its own with --trust FILE"
            }
            ureq::Error::HostNotFound => "is its name right?",
            ureq::Error::Io(io) if io.kind() == std::io::ErrorKind::ConnectionRefused => {
                "nobody listens there: does the host run, and at this port?"
            }
            ureq::Error::Timeout(_) => "try again, or look at the host's log",
            _ => "does a classwright host run there?",
        };
        CliError::new(format!("error: {}: {error}; {todo}", self.base), 3)
    }
}

/// Whether the line could not be made safe.
fn is_of_tls(error: &ureq::Error) -> bool {
    match error {
        ureq::Error::Rustls(_) => true,
        ureq::Error::Io(io) => io.get_ref().is_some_and(|inner| inner.downcast_ref::<rustls::Error>().is_some()),
        _ => false,
    }
}

/// Whether it may be that the call arrived and its answer did not.
fn broke_off(error: &ureq::Error) -> bool {
    use std::io::ErrorKind::{BrokenPipe, ConnectionAborted, ConnectionReset, UnexpectedEof};
    matches!(error, ureq::Error::Io(io)
        if matches!(io.kind(), BrokenPipe | ConnectionAborted | ConnectionReset | UnexpectedEof))
}
