//! Plans of classes whose data is kept: made, made again, replayed, set by hand, tried, and what happens under load.

mod attempts;
mod by_hand;
mod cards;
mod load;
mod made;
mod replays;

use std::path::{Path, PathBuf};

use classwright_app::service::{Role, Service, ServiceOptions, Who};
use classwright_app::{Db, Place, PlanRequest, plan_class};
use classwright_store::db::{AnyConnection, athletes, bests, classes, gyms, kits, limitations, movements, sessions};
use classwright_store::record::GymRecords;
use serde_json::Value;
use tempfile::TempDir;

pub(crate) const GYM: &str = "quayside";

/// A service on data of its own, with the demo gym in it.
pub(crate) struct Ground {
    pub(crate) service: Service,
    pub(crate) owner: Who,
    folder: TempDir,
}

impl Ground {
    pub(crate) async fn new() -> Ground {
        Ground::with(ServiceOptions::default()).await
    }

    pub(crate) async fn with(options: ServiceOptions) -> Ground {
        let folder = tempfile::tempdir().unwrap();
        let db = Db::open(&Place::File(folder.path().join("gym.db"))).await.unwrap();
        let options = ServiceOptions { cache_dir: Some(cache_dir()), ..options };
        let service = Service::new(db, options).unwrap();
        let ground = Ground { service, owner: Who::console(GYM), folder };
        ground.add_gym(GYM).await;
        ground
    }

    /// Where the data is.
    pub(crate) fn file(&self) -> PathBuf {
        self.folder.path().join("gym.db")
    }

    /// The demo gym under an id, with the shelf that its folder has.
    pub(crate) async fn add_gym(&self, gym: &str) {
        let records = GymRecords::of_folder(&demo_gym()).unwrap();
        let mut change = self.service.db().write(gym, "console").await.unwrap();
        let rules = serde_json::to_value(&records.rules).unwrap();
        let kinds = serde_json::to_value(&records.kit_kinds).unwrap();
        gyms::make(&mut change, &records.name, &rules, &kinds).await.unwrap();
        kits::insert(&mut change, "floor", &records.floor_kit).await.unwrap();
        for home in &records.homes {
            kits::insert(&mut change, &home.id, &home.kit).await.unwrap();
        }
        for movement in &records.movements {
            movements::insert(&mut change, movement).await.unwrap();
        }
        for athlete in &records.athletes {
            athletes::insert(&mut change, &athlete.record).await.unwrap();
            for best in &athlete.bests {
                bests::add(&mut change, &athlete.record.id, best).await.unwrap();
            }
            for limitation in &athlete.limitations {
                limitations::add(&mut change, &athlete.record.id, limitation).await.unwrap();
            }
        }
        for (id, text) in &records.sessions {
            sessions::insert(&mut change, id, id, text).await.unwrap();
        }
        for class in &records.classes {
            classes::insert(&mut change, class).await.unwrap();
        }
        change.commit().await.unwrap();
        let owner = Who::console(gym);
        for policy in &records.shelf {
            let bytes = std::fs::read(demo_gym().join(&policy.file)).unwrap();
            let name = self.service.install_policy(&owner, bytes).await.unwrap().policy.name;
            self.service.set_settings(&owner, &name, None, &policy.settings).await.unwrap();
            self.service.set_limits(&owner, &name, None, &policy.limits).await.unwrap();
            self.service.enable_policy(&owner, &name, false).await.unwrap();
        }
    }

    /// Installs a policy at the end of the shelf, asked whatever it answers, and gives back its name.
    pub(crate) async fn ask_also(&self, gym: &str, bytes: Vec<u8>) -> String {
        let owner = Who::console(gym);
        let name = self.service.install_policy(&owner, bytes).await.unwrap().policy.name;
        self.service.enable_policy(&owner, &name, true).await.unwrap();
        name
    }

    /// Plans a class, and gives back the plan's id.
    pub(crate) async fn plan(&self, class: &str) -> String {
        self.service.plan(&self.owner, class).await.unwrap().plan.plan
    }

    pub(crate) async fn document(&self, plan: &str) -> Value {
        serde_json::from_str(&self.service.plan_text(&self.owner, plan).await.unwrap()).unwrap()
    }

    /// Does something to the data past everything of ours.
    pub(crate) async fn meddle(&self, sql: &'static str) {
        use sqlx::Connection;
        let url = format!("sqlite://{}", self.file().display());
        let mut connection = AnyConnection::connect(&url).await.unwrap();
        let done = sqlx::query(sql).execute(&mut connection).await.unwrap();
        assert!(done.rows_affected() > 0, "{sql}");
    }
}

pub(crate) fn coach() -> Who {
    Who { id: "rowan".into(), role: Role::Coach, ..Who::console(GYM) }
}

pub(crate) fn athlete(id: &str) -> Who {
    Who { id: format!("user-{id}"), role: Role::Athlete, athlete: Some(id.into()), ..Who::console(GYM) }
}

pub(crate) fn demo_gym() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")
}

/// Compiled components are shared by the tests: compiling takes longer than planning.
pub(crate) fn cache_dir() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("compiled")
}

/// What `classwright plan --gym demo-gym --class CLASS --json` prints.
pub(crate) fn by_folder(class: &str, beside: &[PathBuf]) -> String {
    let planned = plan_class(&PlanRequest {
        gym: &demo_gym(),
        session: None,
        class: Some(class),
        present: &[],
        absent: &[],
        beside,
        cache_dir: Some(cache_dir()),
    });
    serde_json::to_string_pretty(&planned.unwrap().document).unwrap() + "\n"
}
