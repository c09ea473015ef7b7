//! What programs log in with.

use axum::Extension;
use axum::extract::State;
use classwright_app::service::accounts::{MadeToken, NewToken, TokenDoc};
use classwright_app::service::auth::By;
use classwright_app::service::{Page, Service};

use crate::access::{Scope, own};
use crate::answer::{Created, Done};
use crate::auth::Login;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::{Answer, Kind};
use crate::routes::{Route, create, delete, get};

const ALL: &str = "/v1/gyms/{gym}/tokens";
const ONE: &str = "/v1/gyms/{gym}/tokens/{token}";

pub(crate) fn routes() -> Vec<Route> {
    let may = own(Scope::Accounts);
    vec![
        get("tokens.list", ALL, may, list, "One's own tokens, or for an owner those of everybody, in pages"),
        create("tokens.make", ALL, may, make, "Makes a token for oneself; its secret is shown this once").secret(),
        delete("tokens.revoke", ONE, may, revoke, "Takes a token back: one's own, or as an owner anybody's"),
    ]
}

async fn list(State(service): State<Service>, Caller(who): Caller, paging: Paging) -> Answer<Json<Page<TokenDoc>>> {
    Ok(Json(service.tokens(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn make(
    State(service): State<Service>,
    Caller(who): Caller,
    Extension(login): Extension<Login>,
    Json(new): Json<NewToken>,
) -> Answer<Created<MadeToken>> {
    match &login {
        Login::Console => {
            let words = "a token stands for a user: log in as one. To get in, an owner makes a link for a password";
            return Err(Kind::NotAllowed.with(words));
        }
        Login::Token(known) => {
            if let By::Token { scopes } = &known.by
                && let Some(beyond) = new.scopes.iter().find(|scope| !scopes.contains(scope))
            {
                let words = "a token makes no token that may more than itself; it lacks the scope";
                return Err(Kind::NotAllowed.with(format!("{words} `{}`", beyond.id())));
            }
        }
        Login::Cookie(..) => {}
    }
    let value = service.make_token(&who, &new).await?;
    Ok(Created { at: format!("/v1/gyms/{}/tokens/{}", who.gym, value.token.id), revision: None, value })
}

async fn revoke(State(service): State<Service>, Caller(who): Caller, Ids([token]): Ids<1>) -> Answer<Done> {
    service.revoke_token(&who, &token).await?;
    Ok(Done)
}
