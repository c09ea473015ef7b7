//! A place for data, on either database, and a gym in it.

use classwright_store::db::{Db, Place, Write, gyms, users};
use serde_json::json;
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

    /// Another place on the same database.
    pub(crate) fn another(&self) -> Place {
        match &self.place {
            Place::File(_) => Place::File(self.folder.path().join("another.db")),
            Place::Server(_) => Place::Server(postgres::database()),
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
            Place::File(path) => format!("sqlite://{}", path.display()),
        };
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
