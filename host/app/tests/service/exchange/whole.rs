//! A whole gym in and out without loss.

use classwright_app::service::exchange::{read_gym_folder, write_gym_folder};
use classwright_app::service::{Role, Who};
use classwright_app::{AppError, PlanRequest, plan_class};
use classwright_store::db::{gyms, ledger};
use classwright_store::record::GymRecords;
use serde_json::json;

use super::{Data, HALL, demo, demo_folder, faults};

/// The same gym, its components by name only. Those of the house call themselves so.
fn by_name(mut records: GymRecords) -> GymRecords {
    for policy in &mut records.shelf {
        policy.file = policy.file.rsplit('/').next().unwrap().replace("house-", "");
    }
    records
}

#[tokio::test(flavor = "multi_thread")]
async fn the_demo_gym_goes_in_and_out_without_loss() {
    let data = Data::new().await;
    let imported = data.service.import_gym(&data.console, demo()).await.unwrap();
    assert_eq!((imported.athletes, imported.sessions, imported.classes, imported.movements), (29, 9, 9, 1));
    let policies: Vec<_> = imported.policies.iter().map(|one| (one.policy.as_str(), one.enabled, one.passed)).collect();
    assert_eq!(
        policies,
        [("house-scaling", true, true), ("house-substitution", true, true), ("house-heats", true, true)]
    );

    let exported = data.service.export_gym(&data.console).await.unwrap();
    assert!(exported.faults.is_empty(), "{:?}", exported.faults);
    let again = GymRecords::of_files(&exported.bundle.files).unwrap();
    assert_eq!(by_name(again), by_name(GymRecords::of_folder(&demo_folder()).unwrap()));
    let policies: Vec<&str> = exported.bundle.components.keys().map(String::as_str).collect();
    assert_eq!(
        policies,
        ["house-heats", "house-scaling", "house-substitution"].map(|name| format!("policies/{name}.wasm"))
    );

    // Through a folder into another gym, and out once more: the same bytes.
    let folder = data.folder.path().join("out");
    write_gym_folder(&folder, &exported.bundle).unwrap();
    let bundle = read_gym_folder(&folder).unwrap();
    assert_eq!(bundle, exported.bundle);
    let other = Who::console("other");
    data.service.import_gym(&other, bundle).await.unwrap();
    assert_eq!(data.service.export_gym(&other).await.unwrap(), exported);

    // A class is planned from the folder that came out as from the one that went in.
    let plan = |gym: &std::path::Path| {
        let request = PlanRequest {
            gym,
            session: None,
            class: Some("sunday-pull"),
            present: &[],
            absent: &[],
            beside: &[],
            cache_dir: None,
        };
        serde_json::to_string(&plan_class(&request).unwrap().document).unwrap()
    };
    assert_eq!(plan(&folder), plan(&demo_folder()));

    let mut conn = data.service.db().read().await.unwrap();
    let noted = ledger::list(&mut conn, HALL, 0, 100).await.unwrap();
    let last = noted.last().unwrap();
    assert_eq!((last.what.as_str(), last.about.as_str()), ("gym.imported", "gym:hall"));
    assert!(noted.iter().all(|entry| !entry.detail.contains("shoulder")));
    assert_eq!(ledger::verify(&mut conn, HALL).await.unwrap(), None);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_gym_that_is_there_and_empty_is_filled_and_one_with_people_is_not() {
    let data = Data::new().await;
    let mut change = data.service.db().write(HALL, "console").await.unwrap();
    gyms::make(&mut change, "Nameless", &json!({}), &json!([])).await.unwrap();
    change.commit().await.unwrap();
    let mut bundle = demo();
    bundle.files.remove("shelf.toml");
    let owner = Who { id: "olga".into(), ..Who::console(HALL) };
    let imported = data.service.import_gym(&owner, bundle.clone()).await.unwrap();
    assert_eq!(imported.name, "Quayside Strength Hall");
    let before = data.service.export_gym(&owner).await.unwrap();
    let error = data.service.import_gym(&owner, bundle.clone()).await.unwrap_err();
    assert!(error.to_string().contains("`hall` has athletes already"), "{error}");
    assert_eq!(data.service.export_gym(&owner).await.unwrap(), before);

    // A gym that is not there is for whoever has the data in hand.
    let stranger = Who { gym: "other".into(), id: "olga".into(), role: Role::Owner, athlete: None };
    assert!(data.service.import_gym(&stranger, bundle.clone()).await.is_err());
    let error = data.service.import_gym(&Who::console("Über"), bundle).await.unwrap_err();
    assert!(matches!(error, AppError::Input { .. }), "{error:?}");
    assert_eq!(data.gyms().await, [HALL]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_read_is_told_whole_and_nothing_is_kept() {
    let data = Data::new().await;
    let mut bundle = demo();
    bundle.files.remove("shelf.toml");
    bundle
        .files
        .insert("sessions/monday.md".into(), "# Monday\n- length: 60 min\n\n## Strength\n- 5 back squit\n".into());
    bundle.files.insert("sessions/friday.md".into(), "nothing\n".into());
    let told = faults(data.service.import_gym(&data.console, bundle.clone()).await.unwrap_err());
    assert!(
        told.iter().any(|fault| fault.starts_with("sessions/monday.md:5: ") && fault.contains("back squat")),
        "{told:?}"
    );
    assert!(told.iter().any(|fault| fault.starts_with("sessions/friday.md:1: ")), "{told:?}");

    bundle.files.insert("roster.csv".into(), "id,name,column,skill,place\nama,Ama,7,3,floor\n".into());
    let told = faults(data.service.import_gym(&data.console, bundle).await.unwrap_err());
    assert!(told.iter().any(|fault| fault.starts_with("roster.csv:2: column: ")), "{told:?}");

    let mut without = demo();
    without.components.remove("../plugins/heats/heats.wasm");
    let error = data.service.import_gym(&data.console, without).await.unwrap_err();
    assert!(error.to_string().contains("components[\"../plugins/heats/heats.wasm\"]"), "{error}");
    let mut rotten = demo();
    rotten.components.insert("../plugins/heats/heats.wasm".into(), "AAAA".into());
    assert!(matches!(data.service.import_gym(&data.console, rotten).await, Err(AppError::Policy(_))));
    assert!(data.gyms().await.is_empty());
}

#[test]
fn a_folder_without_a_component_is_told_by_its_file() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("gym");
    let mut bundle = demo();
    bundle.components.clear();
    write_gym_folder(&folder, &bundle).unwrap();
    let error = read_gym_folder(&folder).unwrap_err();
    assert!(matches!(&error, AppError::File { path, .. } if path.ends_with("scaling.wasm")), "{error:?}");
    assert!(write_gym_folder(&folder, &bundle).is_err(), "the folder is there already");
}
