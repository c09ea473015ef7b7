//! Who calls: by a token, by the cookie of a login, or from within the process.
//!
//! A call with a cookie that changes something has to come from the host's own pages: it sends along what the login
//! answered (`X-CSRF-Token`), and where a browser says where the call comes from, it has to be here.

mod address;
pub(crate) mod cookie;
pub(crate) mod limits;
mod origin;

use std::sync::Arc;

use axum::http::Method;
use axum::http::header::AUTHORIZATION;
use axum::http::request::Parts;
use classwright_app::service::Who;
use classwright_app::service::auth::{By, Known, same};

use crate::problem::{Kind, Problem};
use crate::state::App;

pub(crate) use address::address;
pub(crate) use origin::from_here;

/// The header with what a login answered.
pub(crate) const CSRF: &str = "x-csrf-token";

/// How somebody is known.
#[derive(Clone, Debug)]
pub(crate) enum Login {
    /// Called from within the process, by whoever has the data in hand.
    Console,
    /// By a token.
    Token(Arc<Known>),
    /// By the cookie of a login, whose secret this is.
    Cookie(Arc<Known>, String),
}

/// Says of a call that it comes from within the process. Nothing that comes over the wire can set it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Console;

/// Who calls, or why nobody knows.
pub(crate) async fn login(app: &App, parts: &Parts) -> Result<Login, Problem> {
    if parts.extensions.get::<Console>().is_some() {
        return Ok(Login::Console);
    }
    let found = match parts.headers.get(AUTHORIZATION) {
        Some(header) => by_token(app, header.to_str().unwrap_or_default()).await?,
        None => by_cookie(app, parts).await?,
    };
    match found {
        Ok(login) => {
            if let Login::Token(known) | Login::Cookie(known, _) = &login {
                app.limits().user(&known.who)?;
            }
            Ok(login)
        }
        Err(words) => {
            app.limits().stranger(address(app, parts))?;
            Err(Kind::LoginNeeded.with(words))
        }
    }
}

/// Who it is that was known as `who`, if they still are.
pub(crate) async fn still(app: &App, parts: &Parts, who: &Who) -> Option<Who> {
    if parts.extensions.get::<Console>().is_some() {
        return Some(who.clone());
    }
    let found = match parts.headers.get(AUTHORIZATION) {
        Some(header) => by_token(app, header.to_str().unwrap_or_default()).await,
        None => by_cookie(app, parts).await,
    };
    match found {
        Ok(Ok(Login::Token(known) | Login::Cookie(known, _))) => Some(known.who.clone()),
        _ => None,
    }
}

type Found = Result<Result<Login, &'static str>, Problem>;

async fn by_token(app: &App, header: &str) -> Found {
    let Some(token) = header.strip_prefix("Bearer ").or_else(|| header.strip_prefix("bearer ")).map(str::trim) else {
        return Ok(Err("send a token as `Authorization: Bearer …`"));
    };
    let gym = token.split('.').next().unwrap_or_default();
    let known = app.service().known_by_token(gym, token).await?;
    Ok(known.map(Login::Token).ok_or("this token is not known, was taken back, or its time is over"))
}

async fn by_cookie(app: &App, parts: &Parts) -> Found {
    let Some((gym, secret)) = cookie::read(app, &parts.headers) else {
        return Ok(Err("log in, or send a token: `Authorization: Bearer …`"));
    };
    let known = app.service().known_by_login(&gym, &secret).await?;
    Ok(known.map(|known| Login::Cookie(known, secret)).ok_or("this login is over: log in again"))
}

impl Login {
    /// An error unless a call that changes something comes from the host's own pages, or from a program.
    pub(crate) fn comes_from_here(&self, app: &App, parts: &Parts) -> Result<(), Problem> {
        let Login::Cookie(known, _) = self else { return Ok(()) };
        if parts.method == Method::GET || parts.method == Method::HEAD {
            return Ok(());
        }
        from_here(app, parts)?;
        let sent = parts.headers.get(CSRF).and_then(|value| value.to_str().ok()).unwrap_or_default();
        match &known.by {
            By::Login { csrf } if same(csrf, sent) => Ok(()),
            _ => Err(Kind::ForeignPage.with("send in `X-CSRF-Token` what the login answered as `csrf`")),
        }
    }
}
