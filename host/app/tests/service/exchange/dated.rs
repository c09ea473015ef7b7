//! A class of a folder is planned with the bests and limitations that hold on its day.

use std::path::Path;

use classwright_app::service::exchange::{BundleDoc, write_gym_folder};
use classwright_app::{PlanRequest, plan_class};

use super::demo;

/// The cards of Sunday's lifting class, or of its session without a day, from the demo gym with some files changed.
fn cards(change: impl FnOnce(&mut BundleDoc), with_day: bool) -> String {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("gym");
    let mut bundle = demo();
    // The heats policy takes long, and lays out cards that are done.
    bundle.components.retain(|path, _| !path.contains("heats"));
    bundle.files.insert("shelf.toml".into(), shelf(&bundle));
    bundle.components =
        std::mem::take(&mut bundle.components).into_iter().map(|(path, bytes)| (name(&path), bytes)).collect();
    let text = bundle.files["sessions/sunday-lift.md"].replace("- date: 2026-12-13\n", "");
    assert!(!text.contains("2026"), "the session has no other day");
    bundle.files.insert("sessions/dayless.md".into(), text);
    change(&mut bundle);
    write_gym_folder(&folder, &bundle).unwrap();
    let session = folder.join("sessions/dayless.md");
    let (class, session): (_, Option<&Path>) =
        if with_day { (Some("sunday-lift"), None) } else { (None, Some(&session)) };
    let request = PlanRequest { gym: &folder, session, class, present: &[], absent: &[], beside: &[], cache_dir: None };
    serde_json::to_string_pretty(&plan_class(&request).unwrap().document.cards).unwrap()
}

fn name(path: &str) -> String {
    path.rsplit('/').next().unwrap().to_owned()
}

fn shelf(bundle: &BundleDoc) -> String {
    bundle.components.keys().map(|path| format!("[[policy]]\nfile = \"{}\"\n", name(path))).collect()
}

/// Every limitation with a first and a last day.
fn limited(since: &str, until: &str) -> impl FnOnce(&mut BundleDoc) {
    let (since, until) = (since.to_owned(), until.to_owned());
    move |bundle| {
        let file = bundle.files.get_mut("limitations.csv").unwrap();
        let rows = file.lines().skip(1).map(|row| format!("{row},{since},{until}\n"));
        *file = format!("athlete,region,side,severity,since,until\n{}", rows.collect::<String>());
    }
}

fn unlimited(bundle: &mut BundleDoc) {
    bundle.files.remove("limitations.csv");
}

#[test]
fn a_limitation_holds_to_its_last_day_and_without_a_day_it_holds() {
    let (limits, none) = (cards(|_| {}, true), cards(unlimited, true));
    assert_ne!(limits, none, "the class has people with limitations");
    assert_eq!(cards(limited("", "2026-12-13"), true), limits);
    assert_eq!(cards(limited("2026-12-13", ""), true), limits);
    assert_eq!(cards(limited("", "2026-12-12"), true), none);
    assert_eq!(cards(limited("2026-12-14", ""), true), none);
    assert_eq!(cards(limited("", "2026-12-12"), false), cards(|_| {}, false));
}

#[test]
fn a_best_of_a_later_day_is_not_planned_with_yet() {
    let best = |since: &'static str| {
        move |bundle: &mut BundleDoc| {
            let file = bundle.files.get_mut("bests.csv").unwrap();
            let rows: String = file.lines().skip(1).map(|row| format!("{row},\n{}\n", later(row, since))).collect();
            *file = format!("athlete,movement,load,how,since\n{rows}");
        }
    };
    let now = cards(|_| {}, true);
    assert_eq!(cards(best("2026-12-14"), true), now);
    assert_ne!(cards(best("2026-12-13"), true), now);
}

/// A best of half as much from a day on.
fn later(row: &str, since: &str) -> String {
    let fields: Vec<&str> = row.split(',').collect();
    let kg: f64 = fields[2].trim_end_matches(" kg").parse().unwrap();
    format!("{},{},{} kg,{},{since}", fields[0], fields[1], (kg / 2.0).round(), fields[3])
}
