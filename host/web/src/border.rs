//! Where every call is held before it reaches a handler: who is it, and may they.
//!
//! A path that is not in the table is not told from one that is to whoever has no login.

use axum::extract::{FromRequestParts, RawPathParams, Request, State};
use axum::http::request::Parts;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use classwright_app::service::auth::By;
use classwright_app::service::{Role, Who};

use crate::access::May;
use crate::auth::{self, Login};
use crate::problem::{Kind, Problem};
use crate::routes::Entry;
use crate::state::App;

/// Holds a call of a route against what the table says of it.
pub(crate) async fn guard(State((app, entry)): State<(App, Entry)>, request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    match admit(&app, &entry, &mut parts).await {
        Ok(()) => next.run(Request::from_parts(parts, body)).await,
        Err(problem) => problem.into_response(),
    }
}

async fn admit(app: &App, entry: &Entry, parts: &mut Parts) -> Result<(), Problem> {
    if entry.access.may == May::Everybody {
        return Ok(());
    }
    let login = auth::login(app, parts).await?;
    let gym = gym_of(parts).await?;
    let who = in_gym(app, entry, &login, gym.as_deref()).await?;
    login.comes_from_here(app, parts)?;
    if !entry.access.may.allows(who.role) {
        let sentence = entry.access.may.sentence();
        return Err(Kind::NotAllowed.with(format!("this is not for {}. {sentence}", named(who.role))));
    }
    in_scope(&login, entry)?;
    parts.extensions.insert(who);
    parts.extensions.insert(login);
    Ok(())
}

/// A path that is not in the table.
pub(crate) async fn no_path(State(app): State<App>, parts: Parts) -> Problem {
    match auth::login(&app, &parts).await {
        Ok(_) => Kind::NoPath.with("there is no such path: `/openapi.json` lists those there are"),
        Err(problem) => problem,
    }
}

/// A path that is in the table, and not with this method.
pub(crate) async fn no_method(State(app): State<App>, parts: Parts) -> Problem {
    match auth::login(&app, &parts).await {
        Ok(_) => Kind::Method.with("this path does not answer to this method: `Allow` names those it answers to"),
        Err(problem) => problem,
    }
}

async fn gym_of(parts: &mut Parts) -> Result<Option<String>, Problem> {
    let params = RawPathParams::from_request_parts(parts, &())
        .await
        .map_err(|error| Kind::Malformed.with(format!("the path cannot be read: {error}")))?;
    Ok(params.iter().find(|(name, _)| *name == "gym").map(|(_, gym)| gym.to_owned()))
}

fn named(role: Role) -> &'static str {
    match role {
        Role::Athlete => "an athlete",
        Role::Coach => "a coach",
        Role::Owner => "an owner",
    }
}

/// Who somebody is in the gym of the path; a path without a gym is of their own.
async fn in_gym(app: &App, entry: &Entry, login: &Login, gym: Option<&str>) -> Result<Who, Problem> {
    let known = match login {
        Login::Token(known) | Login::Cookie(known, _) => known,
        Login::Console => return console(app, entry, gym).await,
    };
    match gym {
        Some(gym) if gym != known.who.gym => {
            // The same words whether or not there is such a gym.
            Err(Kind::NotAllowed.with(format!("this login is for the gym `{}` alone", known.who.gym)))
        }
        _ => Ok(known.who.clone()),
    }
}

async fn console(app: &App, entry: &Entry, gym: Option<&str>) -> Result<Who, Problem> {
    let Some(gym) = gym else { return Ok(Who::console("")) };
    if !gym.contains('\0') && (entry.new_gym || app.service().has_gym(gym).await?) {
        return Ok(Who::console(gym));
    }
    Err(Kind::Missing.with(format!("there is no gym {gym:?}")).member("what", "gym").member("id", gym))
}

/// An error unless a token may be used for the route.
fn in_scope(login: &Login, entry: &Entry) -> Result<(), Problem> {
    let Login::Token(known) = login else { return Ok(()) };
    let scope = entry.access.scope;
    match &known.by {
        By::Token { scopes } if scopes.contains(&scope) => Ok(()),
        _ => Err(Kind::NotAllowed
            .with(format!("this token may not be used for that: it lacks the scope `{}`", scope.id()))
            .member("scope", scope.id())),
    }
}
