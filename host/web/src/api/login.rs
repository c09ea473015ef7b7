//! Logging in and out, and who one is.

use aide::OperationOutput;
use aide::generate::GenContext;
use aide::openapi::{Operation, Response as ApiResponse, StatusCode as ApiStatus};
use axum::Extension;
use axum::extract::State;
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use classwright_app::service::auth::{By, LoggedIn};
use classwright_app::service::{Role, Service};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::access::{EVERYBODY, Scope, members};
use crate::auth::{Login, address, cookie, from_here};
use crate::extract::{Caller, Gym, Json};
use crate::problem::{Answer, Kind};
use crate::routes::{Route, get, post, put};
use crate::state::App;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        post("login.begin", "/v1/gyms/{gym}/login", EVERYBODY, begin, "Logs in with a password, by cookie"),
        post("login.end", "/v1/gyms/{gym}/logout", members(Scope::Read), end, "Logs out"),
        get("login.me", "/v1/gyms/{gym}/me", members(Scope::Read), me, "Who one is here"),
        put("login.password", "/v1/gyms/{gym}/me/password", members(Scope::Read), password, "Sets one's own password"),
    ]
}

/// What one logs in with.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Credentials {
    /// What one is known by here, such as an address of mail.
    login: String,
    /// The password.
    password: String,
}

/// A new password for oneself.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct NewPassword {
    /// The present password.
    now: String,
    /// The one that is to be.
    new: String,
}

/// Whoever asks.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct Me {
    /// Id of the gym.
    gym: String,
    /// Id of the user; `console` for a command that has the data in hand.
    user: String,
    /// What they are called.
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<String>,
    /// What they are in the gym.
    role: Role,
    /// Who they are on the roster.
    #[serde(skip_serializing_if = "Option::is_none")]
    athlete: Option<String>,
    /// Where they are logged in by cookie: what a call that changes something sends as `X-CSRF-Token`.
    #[serde(skip_serializing_if = "Option::is_none")]
    csrf: Option<String>,
    /// Until when that holds, in milliseconds since 1970.
    #[serde(skip_serializing_if = "Option::is_none")]
    expires_at: Option<i64>,
}

/// An answer that sets or takes away the cookie of a login.
pub(crate) struct WithCookie<T> {
    cookie: String,
    answer: T,
}

async fn begin(
    State(app): State<App>,
    Gym(gym): Gym,
    parts: Parts,
    Json(credentials): Json<Credentials>,
) -> Answer<WithCookie<Json<Me>>> {
    from_here(&app, &parts)?;
    app.limits().log_in(address(&app, &parts), &gym, &credentials.login)?;
    match app.service().log_in(&gym, &credentials.login, &credentials.password).await? {
        Some(login) => Ok(logged_in(&app, &login)),
        None => Err(Kind::LoginNeeded.with(
            "the name or the password is wrong, or too many wrong passwords were tried: after some minutes it can be \
             tried again, and an owner can make a link for a new password",
        )),
    }
}

async fn end(
    State(app): State<App>,
    Caller(who): Caller,
    Extension(login): Extension<Login>,
) -> Answer<WithCookie<crate::answer::Done>> {
    let Login::Cookie(_, secret) = login else { return Err(by_cookie_only()) };
    app.service().log_out(&who.gym, &who, &secret).await?;
    Ok(WithCookie { cookie: cookie::clear(&app), answer: crate::answer::Done })
}

async fn me(Caller(who): Caller, Extension(login): Extension<Login>) -> Json<Me> {
    let mut me = Me {
        gym: who.gym,
        user: who.id,
        name: None,
        role: who.role,
        athlete: who.athlete,
        csrf: None,
        expires_at: None,
    };
    if let Login::Cookie(known, _) | Login::Token(known) = login {
        me.name = Some(known.name.clone());
        me.expires_at = Some(known.expires_at);
        if let By::Login { csrf } = &known.by {
            me.csrf = Some(csrf.clone());
        }
    }
    Json(me)
}

async fn password(
    State(app): State<App>,
    State(service): State<Service>,
    Caller(who): Caller,
    Extension(login): Extension<Login>,
    Json(passwords): Json<NewPassword>,
) -> Answer<WithCookie<Json<Me>>> {
    let Login::Cookie(..) = login else { return Err(by_cookie_only()) };
    Ok(logged_in(&app, &service.change_password(&who, &passwords.now, &passwords.new).await?))
}

fn by_cookie_only() -> crate::problem::Problem {
    Kind::NotAllowed.with("this is for whoever is logged in by a password, not for a token")
}

fn logged_in(app: &App, login: &LoggedIn) -> WithCookie<Json<Me>> {
    let known = &login.known;
    let csrf = match &known.by {
        By::Login { csrf } => Some(csrf.clone()),
        By::Token { .. } => None,
    };
    let me = Me {
        gym: known.who.gym.clone(),
        user: known.who.id.clone(),
        name: Some(known.name.clone()),
        role: known.who.role,
        athlete: known.who.athlete.clone(),
        csrf,
        expires_at: Some(known.expires_at),
    };
    WithCookie { cookie: cookie::set(app, login), answer: Json(me) }
}

impl<T: IntoResponse> IntoResponse for WithCookie<T> {
    fn into_response(self) -> Response {
        let mut response = self.answer.into_response();
        if let Ok(cookie) = HeaderValue::try_from(self.cookie) {
            response.headers_mut().insert(SET_COOKIE, cookie);
        }
        response
    }
}

impl<T: OperationOutput> OperationOutput for WithCookie<T> {
    type Inner = T::Inner;

    fn inferred_responses(ctx: &mut GenContext, operation: &mut Operation) -> Vec<(Option<ApiStatus>, ApiResponse)> {
        T::inferred_responses(ctx, operation)
    }
}
