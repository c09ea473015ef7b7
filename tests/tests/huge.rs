//! Five hundred people on one floor: the host's own parts answer, and what they give keeps the rules. What that costs is
//! measured by the bench `planning`.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use std::path::Path;
use std::sync::Arc;

use classwright_planning::floor::{
    Cause, Claims, bar_uses, check, heats_needed, impossible, in_turn, put_claims, too_tight,
};
use classwright_planning::{Class, plan};
use classwright_training::floor::{Floor, FloorRules};
use classwright_training::{Athlete, Place, notation};

const PEOPLE: usize = 500;

/// The demo gym's people over and over, with four times its kit, doing this.
fn floor(parts: &str) -> Floor {
    let gym = classwright_store::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-gym")).unwrap();
    let on_floor: Vec<&Athlete> = gym.athletes.iter().filter(|athlete| athlete.place == Place::Floor).collect();
    let copy = |at: usize| Athlete { id: format!("p{at}"), ..on_floor[at % on_floor.len()].clone() };
    let athletes: Vec<Athlete> = (0..PEOPLE).map(copy).collect();
    let mut kit = gym.floor_kit.clone();
    let bars = kit.bars.clone();
    kit.bars = (0..4)
        .flat_map(|copy| bars.iter().map(move |bar| (copy, bar.clone())))
        .map(|(copy, bar)| classwright_training::Bar { id: format!("{}-{copy}", bar.id), ..bar })
        .collect();
    kit.plates.iter_mut().for_each(|row| row.pairs *= 4);
    kit.stock.iter_mut().for_each(|row| row.count *= 4);
    let library = Arc::new(gym.library.clone());
    let session = notation::parse(&format!("# Huge\n- length: 240 min\n\n{parts}\n"), &library).unwrap();
    let rules = FloorRules { coach_span: 40, max_heats: 50, ..gym.rules.clone() };
    let class = Class {
        session: &session,
        library: &library,
        athletes: &athletes,
        floor_kit: &kit,
        home_kits: &gym.home_kits,
        rules: &rules,
        shelf: &[],
        unloaded: &[],
    };
    let plan = plan(&class);
    assert!(!plan.floor.layout.starts.is_empty(), "{:?}", plan.notices);
    plan.floor.floor
}

fn answers(parts: &str) {
    let floor = floor(parts);
    let any_heats = |floor: &Floor| Floor { max_heats: u32::MAX, ..floor.clone() };
    assert_eq!(impossible(&floor), []);
    let needed = heats_needed(&floor);
    let told = too_tight(&floor).iter().any(|cause| matches!(cause, Cause::Heats { .. } | Cause::Apart { .. }));
    assert_eq!(told, needed > floor.max_heats, "{needed} heats are needed");
    let plan = in_turn(&floor).unwrap().plan;
    assert!(plan.starts.len() as u32 >= needed, "{} heats, {needed} are needed", plan.starts.len());
    assert_eq!(check(&any_heats(&floor), &plan), []);
    let lifted = floor.bouts.iter().filter(|bout| bout.bar.is_some()).count();
    assert_eq!(bar_uses(&floor, &plan).len(), lifted);
    // Beside another class as large as this one, and gone on with after a while with a late one.
    let mut other = floor.clone();
    put_claims(&mut other, &[&Claims::of(&floor, &plan, 600)]);
    assert!(!other.taken.is_empty());
    let beside = in_turn(&other).unwrap();
    assert_eq!(check(&any_heats(&other), &beside.plan), []);
    let mut later = Floor { now_s: 1800, present: Some(plan), ..floor };
    later.athletes[PEOPLE - 1].ready_s = 6 * 3600;
    let on = in_turn(&later).unwrap();
    assert_eq!(check(&any_heats(&later), &on.plan), []);
}

#[test]
fn five_hundred_lift_in_sets() {
    answers("## Strength: 5 sets, rest 2:00-20:00\n- 5 back squat @ 60/40, 65/45, 70/50 kg");
}

#[test]
fn five_hundred_in_pairs_and_on_machines() {
    answers(
        "## Strength: 3 sets, rest 1:00\n- 5 deadlift @ 60/40 kg\n\n## Conditioning: 3 rounds for time, in pairs\n- 250 m row machine\n- 10 kettlebell swing @ 16/12 kg",
    );
}

#[test]
fn five_hundred_every_two_minutes() {
    answers("## Strength: every 2:00 x 5\n- 3 back squat @ build 50-70% of back squat");
}
