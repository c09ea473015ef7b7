//! Links that work once: a small page with a form, that needs no script.
//!
//! The secret stands in the path, so nothing that these pages hold leads anywhere else, and the log names the route,
//! never the path.

use axum::extract::State;
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use classwright_app::AppError;
use classwright_app::service::accounts::{FirstGym, FirstOwner, LinkFor};
use schemars::JsonSchema;
use serde::Deserialize;

use crate::access::EVERYBODY;
use crate::auth::{address, from_here};
use crate::extract::{Form, Gym, Ids};
use crate::page::{self, Field, Page};
use crate::problem::{Kind, Problem};
use crate::routes::{Route, get, post};
use crate::state::App;

const START: &str = "/start/{link}";
const LINK: &str = "/gyms/{gym}/link/{link}";

pub(crate) fn routes() -> Vec<Route> {
    vec![
        get("login.first-form", START, EVERYBODY, start_form, "The form for the first gym and its owner"),
        post("login.first", START, EVERYBODY, start, "Makes the first gym and its owner"),
        get("login.link-form", LINK, EVERYBODY, link_form, "The form for a gym's first owner, or for a password"),
        post("login.link", LINK, EVERYBODY, link, "Makes a gym's first owner, or sets a password"),
    ]
}

/// What the forms send.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", default)]
struct Sent {
    /// Id of the gym.
    gym_id: String,
    /// What the gym is called.
    gym_name: String,
    /// What one is called.
    name: String,
    /// What one logs in with.
    login: String,
    /// The password.
    password: String,
    /// The password again.
    again: String,
}

async fn start_form(State(app): State<App>, Ids([link]): Ids<1>, parts: Parts) -> Result<Page, Failed> {
    open(&app, "", &link, &parts).await?;
    Ok(first_gym(&Sent::default(), None))
}

async fn start(
    State(app): State<App>,
    Ids([link]): Ids<1>,
    parts: Parts,
    Form(sent): Form<Sent>,
) -> Result<Page, Failed> {
    from_here(&app, &parts)?;
    open(&app, "", &link, &parts).await?;
    let new = FirstGym { id: sent.gym_id.clone(), name: sent.gym_name.clone(), owner: owner(&sent) };
    let done = match again(&sent) {
        Ok(()) => app.service().use_first_gym(&link, &new).await,
        Err(error) => Err(error),
    };
    shown(done, |problem| first_gym(&sent, Some(problem)), &format!("The gym {} is there, and you own it.", new.name))
}

async fn link_form(State(app): State<App>, Gym(gym): Gym, Ids([link]): Ids<1>, parts: Parts) -> Result<Page, Failed> {
    Ok(match open(&app, &gym, &link, &parts).await? {
        LinkFor::Password { login } => password(&login, None),
        _ => first_owner(&gym, &Sent::default(), None),
    })
}

async fn link(
    State(app): State<App>,
    Gym(gym): Gym,
    Ids([link]): Ids<1>,
    parts: Parts,
    Form(sent): Form<Sent>,
) -> Result<Page, Failed> {
    from_here(&app, &parts)?;
    let purpose = open(&app, &gym, &link, &parts).await?;
    let checked = again(&sent);
    if let LinkFor::Password { login } = purpose {
        let done = match checked {
            Ok(()) => app.service().use_password_link(&gym, &link, &sent.password).await,
            Err(error) => Err(error),
        };
        return shown(done, |problem| password(&login, Some(problem)), "Your password is set.");
    }
    let done = match checked {
        Ok(()) => app.service().use_first_owner(&gym, &link, &owner(&sent)).await,
        Err(error) => Err(error),
    };
    shown(done, |problem| first_owner(&gym, &sent, Some(problem)), "You own this gym now.")
}

/// What a link that works is for.
async fn open(app: &App, gym: &str, link: &str, parts: &Parts) -> Result<LinkFor, Failed> {
    app.limits().link(address(app, parts))?;
    match app.service().link(gym, link).await.map_err(Problem::from)? {
        Some(purpose) => Ok(purpose),
        None => Err(Failed::Page(page::plain(
            "This link does not work",
            "It was used, its time is over, or it is not whole. Ask an owner of the gym for a new one; whoever runs the \
             host gets one for the first owner by starting it again.",
            StatusCode::UNAUTHORIZED,
        ))),
    }
}

fn shown(done: Result<(), AppError>, form: impl FnOnce(String) -> Page, what: &str) -> Result<Page, Failed> {
    match done {
        Ok(()) => Ok(page::plain(
            "Done",
            &format!("{what} Log in with the name and the password that you chose."),
            StatusCode::OK,
        )),
        Err(error @ (AppError::Input { .. } | AppError::NotAllowed(_))) => Ok(form(error.to_string())),
        Err(error) => Err(Problem::from(error).into()),
    }
}

fn again(sent: &Sent) -> Result<(), AppError> {
    if sent.password == sent.again { Ok(()) } else { Err(AppError::input("password", "was not the same both times")) }
}

fn owner(sent: &Sent) -> FirstOwner {
    FirstOwner { name: sent.name.clone(), login: sent.login.clone(), password: sent.password.clone() }
}

fn first_gym(sent: &Sent, problem: Option<String>) -> Page {
    let mut fields = vec![
        Field::text("gym-name", "Name of the gym", &sent.gym_name),
        Field::text("gym-id", "Its id: small letters, digits and hyphens", &sent.gym_id),
    ];
    fields.extend(owner_fields(sent));
    page::form("The first gym", "There is no gym yet. Make it, and yourself its owner.", fields, problem)
}

fn first_owner(gym: &str, sent: &Sent, problem: Option<String>) -> Page {
    let words = format!("The gym {gym} has no owner yet. Make yourself its owner.");
    page::form("The first owner", &words, owner_fields(sent), problem)
}

fn password(login: &str, problem: Option<String>) -> Page {
    let words = format!("Choose the password for {login}. Wherever you are logged in, that ends.");
    page::form("Your password", &words, password_fields(), problem)
}

fn owner_fields(sent: &Sent) -> Vec<Field> {
    let mut fields = vec![
        Field::text("name", "Your name", &sent.name),
        Field::text("login", "What you log in with, such as your address of mail", &sent.login),
    ];
    fields.extend(password_fields());
    fields
}

fn password_fields() -> Vec<Field> {
    vec![Field::password("password", "Password, 12 characters at least"), Field::password("again", "The same again")]
}

/// Not as asked: a page where one of ours was asked for, else a problem.
pub(crate) enum Failed {
    Page(Page),
    Problem(Problem),
}

impl From<Problem> for Failed {
    fn from(problem: Problem) -> Self {
        Failed::Problem(problem)
    }
}

impl IntoResponse for Failed {
    fn into_response(self) -> Response {
        match self {
            Failed::Page(page) => page.into_response(),
            Failed::Problem(problem) if problem.status() == Kind::TooMany.status() => {
                let words = "Too many links were tried from where you are. Wait a minute, and load this page again.";
                page::plain("Wait a moment", words, problem.status()).into_response()
            }
            Failed::Problem(problem) => problem.into_response(),
        }
    }
}

impl aide::OperationOutput for Failed {
    type Inner = ();
}
