//! Staggered heats through the real house component: one heat works while the other rests on the same bars, rests are
//! as written, starts are on the clock where the coach wants that, people stay together or apart, and the coach sees
//! everybody. Everything is counted anew here from the plan's starts, not by the host's checker.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use std::path::Path;
use std::sync::Arc;

use classwright_planning::floor::{Claims, bar_uses, check};
use classwright_planning::{Beside, By, Class, Given, OnShelf, Plan, plan_given};
use classwright_policies::{Limits, Runtime};
use classwright_store::Gym;
use classwright_tests::{runtime, shelve};
use classwright_training::floor::FloorRules;
use classwright_training::{Athlete, AthleteIx, Kit, notation};

/// Men with 20 kg bars, all of whom can squat 60 kg and do.
const PEOPLE: [&str; 8] = ["bram", "chidi", "emre", "goran", "kofi", "milo", "wen", "yusuf"];

struct Hall {
    gym: Gym,
    athletes: Vec<Athlete>,
    kit: Kit,
    rules: FloorRules,
    shelf: Vec<OnShelf>,
    _runtime: Runtime,
}

/// The demo gym with four bars, no limitations and the house heat policy alone.
fn hall() -> Hall {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let gym = classwright_store::open(&top.join("demo-gym")).unwrap();
    let runtime = runtime();
    let bytes = std::fs::read(top.join("plugins/heats/heats.wasm")).unwrap();
    let entry = gym.shelf.last().unwrap();
    let limits =
        Limits { fuel: entry.limits.fuel.unwrap(), wall: std::time::Duration::from_secs(60), ..Limits::default() };
    let shelf = vec![shelve(&runtime, &bytes, limits).unwrap()];
    let athlete = |id: &&str| {
        let found = gym.athletes.iter().find(|athlete| athlete.id == **id).unwrap();
        Athlete { limitations: vec![], return_week: None, ..found.clone() }
    };
    let athletes = PEOPLE.iter().map(athlete).collect();
    let mut kit = gym.floor_kit.clone();
    kit.bars.retain(|bar| bar.bar_type == 0);
    kit.bars.truncate(4);
    let rules = FloorRules { start_step_s: 1, max_heats: 4, coach_span: 12, effort: 300_000, ..gym.rules.clone() };
    Hall { gym, athletes, kit, rules, shelf, _runtime: runtime }
}

impl Hall {
    fn plan(&self, parts: &str, given: &Given<'_>) -> Plan {
        let text = format!("# Try\n- length: 60 min\n\n{parts}\n");
        let library = Arc::new(self.gym.library.clone());
        let session = notation::parse(&text, &library).unwrap();
        let class = Class {
            session: &session,
            library: &library,
            athletes: &self.athletes,
            floor_kit: &self.kit,
            home_kits: &self.gym.home_kits,
            rules: &self.rules,
            shelf: &self.shelf,
            unloaded: &[],
        };
        let plan = plan_given(&class, given);
        assert!(plan.faults.is_empty(), "{:?}", plan.faults);
        assert_ne!(plan.floor.by, By::Host, "{:?}", plan.notices);
        plan
    }
}

const SQUATS: &str = "## Strength: 5 sets, rest 1:30-3:00\n- 5 back squat @ 60 kg";

/// Start and end of each bout of the floor.
fn spans(plan: &Plan) -> Vec<(u32, u32)> {
    let (floor, layout) = (&plan.floor.floor, &plan.floor.layout);
    let start = |athlete: u32, stage: u32| {
        let heat = layout.heat_of[athlete as usize];
        layout.starts[heat as usize][stage as usize].unwrap()
    };
    floor.bouts.iter().map(|bout| (start(bout.athlete, bout.stage), bout.duration_s)).map(|(s, d)| (s, s + d)).collect()
}

/// Rest after each bout but the last of an athlete.
fn rests(plan: &Plan) -> Vec<u32> {
    let (bouts, spans) = (&plan.floor.floor.bouts, spans(plan));
    (1..bouts.len())
        .filter(|&at| bouts[at].athlete == bouts[at - 1].athlete)
        .map(|at| spans[at].0 - spans[at - 1].1)
        .collect()
}

#[test]
fn while_one_heat_rests_the_other_works_on_the_same_bars() {
    let hall = hall();
    let plan = hall.plan(SQUATS, &Given::default());
    assert_eq!(plan.floor.layout.starts.len(), 2);
    let uses = bar_uses(&plan.floor.floor, &plan.floor.layout);
    let heat = |at: usize| plan.floor.layout.heat_of[uses[at].athlete as usize];
    let same_bar = (1..uses.len()).filter(|&at| uses[at].bar == uses[at - 1].bar);
    // Five sets of two heats on a bar: a heat that waited for the other's last set would change hands once.
    let changes = same_bar.filter(|&at| heat(at) != heat(at - 1)).count();
    assert!(changes >= 4 * 7, "{changes} changes of hands on four bars");
    // Two heats one after the other would take twice as long as one.
    let alone = Hall { athletes: hall.athletes[..4].to_vec(), ..hall }.plan(SQUATS, &Given::default());
    assert!(
        plan.floor.finish_s() < alone.floor.finish_s() + 120,
        "{} {}",
        plan.floor.finish_s(),
        alone.floor.finish_s()
    );
}

#[test]
fn rests_are_as_written_and_fixed_intervals_to_the_second() {
    let hall = hall();
    let plan = hall.plan(SQUATS, &Given::default());
    assert_eq!(rests(&plan).len(), 8 * 4);
    assert!(rests(&plan).iter().all(|rest| (90..=180).contains(rest)), "{:?}", rests(&plan));
    let every = hall.plan("## Strength: every 2:00 x 5\n- 5 back squat @ 60 kg", &Given::default());
    let starts: Vec<u32> = spans(&every).iter().map(|span| span.0).collect();
    let of_one = starts.chunks(5).all(|own| own.windows(2).all(|pair| pair[1] - pair[0] == 120));
    assert!(of_one, "{starts:?}");
}

#[test]
fn heats_start_on_the_minute_on_the_half_or_whenever() {
    let mut hall = hall();
    let mut ends = Vec::new();
    for step in [60, 30, 1] {
        hall.rules.start_step_s = step;
        let plan = hall.plan(SQUATS, &Given::default());
        let starts: Vec<u32> = plan.floor.layout.starts.iter().flatten().flatten().copied().collect();
        assert_eq!(starts.len(), 10);
        assert!(starts.iter().all(|start| start % step == 0), "{step}: {starts:?}");
        ends.push(plan.floor.finish_s());
    }
    assert!(ends[0] >= ends[1] && ends[1] >= ends[2], "a freer clock is never later: {ends:?}");
    assert!(ends[0] > ends[2], "the minute costs something: {ends:?}");
}

#[test]
fn pairs_stay_together_and_others_do_not_share_a_heat() {
    let hall = hall();
    let heats = |given: &Given<'_>| hall.plan(SQUATS, given).floor.layout.heat_of;
    let free = heats(&Given::default());
    let pair = |same: bool| {
        let find = |at: usize| (at + 1..8).find(|other| (free[at] == free[*other]) == same).map(|other| (at, other));
        let (a, b) = (0..8).find_map(find).unwrap();
        (AthleteIx(a as u32), AthleteIx(b as u32))
    };
    // Those who were apart by themselves come together, those who were together are parted.
    let (together, apart) = ([pair(false)], [pair(true)]);
    let kept = heats(&Given { together: &together, apart: &apart, ..Given::default() });
    let same = |(a, b): (AthleteIx, AthleteIx)| kept[a.0 as usize] == kept[b.0 as usize];
    assert!(same(together[0]) && !same(apart[0]), "{free:?} {kept:?}");
}

#[test]
fn no_more_work_at_once_than_the_coach_can_watch() {
    let mut hall = hall();
    for span in [2, 3, 8] {
        hall.rules.coach_span = span;
        let plan = hall.plan(SQUATS, &Given::default());
        let spans = spans(&plan);
        let watched = |second: u32| spans.iter().filter(|(from, to)| (*from..*to).contains(&second)).count() as u32;
        let most = spans.iter().map(|(from, _)| watched(*from)).max().unwrap();
        assert!(most <= span, "{most} of {span}");
    }
}

#[test]
fn more_people_than_the_heats_hold_get_more_heats_and_the_reason() {
    let mut hall = hall();
    (hall.rules.max_heats, hall.rules.coach_span) = (2, 3);
    let plan = hall.plan(SQUATS, &Given::default());
    assert_eq!(plan.floor.layout.starts.len(), 3);
    let told =
        "The plan takes more heats than the gym's rules allow: 8 people need 8 of the coach's eye at set 1 of strength";
    assert!(plan.notices.iter().any(|notice| notice.starts_with(told)), "{:?}", plan.notices);
}

#[test]
fn a_class_beside_another_is_planned_by_the_policy_however_they_overlap() {
    let mut hall = hall();
    let parts =
        format!("{SQUATS}\n\n## Conditioning: 2 rounds for time\n- 250 m row machine\n- 10 kettlebell swing @ 24 kg");
    let others = hall.athletes.split_off(4);
    let first = hall.plan(&parts, &Given::default());
    hall.athletes = others;
    let alone = hall.plan(&parts, &Given::default()).floor.finish_s();
    for later in (0..=1500).step_by(150) {
        let claims = Claims::of(&first.floor.floor, &first.floor.layout, -later);
        let beside = [Beside { class: "first".into(), claims, clock_s: 0 }];
        let plan = hall.plan(&parts, &Given { beside: &beside, ..Given::default() });
        let (floor, layout) = (&plan.floor.floor, &plan.floor.layout);
        assert_eq!(check(floor, layout), []);
        let waits = !floor.taken.is_empty() || floor.bars.iter().any(|bar| bar.free_from_s > 0);
        assert_eq!(waits, later < i64::from(first.floor.finish_s()), "{later}");
        // In the end there is nothing to wait for.
        assert!(plan.floor.finish_s() <= alone + first.floor.finish_s());
        assert!(waits || plan.floor.finish_s() == alone);
    }
}

#[test]
fn bars_that_come_free_one_after_the_other_are_no_reason_for_a_bound_that_is_not_true() {
    let mut hall = hall();
    let all = std::mem::take(&mut hall.athletes);
    let mut number = 7_u32;
    let mut next = |below: u32| {
        number = number.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (number >> 16) % below
    };
    for _ in 0..40 {
        hall.athletes = all[..1 + next(5) as usize].to_vec();
        let bars: std::collections::BTreeMap<String, (u32, u32)> =
            hall.kit.bars.iter().map(|bar| (bar.id.clone(), (0, 60 * next(25)))).collect();
        let beside = [Beside { class: "other".into(), claims: Claims { bars, ..Claims::default() }, clock_s: 0 }];
        // Refused for a bound above the plan, it would be laid out by the host.
        hall.plan(SQUATS, &Given { beside: &beside, ..Given::default() });
    }
}
