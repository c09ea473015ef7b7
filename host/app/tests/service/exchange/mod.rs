//! A gym in and out of the data: whole, its roster as a table, one athlete's record.

mod dated;
mod person;
mod roster;
mod whole;

use std::path::PathBuf;

use classwright_app::service::exchange::{BundleDoc, read_gym_folder};
use classwright_app::service::{Service, ServiceOptions, Who};
use classwright_app::{AppError, Db, Place};
use classwright_store::db::gyms;
use tempfile::TempDir;

const HALL: &str = "hall";

/// A service on data of its own, without a gym.
struct Data {
    service: Service,
    console: Who,
    folder: TempDir,
}

impl Data {
    async fn new() -> Data {
        let folder = tempfile::tempdir().unwrap();
        let db = Db::open(&Place::File(folder.path().join("hall.db"))).await.unwrap();
        let service = Service::new(db, ServiceOptions::default()).unwrap();
        Data { service, console: Who::console(HALL), folder }
    }

    /// With the demo gym in it, but without its policies: most tests have no need of them.
    async fn with_people() -> Data {
        let data = Data::new().await;
        let mut bundle = demo();
        bundle.files.remove("shelf.toml");
        data.service.import_gym(&data.console, bundle).await.unwrap();
        data
    }

    async fn gyms(&self) -> Vec<String> {
        gyms::ids(&mut self.service.db().read().await.unwrap()).await.unwrap()
    }
}

fn demo() -> BundleDoc {
    read_gym_folder(&demo_folder()).unwrap()
}

fn demo_folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")
}

/// Every fault of refused files, in a line each.
fn faults(error: AppError) -> Vec<String> {
    match error {
        AppError::Gym(faults) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}"),
    }
}
