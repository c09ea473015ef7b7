//! The service in this process: the router that a host has, on data that is opened here, for whoever has it in hand.

use std::io::{self, Read};

use axum::Router;
use axum::body::{Body, Bytes};
use axum::http::{Request, Response};
use classwright_app::service::{Service, ServiceOptions};
use classwright_app::{AppError, Db, Place};
use classwright_web::{App, Settings};
use http_body_util::BodyExt;
use tokio::runtime::{Builder, Runtime};
use tower::ServiceExt;

use super::call::{Answer, Call};
use crate::error::CliError;
use crate::plan::usual_cache;

/// Opened data with its router.
pub(super) struct Here {
    runtime: Runtime,
    router: Router,
    db: Db,
}

impl Here {
    /// Opens the data. A file that is not there is made only where that is wanted: a name misspelt is no new gym.
    /// Whoever has it in hand may everything, unless they want to be held to what a `user` may.
    pub(super) fn open(place: &Place, make: bool, user: bool) -> Result<Here, CliError> {
        if !make {
            there(place)?;
        }
        let runtime = runtime()?;
        let db = runtime.block_on(Db::open(place)).map_err(AppError::from)?;
        let options = ServiceOptions { cache_dir: usual_cache(), ..ServiceOptions::default() };
        let service = Service::new(db.clone(), options)?;
        let app = App::new(service, Settings::default());
        let router = if user { classwright_web::router(app) } else { classwright_web::local(app) };
        Ok(Here { runtime, router, db })
    }

    pub(super) fn call(&self, call: &Call) -> Result<Answer, CliError> {
        let response = self.send(call)?;
        let status = response.status().as_u16();
        let header = |name| response.headers().get(name).and_then(|value| value.to_str().ok()).map(str::to_owned);
        let (revision, cookie) = (header("etag"), header("set-cookie"));
        let body = self.runtime.block_on(response.into_body().collect());
        let body = body.map_err(|error| CliError::bug(&error))?.to_bytes().to_vec();
        Ok(Answer { status, revision, cookie, body })
    }

    pub(super) fn stream(&self, call: &Call) -> Result<Box<dyn Read + '_>, CliError> {
        let response = self.send(call)?;
        let status = response.status().as_u16();
        let mut body = Chunks { here: self, body: response.into_body(), rest: Bytes::new() };
        if (200..300).contains(&status) {
            return Ok(Box::new(body));
        }
        let mut problem = Vec::new();
        body.read_to_end(&mut problem).map_err(|error| CliError::bug(&error))?;
        Err(super::problem::error(status, &problem))
    }

    fn send(&self, call: &Call) -> Result<Response<Body>, CliError> {
        let mut request = Request::builder().method(call.method.name()).uri(call.path.to_string());
        for (name, value) in call.all_headers() {
            request = request.header(name, value);
        }
        let request = request.body(Body::from(call.body.bytes())).map_err(|error| CliError::bug(&error))?;
        let answered = self.runtime.block_on(self.router.clone().oneshot(request));
        Ok(answered.unwrap_or_else(|never| match never {}))
    }
}

/// What runs calls in this process.
pub(crate) fn runtime() -> Result<Runtime, CliError> {
    Builder::new_multi_thread().enable_all().build().map_err(|error| CliError::bug(&error))
}

/// Opened data, for what is no call of the service.
pub(crate) async fn data(place: &Place) -> Result<Db, CliError> {
    there(place)?;
    Ok(Db::open(place).await.map_err(AppError::from)?)
}

/// An error where a file is named that is not there.
fn there(place: &Place) -> Result<(), CliError> {
    match place {
        Place::File(file) if !file.exists() => {
            let file = file.display();
            let text =
                format!("error: {file}: there is no such file; `classwright gym make` and `gym import` make one");
            Err(CliError::new(text, 3))
        }
        _ => Ok(()),
    }
}

impl Drop for Here {
    /// Lets go of the data, so that a file is left whole and by itself.
    fn drop(&mut self) {
        self.runtime.block_on(self.db.close());
    }
}

/// An answer, as it comes.
struct Chunks<'a> {
    here: &'a Here,
    body: Body,
    rest: Bytes,
}

impl Read for Chunks<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        while self.rest.is_empty() {
            match self.here.runtime.block_on(self.body.frame()) {
                None => return Ok(0),
                Some(frame) => self.rest = frame.map_err(io::Error::other)?.into_data().unwrap_or_default(),
            }
        }
        let many = self.rest.len().min(into.len());
        into[..many].copy_from_slice(&self.rest.split_to(many));
        Ok(many)
    }
}
