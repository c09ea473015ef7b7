//! What happens in a class, as it happens: server-sent events, kept, so that whoever was away misses nothing.
//!
//! An event's id is its number. Whoever comes back says the last one that they had (`Last-Event-ID`, or `?after=`);
//! whoever says neither gets what happens from now on, after an event `ready` with the number to come back with. Who
//! watches is asked again whenever something has changed: whoever is kept out is not told any more.

use std::convert::Infallible;
use std::time::Duration;

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{MediaType, Operation, Response as ApiResponse, SchemaObject, StatusCode as ApiStatus};
use axum::extract::State;
use axum::http::request::Parts;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use classwright_app::service::events::EventDoc;
use classwright_app::service::{Service, Who};
use futures::Stream;
use futures::stream::{self, StreamExt};
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde_json::json;
use tokio::sync::watch;

use crate::access::{Scope, own};
use crate::auth;
use crate::extract::{Caller, Ids, Query};
use crate::problem::{Answer, Fault, Kind};
use crate::routes::{Route, get};
use crate::state::App;

const PATH: &str = "/v1/gyms/{gym}/classes/{class}/events";

/// How many events are read at once.
const AT_ONCE: usize = 100;

pub(crate) fn routes() -> Vec<Route> {
    vec![get("classes.watch", PATH, own(Scope::Read), watch, "What happens in a class, as it happens")]
}

#[derive(Debug, Deserialize, JsonSchema)]
struct From {
    /// Tells what happened behind this event; 0 for everything. `Last-Event-ID` in the header says the same.
    #[schemars(range(min = 0))]
    after: Option<i64>,
}

/// A class that is watched.
struct Watched {
    app: App,
    who: Who,
    /// How whoever watches is known.
    parts: Parts,
    class: String,
    after: i64,
    changes: watch::Receiver<u64>,
    stopping: watch::Receiver<bool>,
}

async fn watch(
    State(app): State<App>,
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([class]): Ids<1>,
    Query(from): Query<From>,
    parts: Parts,
) -> Answer<Events> {
    let changes = service.db().changes();
    let newest = service.newest_event(&who, &class).await?;
    let last = match parts.headers.get("last-event-id") {
        Some(value) => Some(
            value
                .to_str()
                .ok()
                .and_then(|text| text.trim().parse().ok())
                .ok_or_else(|| Kind::Malformed.with("`Last-Event-ID` has to be the number of an event"))?,
        ),
        None => from.after,
    };
    if last.is_some_and(|last| last < 0) {
        let fault = Fault { field: Some("after".into()), problem: "0 or more".into(), ..Fault::default() };
        return Err(Kind::Input.with("after: 0 or more").fault(fault));
    }
    let ready = last.is_none().then(|| {
        Ok(Event::default().event("ready").id(newest.to_string()).data(json!({ "class": class }).to_string()))
    });
    let stopping = app.stopping();
    let after = last.unwrap_or(newest);
    let watched = Watched { app, who, parts, class, after, changes, stopping };
    let events: Told = Box::pin(stream::iter(ready).chain(told(watched)));
    Ok(Events(Sse::new(events).keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))))
}

/// Event after event, until whoever watches goes, may not watch any more, or the host stops.
fn told(watched: Watched) -> impl Stream<Item = Result<Event, Infallible>> + Send {
    stream::unfold(watched, |mut watched| async move {
        let news = watched.wait().await?;
        Some((stream::iter(news.into_iter().map(|event| Ok(written(&event)))), watched))
    })
    .flatten()
}

impl Watched {
    /// What has happened since; waits until something has. `None` where it is over.
    async fn wait(&mut self) -> Option<Vec<EventDoc>> {
        loop {
            if *self.stopping.borrow() {
                return None;
            }
            // Seen before reading: what changes while reading wakes the next wait.
            self.changes.borrow_and_update();
            self.who = auth::still(&self.app, &self.parts, &self.who).await?;
            let news = self.app.service().news(&self.who, &self.class, self.after, AT_ONCE).await;
            let news = news.inspect_err(|error| tracing::warn!(%error, "a class cannot be watched any more")).ok()?;
            self.after = news.up_to;
            if !news.events.is_empty() {
                return Some(news.events);
            }
            if news.more {
                continue;
            }
            tokio::select! {
                changed = self.changes.changed() => changed.ok()?,
                _ = self.stopping.wait_for(|stopping| *stopping) => return None,
            }
        }
    }
}

fn written(event: &EventDoc) -> Event {
    let body = json!({ "at": event.at, "body": event.body });
    Event::default().event(&event.kind).id(event.n.to_string()).data(body.to_string())
}

type Told = std::pin::Pin<Box<dyn Stream<Item = Result<Event, Infallible>> + Send>>;

/// The stream as an answer.
struct Events(Sse<axum::response::sse::KeepAliveStream<Told>>);

impl IntoResponse for Events {
    fn into_response(self) -> Response {
        self.0.into_response()
    }
}

impl OperationOutput for Events {
    type Inner = ();

    fn inferred_responses(_: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let schema =
            Some(SchemaObject { json_schema: json_schema!({ "type": "string" }), external_docs: None, example: None });
        let content =
            [("text/event-stream".to_owned(), MediaType { schema, ..MediaType::default() })].into_iter().collect();
        let response = ApiResponse { description: "Events.".into(), content, ..ApiResponse::default() };
        vec![(Some(ApiStatus::Code(200)), response)]
    }
}
