//! The demo gym opens and is as varied as its README says.

use std::collections::BTreeSet;
use std::path::Path;

use classwright_store::{Gym, open};
use classwright_training::{Place, Severity, Side};

fn gym() -> Gym {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym");
    open(&folder).unwrap_or_else(|errors| {
        let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
        panic!("{}", lines.join("\n"))
    })
}

#[test]
fn the_roster_is_mixed() {
    let gym = gym();
    let count =
        |wanted: &dyn Fn(&classwright_training::Athlete) -> bool| gym.athletes.iter().filter(|a| wanted(a)).count();
    assert!(gym.athletes.len() >= 26);
    assert_eq!(count(&|a| matches!(a.place, Place::Home(_))), 3);
    assert!(count(&|a| a.skill == 1) >= 3);
    assert!(count(&|a| a.bests.is_empty()) >= 3);
    let weeks: BTreeSet<_> = gym.athletes.iter().filter_map(|a| a.return_week).collect();
    assert_eq!(weeks, BTreeSet::from([1, 2, 3, 4]));
    let limits = || gym.athletes.iter().flat_map(|a| &a.limitations);
    for severity in [Severity::Mild, Severity::Moderate, Severity::Severe] {
        assert!(limits().any(|l| l.severity == severity), "{severity:?}");
    }
    for side in [Side::Both, Side::Left, Side::Right] {
        assert!(limits().any(|l| l.side == side), "{side:?}");
    }
}

#[test]
fn the_floor_holds_what_kit_toml_says_less_what_is_out_of_service() {
    let gym = gym();
    let count = |kit: &str| gym.floor_kit.count(gym.library.find_kit(kit).expect("the demo gym has it"));
    assert_eq!(gym.floor_kit.bars.len(), 8);
    assert!(gym.floor_kit.bars.iter().all(|bar| bar.id != "A6"));
    assert_eq!((count("barbell"), count("row-machine"), count("tyre")), (8, 7, 4));
    let friday = gym.classes.iter().find(|class| class.id == "friday").expect("the demo gym has it");
    let kettlebells = gym.library.find_kit("kettlebell").expect("the demo gym has it");
    let of_16 = |kit: &classwright_training::Kit| {
        kit.stock
            .iter()
            .find(|row| row.kit == kettlebells && row.load.grams() == 16_000)
            .expect("the demo gym has it")
            .count
    };
    assert_eq!((friday.floor_kit.bars.len(), of_16(&friday.floor_kit), of_16(&gym.floor_kit)), (7, 6, 8));
}

#[test]
fn monday_has_twenty_three_on_the_floor_and_three_at_home() {
    let gym = gym();
    assert_eq!(gym.classes.len(), 9);
    let monday = gym.classes.iter().find(|class| class.id == "monday").expect("the demo gym has it");
    let home = monday.present.iter().filter(|ix| gym.athletes[ix.0 as usize].place != Place::Floor).count();
    assert_eq!((monday.present.len(), home), (26, 3));
    assert_eq!(monday.start_minute, 18 * 60);
}

#[test]
fn bests_are_tested_or_estimated() {
    let gym = gym();
    let best = |athlete: &str, movement: &str| {
        let athlete = gym.athletes.iter().find(|one| one.id == athlete).expect("is on the roster");
        let best = athlete.best(gym.library.named(movement).expect("is in the library")).expect("has a best");
        (best.load.grams(), best.tested)
    };
    assert_eq!(best("bram", "back squat"), (165_000, true));
    // Epley, Poundage Chart, 1985: 65 kg five times is 65 x (1 + 5/30) = 75.833 kg.
    assert_eq!(best("farah", "back squat"), (75_833, false));
}

#[test]
fn the_shelf_holds_the_house_policies_in_order() {
    let gym = gym();
    let names: Vec<_> = gym.shelf.iter().filter_map(|entry| entry.file.file_stem()?.to_str()).collect();
    assert_eq!(names, ["scaling", "substitution", "heats"]);
    assert!(gym.shelf.iter().all(|entry| entry.enabled));
    assert_eq!(gym.shelf[1].settings, r#"{"keep-count-within-percent":25}"#);
    assert_eq!((gym.shelf[2].limits.fuel, gym.shelf[0].limits.fuel), (Some(20_000_000_000), None));
}
