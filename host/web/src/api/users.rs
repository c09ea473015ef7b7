//! Who may log in: for owners.

use axum::extract::State;
use classwright_app::service::accounts::{Invited, NewUser, OneTimeLink, UserChange, UserDoc};
use classwright_app::service::{Page, Service, Stored};

use crate::access::{Scope, owners};
use crate::answer::{Created, Tagged};
use crate::etag::IfMatch;
use crate::extract::{Caller, Ids, Json, Paging};
use crate::problem::Answer;
use crate::routes::{Route, create, get, patch, post};

const ALL: &str = "/v1/gyms/{gym}/users";
const ONE: &str = "/v1/gyms/{gym}/users/{user}";
const LINK: &str = "/v1/gyms/{gym}/users/{user}/link";

pub(crate) fn routes() -> Vec<Route> {
    let may = owners(Scope::Accounts);
    vec![
        get("users.list", ALL, may, list, "Who may log in, in pages"),
        create("users.invite", ALL, may, invite, "Lets somebody in: answers with a link for their password").secret(),
        get("users.show", ONE, may, show, "One user"),
        patch("users.change", ONE, may, change, "Changes a user: name, login, role, who they are, whether kept out"),
        post("users.link", LINK, may, link, "Makes a link by which a user chooses a new password"),
    ]
}

async fn list(
    State(service): State<Service>,
    Caller(who): Caller,
    paging: Paging,
) -> Answer<Json<Page<Stored<UserDoc>>>> {
    Ok(Json(service.users(&who, paging.after.as_deref(), paging.limit).await?))
}

async fn invite(
    State(service): State<Service>,
    Caller(who): Caller,
    Json(new): Json<NewUser>,
) -> Answer<Created<Invited>> {
    let value = service.make_user(&who, &new).await?;
    let at = format!("/v1/gyms/{}/users/{}", who.gym, value.user.value.id);
    Ok(Created { at, revision: Some(value.user.revision), value })
}

async fn show(State(service): State<Service>, Caller(who): Caller, Ids([user]): Ids<1>) -> Answer<Tagged<UserDoc>> {
    Ok(Tagged(service.user(&who, &user).await?))
}

async fn change(
    State(service): State<Service>,
    Caller(who): Caller,
    Ids([user]): Ids<1>,
    IfMatch(expected): IfMatch,
    Json(change): Json<UserChange>,
) -> Answer<Tagged<UserDoc>> {
    Ok(Tagged(service.change_user(&who, &user, &change, expected).await?))
}

async fn link(State(service): State<Service>, Caller(who): Caller, Ids([user]): Ids<1>) -> Answer<Json<OneTimeLink>> {
    Ok(Json(service.new_password_link(&who, &user).await?))
}
