//! The shelf: policies taken in, shown, enabled, set, put in order, gone over to others and back, set aside, tried.

mod faults;
mod install;
pub(crate) mod policies;
mod standing;
mod trial;
mod upgrade;

use classwright_app::service::shelf::{InstalledDoc, ShelvedDoc};
use classwright_app::service::{Service, ServiceOptions, Stored, Who};
use classwright_app::{AppError, Db, Place};
use classwright_store::db::{gyms, ledger};
use serde_json::json;
use tempfile::TempDir;

use crate::plans::cache_dir;

const HALL: &str = "hall";

/// A service on data of its own, with a gym that has nothing yet.
struct Hall {
    service: Service,
    owner: Who,
    _folder: TempDir,
}

impl Hall {
    async fn new() -> Hall {
        let folder = tempfile::tempdir().unwrap();
        let db = Db::open(&Place::File(folder.path().join("hall.db"))).await.unwrap();
        let mut change = db.write(HALL, "console").await.unwrap();
        gyms::make(&mut change, "The hall", &json!({}), &json!([])).await.unwrap();
        change.commit().await.unwrap();
        let service =
            Service::new(db, ServiceOptions { cache_dir: Some(cache_dir()), ..ServiceOptions::default() }).unwrap();
        let owner = Who { id: "olga".into(), ..Who::console(HALL) };
        Hall { service, owner, _folder: folder }
    }

    async fn install(&self, bytes: Vec<u8>) -> InstalledDoc {
        self.service.install_policy(&self.owner, bytes).await.unwrap()
    }

    /// The names on the shelf, in order.
    async fn names(&self) -> Vec<String> {
        let shelf = self.service.policies(&self.owner).await.unwrap();
        shelf.items.into_iter().map(|stored| stored.value.policy).collect()
    }

    async fn entry(&self, policy: &str) -> Stored<ShelvedDoc> {
        let shelf = self.service.policies(&self.owner).await.unwrap();
        shelf.items.into_iter().find(|stored| stored.value.policy == policy).unwrap()
    }

    /// What the ledger says was done, by whom, to what.
    async fn noted(&self) -> Vec<String> {
        let entries = ledger::list(&mut self.service.db().read().await.unwrap(), HALL, 0, 1000).await.unwrap();
        entries.into_iter().map(|entry| format!("{} {} {}", entry.who, entry.what, entry.about)).collect()
    }
}

/// What an error says, where it is about what was sent.
fn input(error: AppError) -> (Option<String>, String) {
    match error {
        AppError::Input { field, problem } => (field, problem),
        other => panic!("{other:?}"),
    }
}
