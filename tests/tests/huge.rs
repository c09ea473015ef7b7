//! Five hundred people on one floor: the host's own parts answer within seconds, and what they give keeps the rules.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use classwright_planning::floor::{Claims, bar_uses, check, heats_needed, impossible, in_turn, put_claims, too_tight};
use classwright_planning::{Class, plan};
use classwright_training::floor::{Floor, FloorRules};
use classwright_training::{Athlete, Place, notation};

const PEOPLE: usize = 500;

/// The demo gym's people over and over, with four times its kit, doing this.
fn floor(parts: &str, within: Duration) -> Floor {
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
    let plan = timed("plan without policies", within, || plan(&class));
    assert!(!plan.floor.layout.starts.is_empty(), "{:?}", plan.notices);
    plan.floor.floor
}

fn timed<T>(what: &str, within: Duration, work: impl FnOnce() -> T) -> T {
    let begun = Instant::now();
    let done = work();
    let took = begun.elapsed();
    eprintln!("{what}: {:.1} ms", took.as_secs_f64() * 1000.0);
    assert!(took < within, "{what} took {took:?}");
    done
}

/// Loose enough for a slow machine that tests other things at the same time, and far below what anything takes that
/// looks at every pair of bouts again for each heat.
const WITHIN: Duration = Duration::from_secs(20);

fn answers(parts: &str) {
    let floor = floor(parts, WITHIN);
    eprintln!("{} bouts, {} bars", floor.bouts.len(), floor.bars.len());
    let second = Duration::from_secs(2);
    assert_eq!(timed("impossible", second, || impossible(&floor)), []);
    timed("too_tight", second, || too_tight(&floor));
    timed("heats_needed", second, || heats_needed(&floor));
    let found = timed("in_turn", WITHIN, || in_turn(&floor)).unwrap();
    timed("bar_uses", second, || bar_uses(&floor, &found.plan));
    let any_heats = Floor { max_heats: u32::MAX, ..floor.clone() };
    assert_eq!(timed("check", second, || check(&any_heats, &found.plan)), []);
    let claims = timed("claims", second, || Claims::of(&floor, &found.plan, 600));
    let mut other = floor.clone();
    timed("put_claims", second, || put_claims(&mut other, &[&claims]));
    assert!(!other.taken.is_empty());
    // Beside another class as large as this one, and gone on with after a while with a late one.
    if let Ok(beside) = timed("in_turn beside another", WITHIN, || in_turn(&other)) {
        assert_eq!(check(&Floor { max_heats: u32::MAX, ..other }, &beside.plan), []);
    }
    let mut later = Floor { now_s: 1800, present: Some(found.plan), ..floor };
    later.athletes[PEOPLE - 1].ready_s = 6 * 3600;
    if let Ok(on) = timed("in_turn from half an hour on", WITHIN, || in_turn(&later)) {
        assert_eq!(check(&Floor { max_heats: u32::MAX, ..later }, &on.plan), []);
    }
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
