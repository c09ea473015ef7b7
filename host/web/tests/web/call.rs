//! Calls of a router, and what they were answered.

use axum::Router;
use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Request};
use http_body_util::BodyExt;
use serde_json::Value;
use tower::ServiceExt;

/// A call that is to be made.
#[derive(Clone)]
pub(crate) struct Call {
    method: Method,
    path: String,
    headers: HeaderMap,
    body: Bytes,
}

/// What a call was answered.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Bytes,
}

impl Call {
    pub(crate) fn new(method: &str, path: &str) -> Call {
        let method = method.parse().unwrap();
        Call { method, path: path.to_owned(), headers: HeaderMap::new(), body: Bytes::new() }
    }

    pub(crate) fn get(path: &str) -> Call {
        Call::new("GET", path)
    }

    pub(crate) fn post(path: &str) -> Call {
        Call::new("POST", path)
    }

    pub(crate) fn header(mut self, name: &str, value: &str) -> Call {
        self.headers.insert(HeaderName::try_from(name).unwrap(), HeaderValue::try_from(value).unwrap());
        self
    }

    pub(crate) fn bearer(self, token: &str) -> Call {
        self.header("authorization", &format!("Bearer {token}"))
    }

    pub(crate) fn json(mut self, value: Value) -> Call {
        self.body = value.to_string().into();
        self.header("content-type", "application/json")
    }

    pub(crate) fn body(mut self, kind: &str, body: &str) -> Call {
        self.body = Bytes::copy_from_slice(body.as_bytes());
        self.header("content-type", kind)
    }

    pub(crate) fn bytes(mut self, kind: &str, bytes: Vec<u8>) -> Call {
        self.body = bytes.into();
        self.header("content-type", kind)
    }

    pub(crate) fn form(self, fields: &[(&str, &str)]) -> Call {
        let escaped = |text: &str| -> String { text.bytes().map(|byte| format!("%{byte:02X}")).collect() };
        let fields: Vec<String> = fields.iter().map(|(name, value)| format!("{name}={}", escaped(value))).collect();
        self.body("application/x-www-form-urlencoded", &fields.join("&"))
    }

    pub(crate) fn request(self) -> Request<Body> {
        let mut request = Request::new(Body::from(self.body));
        *request.method_mut() = self.method;
        *request.uri_mut() = self.path.parse().unwrap();
        *request.headers_mut() = self.headers;
        request
    }

    pub(crate) async fn of(self, router: &Router) -> Reply {
        let response = router.clone().oneshot(self.request()).await.unwrap();
        let (parts, body) = response.into_parts();
        let body = body.collect().await.unwrap().to_bytes();
        Reply { status: parts.status.as_u16(), headers: parts.headers, body }
    }
}

impl Reply {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.headers.get(name).map(|value| value.to_str().unwrap())
    }

    pub(crate) fn text(&self) -> &str {
        std::str::from_utf8(&self.body).unwrap()
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// The answer, if it has this status.
    pub(crate) fn is(self, status: u16) -> Reply {
        assert_eq!(self.status, status, "{}", String::from_utf8_lossy(&self.body));
        self
    }

    /// The last part of the type of the problem that this is.
    pub(crate) fn problem(&self) -> String {
        assert_eq!(self.header("content-type"), Some("application/problem+json"), "{self:?}");
        let problem = self.json();
        assert_eq!(problem["status"], self.status, "{problem}");
        for member in ["title", "detail", "instance"] {
            assert!(problem[member].as_str().is_some_and(|text| !text.is_empty()), "{member}: {problem}");
        }
        problem["type"].as_str().unwrap().rsplit(':').next().unwrap().to_owned()
    }
}
