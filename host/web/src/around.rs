//! What is around every call: its id, the line in the log, the count in the metrics, the end of its patience, and what
//! every answer says of itself.
//!
//! One call is one line: method, the pattern of the route (never the path), status, milliseconds, id. No people, no
//! query, no body, no address. What only the log is told of a fault stands in the same line.

use std::any::Any;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::extract::{MatchedPath, Request, State};
use axum::http::header::{
    CACHE_CONTROL, REFERRER_POLICY, STRICT_TRANSPORT_SECURITY, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::problem::{Kind, Problem};
use crate::state::App;

const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

/// Carries a call out, and tells of it.
pub(crate) async fn around(State(app): State<App>, request: Request, next: Next) -> Response {
    let began = Instant::now();
    let id = new_id();
    let method = request.method().clone();
    let route = request.extensions().get::<MatchedPath>().map(|path| path.as_str().to_owned());
    let route = route.unwrap_or_else(|| "-".to_owned());
    let patience = Duration::from_secs(u64::from(app.settings().answer_within_s));
    let mut response = match tokio::time::timeout(patience, next.run(request)).await {
        Ok(response) => response,
        Err(_) => {
            let words = format!("this took longer than {} s and was given up; nothing was changed", patience.as_secs());
            Kind::Late.with(words).retry_after(5).into_response()
        }
    };
    let problem = response.extensions_mut().remove::<Arc<Problem>>();
    if let Some(problem) = &problem {
        let headers = std::mem::take(response.headers_mut());
        response = problem.response(Some(&id));
        for (name, value) in headers {
            if let Some(name) = name {
                response.headers_mut().entry(name).or_insert(value);
            }
        }
    }
    about_itself(&app, &id, &mut response);
    let status = response.status().as_u16();
    app.measures().call(&method, &route, status, began.elapsed());
    tell(&method, &route, status, began.elapsed(), &id, problem.as_deref());
    response
}

fn tell(method: &Method, route: &str, status: u16, took: Duration, request: &str, problem: Option<&Problem>) {
    let ms = took.as_millis() as u64;
    let method = method.as_str();
    match problem.and_then(Problem::logged) {
        Some(fault) => tracing::error!(method, route, status, ms, request, fault, "call"),
        None => tracing::info!(method, route, status, ms, request, "call"),
    }
}

fn about_itself(app: &App, id: &str, response: &mut Response) {
    let headers = response.headers_mut();
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(X_FRAME_OPTIONS, HeaderValue::from_static("DENY"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("private, no-cache"));
    if app.settings().over_tls() {
        headers.insert(STRICT_TRANSPORT_SECURITY, HeaderValue::from_static("max-age=31536000"));
    }
    if let Ok(id) = HeaderValue::try_from(id) {
        headers.insert(REQUEST_ID, id);
    }
}

/// What is answered where a handler panics.
pub(crate) fn panicked(panic: Box<dyn Any + Send>) -> Response {
    let words = match panic.downcast::<String>() {
        Ok(text) => *text,
        Err(panic) => panic.downcast_ref::<&str>().map_or_else(|| "no words".into(), |text| (*text).to_owned()),
    };
    Kind::Fault
        .with("this is a fault in classwright: the host's log says more")
        .log(format!("a panic: {words}"))
        .into_response()
}

/// An id by which a call is found in the log. Where the system has no random number, the time has to do.
fn new_id() -> String {
    let mut random = [0; 8];
    let number = match getrandom::fill(&mut random) {
        Ok(()) => u64::from_ne_bytes(random),
        Err(_) => std::time::SystemTime::UNIX_EPOCH.elapsed().map_or(0, |since| since.as_nanos() as u64),
    };
    format!("{number:016x}")
}
