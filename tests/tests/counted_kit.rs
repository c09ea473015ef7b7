//! Everything that is counted is counted at every second: with just enough of it three people work at once, with one
//! less the host's checker refuses the same plan, whether it is implements, machines, places, lanes, bars or collars.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use std::path::Path;
use std::sync::Arc;

use classwright_planning::floor::{FloorFault, check};
use classwright_planning::{Class, plan};
use classwright_store::Gym;
use classwright_training::floor::{Floor, Layout};
use classwright_training::{Athlete, Kit, notation};

const MEN: [&str; 3] = ["bram", "chidi", "emre"];
const WOMEN: [&str; 3] = ["ama", "farah", "hana"];

fn gym() -> Gym {
    classwright_store::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-gym")).unwrap()
}

/// The floor of these people doing this with this kit.
fn floor(gym: &Gym, people: &[&str], parts: &str, kit: &Kit) -> Floor {
    let library = Arc::new(gym.library.clone());
    let session = notation::parse(&format!("# Try\n- length: 60 min\n\n{parts}\n"), &library).unwrap();
    let own = |id: &&str| gym.athletes.iter().find(|athlete| athlete.id == **id).unwrap().clone();
    let athletes: Vec<Athlete> = people.iter().map(own).map(|a| Athlete { limitations: vec![], ..a }).collect();
    let class = Class {
        session: &session,
        library: &library,
        athletes: &athletes,
        floor_kit: kit,
        home_kits: &[],
        rules: &gym.rules,
        shelf: &[],
        unloaded: &[],
    };
    plan(&class).floor.floor
}

/// All in one heat, each set five minutes after the one before, each with a bar of their own as far as there are some.
fn all_at_once(floor: &Floor) -> Layout {
    let starts = (0..floor.stage_count).map(|stage| Some(120 + 300 * stage)).collect();
    let bars = |kind: u32| (0..).zip(&floor.bars).filter(move |(_, bar)| bar.bar_type == kind).map(|(at, _)| at);
    let bar = |bout: &classwright_training::floor::Bout| {
        let own: Vec<u32> = bars(bout.bar?.0).collect();
        Some(own[bout.athlete as usize % own.len()])
    };
    let bar_of = floor.bouts.iter().map(bar).collect();
    Layout { heat_of: vec![0; floor.athletes.len()], starts: vec![starts], bar_of }
}

/// The faults of that plan with just enough of some kit, and with one less.
fn faults(people: &[&str], work: &str, enough: impl Fn(&mut Kit, u32)) -> [Vec<FloorFault>; 2] {
    let gym = gym();
    let parts = format!("## Strength: 2 sets, rest 1:00-20:00\n- {work}");
    [0, 1].map(|less| {
        let mut kit = gym.floor_kit.clone();
        enough(&mut kit, less);
        let floor = floor(&gym, people, &parts, &kit);
        check(&floor, &all_at_once(&floor))
    })
}

/// As many of a kind of kit, of one mass where there is one.
fn stock(kind: &'static str, kg: f64, count: u32) -> impl Fn(&mut Kit, u32) {
    move |kit, less| {
        let ix = gym().library.find_kit(kind).unwrap();
        let row = kit.stock.iter_mut().find(|row| row.kit == ix && row.load.kg() == kg).unwrap();
        row.count = count - less;
    }
}

fn trips(work: &str, kind: &'static str, kg: f64, count: u32) {
    let [enough, short] = faults(&MEN, work, stock(kind, kg, count));
    assert_eq!(enough, [], "{work}");
    let name = if kg > 0.0 { format!("{kind} {kg} kg") } else { kind.to_owned() };
    let kit = FloorFault::Kit { kit: name, second: 120, claimed: u64::from(count), there: count - 1 };
    assert_eq!(short, [kit], "{work}");
}

#[test]
fn implements_by_mass() {
    trips("10 kettlebell swing @ 16 kg", "kettlebell", 16.0, 3);
    // Two each.
    trips("8 dumbbell floor press @ 12.5 kg", "dumbbell", 12.5, 6);
}

#[test]
fn machines_places_and_lanes() {
    trips("250 m row machine", "row-machine", 0.0, 3);
    trips("5 pull-up", "rig", 0.0, 3);
    trips("200 m sprint", "run-lane", 0.0, 3);
    trips("5 back squat @ 60 kg", "rack", 0.0, 3);
    trips("20 m suitcase carry @ 16 kg", "carry-lane", 0.0, 3);
}

#[test]
fn mens_and_womens_bars() {
    for (people, kind, load) in [(MEN, 0, "60 kg"), (WOMEN, 1, "35 kg")] {
        let bars = |kit: &mut Kit, less: u32| {
            // Of the other kind there are plenty, which helps nobody.
            let mut seen = 0;
            kit.bars.retain(|bar| {
                seen += u32::from(bar.bar_type == kind);
                bar.bar_type != kind || seen <= 3 - less
            });
        };
        let [enough, short] = faults(&people, &format!("5 back squat @ {load}"), bars);
        assert_eq!(enough, [], "{people:?}");
        let of_third = |fault: &FloorFault| matches!(fault, FloorFault::BarTooSoon { athlete: 2, .. });
        assert!(short.iter().any(of_third), "{people:?}: {short:?}");
    }
}

#[test]
fn plates_and_collars() {
    let pairs = |kit: &mut Kit, less: u32| {
        kit.plates.iter_mut().find(|row| row.mass.kg() == 20.0).unwrap().pairs = 3 - less;
    };
    let [enough, short] = faults(&MEN, "5 deadlift @ 60 kg", pairs);
    assert_eq!(enough, []);
    assert!(matches!(&short[..], [FloorFault::Plates { held: 3, there: 2, .. }]), "{short:?}");
    let collars = |kit: &mut Kit, less: u32| kit.collar_pairs = Some(3 - less);
    let [enough, short] = faults(&MEN, "5 deadlift @ 60 kg", collars);
    assert_eq!(enough, []);
    let kit = FloorFault::Kit { kit: "pair of collars".into(), second: 120, claimed: 3, there: 2 };
    assert_eq!(short, [kit]);
    // A bar without plates needs none, and where nobody counts them there are enough.
    let none = |kit: &mut Kit, less: u32| kit.collar_pairs = Some(1 - less);
    assert_eq!(faults(&MEN, "5 deadlift @ 20 kg", none), [vec![], vec![]]);
}

#[test]
fn a_claim_is_counted_to_its_last_second_and_no_further() {
    let gym = gym();
    let mut kit = gym.floor_kit.clone();
    stock("row-machine", 0.0, 1)(&mut kit, 0);
    let floor = floor(&gym, &MEN[..2], "## Conditioning: 1 sets, rest 1:00\n- 250 m row machine", &kit);
    let end = 120 + floor.bouts[0].duration_s;
    let at = |second: u32| Layout {
        heat_of: vec![0, 1],
        starts: vec![vec![Some(120)], vec![Some(second)]],
        bar_of: vec![None; 2],
    };
    let floor = Floor { start_step_s: 1, ..floor };
    assert_eq!(check(&floor, &at(end)), []);
    let kit = FloorFault::Kit { kit: "row-machine".into(), second: end - 1, claimed: 2, there: 1 };
    assert_eq!(check(&floor, &at(end - 1)), [kit]);
}
