//! A place for data, on either database, and a gym in it.

use classwright_store::db::{Db, Place, Write, gyms, users};
use serde_json::json;
use sqlx::any::install_default_drivers;
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Executor};
use tempfile::TempDir;

use crate::postgres;

/// The id of the gym of most tests.
pub(crate) const HALL: &str = "hall";

/// Where a test keeps its data.
pub(crate) struct Ground {
    pub(crate) place: Place,
    /// For the files of the test; removed with it.
    pub(crate) folder: TempDir,
}

impl Ground {
    pub(crate) fn sqlite() -> Ground {
        let folder = tempfile::tempdir().unwrap();
        Ground { place: Place::File(folder.path().join("hall.db")), folder }
    }

    pub(crate) fn postgres() -> Ground {
        Ground { place: Place::Server(postgres::database()), folder: tempfile::tempdir().unwrap() }
    }

    /// Opened, with a little in every table, as of schema 1.
    pub(crate) async fn with_a_little(&self) -> Db {
        let db = self.open().await;
        self.meddle(&self.in_its_words(include_str!("data/rows-1.sql"))).await.unwrap();
        db
    }

    /// Statements with bytes as the database writes them.
    pub(crate) fn in_its_words(&self, sql: &str) -> String {
        match &self.place {
            Place::File(_) => sql.to_owned(),
            Place::Server(_) => sql.replace(" X'", r" '\x"),
        }
    }

    pub(crate) async fn open(&self) -> Db {
        Db::open(&self.place).await.unwrap()
    }

    /// Opened, with a gym.
    pub(crate) async fn with_gym(&self) -> Db {
        let db = self.open().await;
        make_gym(&db, HALL).await;
        db
    }

    /// Runs a statement past everything of ours, and answers with how many rows it changed.
    pub(crate) async fn meddle(&self, sql: &str) -> Result<u64, sqlx::Error> {
        let url = match &self.place {
            Place::Server(url) => url.clone(),
            Place::File(path) => format!("sqlite://{}?mode=rwc", path.display()),
        };
        install_default_drivers();
        let mut connection = AnyConnection::connect(&url).await?;
        let changed = connection.execute(AssertSqlSafe(sql)).await?;
        connection.close().await?;
        Ok(changed.rows_affected())
    }
}

pub(crate) async fn make_gym(db: &Db, gym: &str) {
    let mut w = db.write(gym, "console").await.unwrap();
    gyms::make(&mut w, "The hall", &json!({ "watch": 20 }), &json!([])).await.unwrap();
    w.commit().await.unwrap();
}

pub(crate) async fn make_user(w: &mut Write, user: &str, role: &str) {
    let login = format!("{user}@example.org");
    let new = users::NewUser { user, name: "Somebody", login: &login, role, athlete: None };
    users::make(w, &new).await.unwrap();
}

/// Makes a test of each function, on each database.
macro_rules! on_both {
    ($($test:ident),+ $(,)?) => {
        mod on_sqlite {
            $(#[tokio::test]
            async fn $test() {
                super::$test(&$crate::hall::Ground::sqlite()).await;
            })+
        }
        mod on_postgres {
            $(#[tokio::test]
            async fn $test() {
                super::$test(&$crate::hall::Ground::postgres()).await;
            })+
        }
    };
}
pub(crate) use on_both;
