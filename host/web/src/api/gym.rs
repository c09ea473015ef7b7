//! The gym itself, and a backup of where it is kept.

use std::fs::File;
use std::io::Read;
use std::path::PathBuf;

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{MediaType, Operation, Response as ApiResponse, StatusCode as ApiStatus};
use axum::body::{Body, Bytes};
use axum::extract::State;
use axum::http::HeaderValue;
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use classwright_app::service::gyms::{GymDoc, GymHead};
use classwright_app::service::{Page, Service};
use futures::stream;

use crate::access::{Scope, members, owners};
use crate::answer::Tagged;
use crate::etag::IfMatch;
use crate::extract::{Caller, Json, Paging};
use crate::problem::{Answer, Kind};
use crate::routes::{Route, get, put};

const ONE: &str = "/v1/gyms/{gym}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("gym.list", "/v1/gyms", members(Scope::Read), list, "The gyms that one may see: one's own"),
        get("gym.show", ONE, members(Scope::Read), show, "The gym"),
        put("gym.set", ONE, owners(Scope::Write), set, "Sets the gym's name, rules and kinds of kit"),
        get("gym.backup", "/v1/gyms/{gym}/backup", owners(Scope::Backup), backup, "A backup, where the gym is alone"),
    ]
}

async fn list(State(service): State<Service>, Caller(who): Caller, paging: Paging) -> Answer<Json<Page<GymHead>>> {
    Ok(Json(service.gyms(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn show(State(service): State<Service>, Caller(who): Caller) -> Answer<Tagged<GymDoc>> {
    Ok(Tagged(service.gym(&who).await?))
}

async fn set(
    State(service): State<Service>,
    Caller(who): Caller,
    IfMatch(expected): IfMatch,
    Json(gym): Json<GymDoc>,
) -> Answer<Tagged<GymDoc>> {
    Ok(Tagged(service.set_gym(&who, &gym, expected).await?))
}

async fn backup(State(service): State<Service>, Caller(who): Caller) -> Answer<Backup> {
    let path = service.backup_file(&who).await?;
    let opened = File::open(&path);
    let removed = Removed(path);
    let file = opened.map_err(|error| {
        Kind::File.with("the backup cannot be read: the host's log says more").log(error.to_string())
    })?;
    Ok(Backup { name: format!("{}.classwright-backup.db", who.gym), file, removed })
}

/// A backup on its way.
struct Backup {
    name: String,
    file: File,
    removed: Removed,
}

/// A file that goes when it is sent, or when nobody takes it any more.
struct Removed(PathBuf);

impl Drop for Removed {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

impl IntoResponse for Backup {
    fn into_response(self) -> Response {
        let pieces = stream::try_unfold((self.file, self.removed), |(mut file, removed)| async move {
            let read = tokio::task::spawn_blocking(move || {
                let mut piece = vec![0; 256 * 1024];
                let length = file.read(&mut piece)?;
                piece.truncate(length);
                Ok::<_, std::io::Error>((file, piece))
            });
            let (file, piece) = read.await.map_err(std::io::Error::other)??;
            Ok::<_, std::io::Error>((!piece.is_empty()).then(|| (Bytes::from(piece), (file, removed))))
        });
        let disposition = HeaderValue::try_from(format!("attachment; filename=\"{}\"", self.name));
        let headers = [
            (CONTENT_TYPE, HeaderValue::from_static("application/vnd.sqlite3")),
            (CACHE_CONTROL, HeaderValue::from_static("no-store")),
            (CONTENT_DISPOSITION, disposition.unwrap_or_else(|_| HeaderValue::from_static("attachment"))),
        ];
        (headers, Body::from_stream(pieces)).into_response()
    }
}

impl OperationOutput for Backup {
    type Inner = ();

    fn inferred_responses(_: &mut GenContext, _: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        let content = [("application/vnd.sqlite3".to_owned(), MediaType::default())].into_iter().collect();
        let response = ApiResponse { description: "A SQLite file.".into(), content, ..ApiResponse::default() };
        vec![(Some(ApiStatus::Code(200)), response)]
    }
}
