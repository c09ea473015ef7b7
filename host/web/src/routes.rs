//! The table of all routes: each is declared once, and that makes the router, the API's document and the list that the
//! test of roles walks.
//!
//! A route is declared where its handler stands, in `api/`, with [`get`], [`create`], [`post`], [`put`], [`patch`] or
//! [`delete`]; `all` gathers them. Nothing is reached but through this table: a path that is not in it is refused.

use aide::axum::ApiRouter;
use aide::axum::routing::{self, ApiMethodRouter};
use aide::openapi::OpenApi;
use aide::operation::{OperationHandler, OperationInput, OperationOutput};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware::from_fn_with_state;

use crate::access::Access;
use crate::state::App;
use crate::{api, border, once, openapi};

/// One route.
pub struct Route {
    /// What it is, without what it does.
    pub entry: Entry,
    handler: ApiMethodRouter<App>,
}

/// What the table says of a route.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its method.
    pub method: Method,
    /// Its path, such as `/v1/gyms/{gym}/athletes/{athlete}`.
    pub path: &'static str,
    /// Its name in the document, such as `athletes.list`; before the dot stands the topic.
    pub id: &'static str,
    /// Who may call it.
    pub access: Access,
    /// What it does, in a line.
    pub summary: &'static str,
    /// Whether it makes something, so that a call sent twice with the same `Idempotency-Key` makes it once.
    pub creates: bool,
    /// Whether its answer holds a secret that is shown once, so that the answer is not kept for a call sent twice.
    pub secret: bool,
    /// Whether whoever has the data in hand may name a gym that is not there yet.
    pub new_gym: bool,
    /// The largest body it takes, where that is not the host's usual limit.
    pub body_limit: Option<usize>,
}

macro_rules! declares {
    ($(#[doc = $doc:literal])+ $name:ident, $method:ident, $router:ident, $creates:literal) => {
        $(#[doc = $doc])+
        pub fn $name<H, I, O, T>(
            id: &'static str,
            path: &'static str,
            access: Access,
            handler: H,
            summary: &'static str,
        ) -> Route
        where
            H: Handler<T, App> + OperationHandler<I, O>,
            I: OperationInput,
            O: OperationOutput,
            T: 'static,
        {
            let method = Method::$method;
            let entry = Entry { method, path, id, access, summary, creates: $creates, secret: false, new_gym: false, body_limit: None };
            Route { entry, handler: routing::$router(handler) }
        }
    };
}

declares!(
    /// Looks at something; changes nothing.
    get, GET, get, false
);
declares!(
    /// Makes something new: honours `Idempotency-Key`.
    create, POST, post, true
);
declares!(
    /// Does something that makes nothing new, or that may be done twice.
    post, POST, post, false
);
declares!(
    /// Sets something whole.
    put, PUT, put, false
);
declares!(
    /// Changes a part of something.
    patch, PATCH, patch, false
);
declares!(
    /// Removes something.
    delete, DELETE, delete, false
);

impl Route {
    /// Its answer holds a secret that is shown once.
    #[must_use]
    pub fn secret(mut self) -> Route {
        self.entry.secret = true;
        self
    }

    /// Whoever has the data in hand may name a gym that is not there yet.
    #[must_use]
    pub fn new_gym(mut self) -> Route {
        self.entry.new_gym = true;
        self
    }

    /// Takes bodies up to so many bytes.
    #[must_use]
    pub fn up_to(mut self, bytes: usize) -> Route {
        self.entry.body_limit = Some(bytes);
        self
    }
}

/// Every route there is.
fn all() -> Vec<Route> {
    api::routes()
}

/// What the table says, for tests and for the documents.
pub fn table() -> Vec<Entry> {
    openapi::prepare();
    all().into_iter().map(|route| route.entry).collect()
}

/// The router of all routes, and their document.
pub(crate) fn build(app: &App) -> (Router<App>, OpenApi) {
    openapi::prepare();
    let mut router = ApiRouter::new();
    let mut entries = Vec::new();
    for Route { entry, handler } in all() {
        let at = (app.clone(), entry.clone());
        let limit = entry.body_limit.unwrap_or(app.settings().body_limit_kib as usize * 1024);
        let mut held = handler;
        if entry.creates {
            held = held.route_layer(from_fn_with_state(at.clone(), once::once));
        }
        // The last layer is the outermost: who it is comes first.
        held = held.route_layer(from_fn_with_state(at, border::guard)).route_layer(DefaultBodyLimit::max(limit));
        router = router.api_route(entry.path, held);
        entries.push(entry);
    }
    let mut document = OpenApi::default();
    let router = router.finish_api_with(&mut document, |api| openapi::describe(api, &entries));
    let router = router.fallback(border::no_path).method_not_allowed_fallback(border::no_method);
    (router, document)
}
