//! The editable records of a gym: people, kit, movements, sessions, classes.

mod classes;
mod erase;
mod kit;
mod people;
mod sessions;

use classwright_app::service::sessions::NewSession;
use classwright_app::service::{Role, Service, ServiceOptions, Who};
use classwright_app::{AppError, Db, Place};
use classwright_store::FileError;
use classwright_store::db::{events, gyms, ledger};
use classwright_store::record::{AthleteRecord, ClassRecord, KitRecord};
use serde_json::json;
use tempfile::TempDir;

const HALL: &str = "hall";

/// A session that every gym of these tests can read.
const LIFT: &str = "# Lift\n- length: 60 min\n\n## Strength: 5 sets, rest 2:00\n- 5 back squat @ 60 kg\n";

/// A service on data of its own, with a gym that has a floor, two athletes and a session.
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
        let service = Service::new(db, ServiceOptions::default()).unwrap();
        let owner = Who { id: "olga".into(), ..Who::console(HALL) };
        let hall = Hall { service, owner, _folder: folder };
        hall.service.put_kit(&hall.owner, "floor", floor(2), Some(0)).await.unwrap();
        for id in ["ama", "bram"] {
            hall.service.add_athlete(&hall.owner, athlete(id)).await.unwrap();
        }
        hall.service.add_session(&hall.owner, NewSession { id: "lift".into(), text: LIFT.into() }).await.unwrap();
        hall
    }

    /// Somebody who trains there and has a login.
    fn trainee(&self, athlete: Option<&str>) -> Who {
        let athlete = athlete.map(str::to_owned);
        Who { gym: HALL.into(), id: "u7".into(), role: Role::Athlete, athlete }
    }

    async fn world(&self) -> i64 {
        gyms::world(&mut self.service.db().read().await.unwrap(), HALL).await.unwrap()
    }

    /// What the ledger says was done, with its details.
    async fn noted(&self) -> Vec<String> {
        let entries = ledger::list(&mut self.service.db().read().await.unwrap(), HALL, 0, 1000).await.unwrap();
        entries.into_iter().map(|entry| format!("{} {} {}", entry.what, entry.about, entry.detail)).collect()
    }

    /// What was told to whoever watches a class.
    async fn told(&self, class: &str) -> Vec<String> {
        let mut conn = self.service.db().read().await.unwrap();
        let told = events::after(&mut conn, HALL, class, 0, 1000).await.unwrap();
        told.into_iter().map(|event| format!("{} {}", event.kind, event.body)).collect()
    }
}

fn athlete(id: &str) -> AthleteRecord {
    AthleteRecord {
        id: id.into(),
        name: format!("{id} Oakhollow"),
        column: 1,
        skill: 3,
        place: "floor".into(),
        ..AthleteRecord::default()
    }
}

/// A floor with some bars (A1, A2, …) and a rack for each.
fn floor(bars: u32) -> KitRecord {
    serde_json::from_value(json!({
        "bar": [{ "type": "bar-20", "name": "20 kg bar", "mass": "20 kg", "count": bars }],
        "plate": [{ "mass": "20 kg", "pairs": 4 }],
        "kit": [{ "kind": "rack", "count": bars }],
    }))
    .unwrap()
}

fn class(id: &str, date: &str) -> ClassRecord {
    ClassRecord {
        id: id.into(),
        date: date.into(),
        time: "18:00".into(),
        zone: "Europe/London".into(),
        session: "lift".into(),
        coach: "Rowan Marlfield".into(),
        ..ClassRecord::default()
    }
}

/// The faults of a refused change.
fn faults(error: AppError) -> Vec<FileError> {
    match error {
        AppError::Gym(faults) => faults,
        other => panic!("{other:?}"),
    }
}
