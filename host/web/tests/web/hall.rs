//! A gym to call: its data in a file, its people, and ways in.

use axum::Router;
use classwright_app::service::Service;
use classwright_app::{Db, Place};
use classwright_web::{App, Settings, local, router};
use serde_json::{Value, json};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};
use tempfile::TempDir;

use crate::call::{Call, Reply};

/// A password that will do.
pub(crate) const PASSWORD: &str = "eight grey ponies";

const ROSTER: &str =
    "id,name,column,skill,place,bar\nama,Ama Tidewell,2,3,floor,bar-20\nbram,Bram Oakhollow,1,3,floor,bar-20\n";
const KIT: &str = "[[bar]]\ntype = \"bar-20\"\nname = \"20 kg bar\"\nmass = \"20 kg\"\ncount = 4\n";
const CLASS: &str = "date = 2031-03-03\ntime = \"18:00\"\nzone = \"Europe/London\"\nsession = \"sessions/evening.md\"\ncoach = \"Rowan Marlfield\"\n";
const SESSION: &str = "# Evening\n- length: 45 min\n\n## Cool-down\n- 1:00 easy breathing\n";

/// A gym, from outside and from within.
pub(crate) struct Hall {
    pub(crate) app: App,
    pub(crate) outside: Router,
    pub(crate) inside: Router,
    pub(crate) folder: TempDir,
}

/// Somebody who is logged in by cookie.
#[derive(Clone, Debug)]
pub(crate) struct LoggedIn {
    pub(crate) cookie: String,
    pub(crate) csrf: String,
    pub(crate) id: String,
}

impl Hall {
    /// Data without a gym.
    pub(crate) async fn empty(settings: Settings) -> Hall {
        let folder = tempfile::tempdir().unwrap();
        let db = Db::open(&Place::File(folder.path().join("hall.db"))).await.unwrap();
        Hall::on(db, settings, folder)
    }

    pub(crate) fn on(db: Db, settings: Settings, folder: TempDir) -> Hall {
        let app = App::new(Service::new(db, settings.service()).unwrap(), settings);
        Hall { outside: router(app.clone()), inside: local(app.clone()), app, folder }
    }

    /// The gym `hall`, with Ama and Bram and one class.
    pub(crate) async fn new() -> Hall {
        Hall::with(Settings::default()).await
    }

    pub(crate) async fn with(settings: Settings) -> Hall {
        let hall = Hall::empty(settings).await;
        hall.import("hall").await;
        hall
    }

    pub(crate) async fn import(&self, gym: &str) {
        let name = format!("name = \"The {gym}\"\n");
        let files = json!({
            "gym.toml": name, "kit.toml": KIT, "roster.csv": ROSTER,
            "classes/evening.toml": CLASS, "sessions/evening.md": SESSION,
        });
        let path = format!("/v1/gyms/{gym}/import");
        Call::post(&path).json(json!({ "files": files })).of(&self.inside).await.is(201);
    }

    /// Makes a user, who has not chosen a password yet; answers with their id and the path of their link.
    pub(crate) async fn invite(&self, gym: &str, role: &str, login: &str, athlete: Option<&str>) -> (String, String) {
        let new = json!({ "name": format!("The {role}"), "login": login, "role": role, "athlete": athlete });
        let made = Call::post(&format!("/v1/gyms/{gym}/users")).json(new).of(&self.inside).await.is(201).json();
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        (text(&made["user"]["value"]["id"]), text(&made["link"]["path"]))
    }

    /// Makes a user with [`PASSWORD`].
    pub(crate) async fn user(&self, gym: &str, role: &str, login: &str, athlete: Option<&str>) -> String {
        let (id, link) = self.invite(gym, role, login, athlete).await;
        Call::post(&link).form(&[("password", PASSWORD), ("again", PASSWORD)]).of(&self.outside).await.is(200);
        id
    }

    pub(crate) async fn try_login(&self, gym: &str, login: &str, password: &str) -> Reply {
        let credentials = json!({ "login": login, "password": password });
        Call::post(&format!("/v1/gyms/{gym}/login")).json(credentials).of(&self.outside).await
    }

    pub(crate) async fn log_in(&self, gym: &str, login: &str) -> LoggedIn {
        let reply = self.try_login(gym, login, PASSWORD).await.is(200);
        let cookie = reply.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
        let me = reply.json();
        let text = |name: &str| me[name].as_str().unwrap().to_owned();
        LoggedIn { cookie, csrf: text("csrf"), id: text("user") }
    }

    /// Makes a user of `hall` and logs them in.
    pub(crate) async fn somebody(&self, role: &str) -> LoggedIn {
        let athlete = (role == "athlete").then_some("ama");
        self.user("hall", role, role, athlete).await;
        self.log_in("hall", role).await
    }

    /// Runs a statement on the data, past everything of ours.
    pub(crate) async fn meddle(&self, sql: &str) {
        let options = SqliteConnectOptions::new().filename(self.folder.path().join("hall.db"));
        let mut connection = options.connect().await.unwrap();
        sqlx::query(AssertSqlSafe(sql)).execute(&mut connection).await.unwrap();
        connection.close().await.unwrap();
    }

    /// Names of the triggers of a table.
    pub(crate) async fn triggers(&self, table: &str) -> Vec<String> {
        let options = SqliteConnectOptions::new().filename(self.folder.path().join("hall.db"));
        let mut connection = options.connect().await.unwrap();
        let names = sqlx::query_scalar("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = $1");
        names.bind(table).fetch_all(&mut connection).await.unwrap()
    }

    /// A token of somebody of `hall` for some scopes.
    pub(crate) async fn token(&self, by: &LoggedIn, scopes: &[&str]) -> String {
        let new = json!({ "name": "a test", "scopes": scopes, "days": 1 });
        let call = Call::post("/v1/gyms/hall/tokens").json(new);
        by.signs(call).of(&self.outside).await.is(201).json()["secret"].as_str().unwrap().to_owned()
    }
}

impl LoggedIn {
    /// A call with the cookie and what goes with it.
    pub(crate) fn signs(&self, call: Call) -> Call {
        call.header("cookie", &self.cookie).header("x-csrf-token", &self.csrf)
    }

    pub(crate) fn get(&self, path: &str) -> Call {
        self.signs(Call::get(path))
    }
}
