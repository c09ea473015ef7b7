//! What is around every call: its id, the line in the log, the count in the metrics, the end of its patience, and what
//! every answer says of itself.
//!
//! One call is one line: method, the pattern of the route (never the path), status, milliseconds, id. No people, no
//! query, no body, no address. What only the log is told of a fault stands in the same line.

use std::any::Any;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Router;
use axum::extract::{MatchedPath, Request, State};
use axum::http::header::{
    CACHE_CONTROL, REFERRER_POLICY, STRICT_TRANSPORT_SECURITY, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, Method};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};

use tower_http::catch_panic::CatchPanicLayer;

use crate::etag;
use crate::problem::{Kind, Problem};
use crate::state::App;

const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

/// Puts all of it around a router.
pub(crate) fn put(router: Router<App>, app: &App) -> Router<App> {
    router
        .layer(from_fn(etag::not_modified))
        .layer(CatchPanicLayer::custom(panicked))
        .layer(from_fn_with_state(app.clone(), around))
}

/// Carries a call out, and tells of it.
async fn around(State(app): State<App>, request: Request, next: Next) -> Response {
    let began = Instant::now();
    let id = new_id();
    let method = request.method().clone();
    let route = request.extensions().get::<MatchedPath>().map(|path| path.as_str().to_owned());
    let route = route.unwrap_or_else(|| "-".to_owned());
    let patience = Duration::from_secs(u64::from(app.settings().answer_within_s));
    let mut response = match tokio::time::timeout(patience, next.run(request)).await {
        Ok(response) => response,
        Err(_) => {
            let s = patience.as_secs();
            let words =
                format!("this took longer than {s} s and was given up: look whether it was done before trying again");
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
fn panicked(panic: Box<dyn Any + Send>) -> Response {
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

#[cfg(test)]
mod tests {
    use axum::body::to_bytes;
    use axum::routing::get;
    use classwright_app::service::Service;
    use classwright_app::{Db, Place};
    use tower::ServiceExt;

    use super::*;
    use crate::Settings;

    async fn breaks() -> &'static str {
        panic!("Ama Tidewell's card")
    }

    #[tokio::test]
    async fn a_panic_is_a_problem_that_does_not_say_what_it_was_about() {
        let folder = tempfile::tempdir().unwrap();
        let db = Db::open(&Place::File(folder.path().join("hall.db"))).await.unwrap();
        let settings = Settings::default();
        let app = App::new(Service::new(db, settings.service()).unwrap(), settings);
        let router = put(Router::new().route("/breaks", get(breaks)), &app).with_state(app);
        let request = || Request::get("/breaks").body(axum::body::Body::empty()).unwrap();
        for _ in 0..2 {
            let response = router.clone().oneshot(request()).await.unwrap();
            assert_eq!(response.status(), 500);
            assert_eq!(response.headers()["content-type"], "application/problem+json");
            let body = to_bytes(response.into_body(), 10_000).await.unwrap();
            let body = String::from_utf8(body.to_vec()).unwrap();
            assert!(body.contains("urn:classwright:problem:fault") && !body.contains("Ama"), "{body}");
        }
    }
}
