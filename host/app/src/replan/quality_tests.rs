//! How good a re-plan is, through the real component: on small floors against everything there is, on larger ones
//! against a plan that does not know the present one.

use classwright_planning::OnShelf;
use classwright_planning::floor::{Cause, NeededLater, bar_uses};
use classwright_policies::{Runtime, RuntimeOptions};
use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock, Layout};

use super::answer::{Asking, Found, SECONDS_A_PERSON};
use super::diff::{Side, moved};
use super::every_plan::Everything;
use super::happened::{floors, in_service};
use super::request::Event;
use super::words::Words;
use crate::document::NamedFloor;

/// Starts, durations and rests are multiples of this, so that all starts there are can be tried.
pub(super) const STEP: u32 = 30;

/// A small generator with a fixed seed: the same floors on every machine.
struct Dice(u64);

impl Dice {
    fn to(&mut self, below: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as u32) % below
    }
}

/// A floor with so many athletes and stages, two types of bar with so many bars each, and a machine or two.
fn floor(dice: &mut Dice, athletes: u32, stages: u32, bars: u32, heats: u32) -> NamedFloor {
    let mut floor = Floor {
        window_s: 3600,
        start_step_s: STEP,
        coach_span: athletes.div_ceil(2) + dice.to(athletes),
        max_heats: heats,
        setup_fixed_s: 10,
        setup_pair_s: 5,
        stage_count: stages,
        stock: vec![FloorStock { name: "row-machine".into(), count: 1 + athletes / 4 + dice.to(2) }],
        bar_types: vec![("20 kg bar".into(), Mass::from_kg(20.0)), ("15 kg bar".into(), Mass::from_kg(15.0))],
        loadings: vec![vec![], vec![0], vec![0, 1], vec![1]],
        plates: vec![(Mass::from_kg(20.0), bars + 1 + dice.to(2)), (Mass::from_kg(5.0), bars + 1 + dice.to(2))],
        ..Floor::default()
    };
    floor.bars = (0..2 * bars)
        .map(|n| FloorBar {
            id: format!("{}{}", ["A", "B"][n as usize % 2], n / 2 + 1),
            bar_type: n % 2,
            free_from_s: 0,
            loading: 0,
        })
        .collect();
    for athlete in 0..athletes {
        let (first_bout, kind) = (floor.bouts.len() as u32, dice.to(2));
        for stage in 0..stages {
            let duration_s = STEP * (1 + dice.to(3));
            let rest_least_s = STEP * dice.to(2);
            let bar = (dice.to(3) > 0).then(|| (kind, dice.to(4)));
            floor.bouts.push(Bout {
                athlete,
                stage,
                duration_s,
                shortest_s: duration_s,
                longest_s: duration_s,
                rest_least_s,
                rest_most_s: (dice.to(3) == 0).then_some(rest_least_s + 3 * STEP),
                watch: 1,
                bar,
                claims: if bar.is_none() { vec![(0, 1)] } else { vec![] },
            });
        }
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout, bout_count: stages });
    }
    let athletes = (0..athletes).map(|athlete| format!("p{athlete}")).collect();
    let stages = (1..=stages).map(|set| (1, set)).collect();
    NamedFloor { floor, athletes, stages, ..NamedFloor::default() }
}

/// Somebody late, somebody gone, or, twice as often, one bar less.
fn event(dice: &mut Dice, named: &NamedFloor) -> Event {
    let who = named.athletes[dice.to(named.athletes.len() as u32) as usize].clone();
    match dice.to(4) {
        0 => Event::Gone(who),
        1 => Event::Late(who, named.floor.now_s + STEP * (1 + dice.to(5))),
        _ => {
            let kind = dice.to(2);
            Event::Bars(kind, in_service(&named.floor, kind).count() as u32 - 1)
        }
    }
}

fn house() -> (Runtime, Vec<OnShelf>) {
    let runtime = Runtime::new(RuntimeOptions::default()).expect("the runtime starts");
    let house = crate::house::house_heats(&runtime).expect("the house policy");
    (runtime, vec![house])
}

/// A plan, a second of it, and what happens then.
struct Day {
    named: NamedFloor,
    layout: Layout,
    now: Vec<NamedFloor>,
}

fn day(dice: &mut Dice, asking: &Asking<'_>, mut named: NamedFloor, from_the_start: bool) -> Option<Day> {
    let first = asking.plan(&named).ok().filter(|found| !found.by_host)?;
    let finish = named.floor.finish_s(&first.layout);
    named.floor.now_s = if from_the_start { 0 } else { dice.to(finish * 2 / 3) };
    let event = event(dice, &named);
    let now = floors(&named, Some(&first.layout), &[event], &Words::default(), &|_, _, _| false).ok()?;
    Some(Day { named, layout: first.layout, now })
}

#[test]
fn on_small_floors_nobody_is_moved_who_could_have_stayed() {
    let (_runtime, shelf) = house();
    let asking = Asking { shelf: &shelf, effort: 0 };
    let mut dice = Dice(11);
    let (mut compared, mut as_few, mut more, mut bent) = (0, 0, 0, 0);
    let (mut impossible, mut in_turn) = (0, 0);
    let (mut worse, mut given_up) = (Vec::new(), Vec::new());
    while compared < 40 {
        let (athletes, stages) = (3 + dice.to(4), 2 + dice.to(2));
        let named = floor(&mut dice, athletes, stages, 2, 3);
        let Some(day) = day(&mut dice, &asking, named, false) else { continue };
        let before = Side { named: &day.named, layout: &day.layout };
        let Ok(found) = asking.best(before, &day.now) else {
            let causes: Vec<Vec<Cause>> = day.now.iter().filter_map(|now| asking.plan(now).err()).collect();
            if causes.iter().all(|causes| causes.iter().any(is_proof)) {
                impossible += 1;
            } else {
                given_up.push(causes);
            }
            continue;
        };
        if found.by_host {
            in_turn += 1;
            continue;
        }
        assert_eq!(found.fault(), None, "{:?}", found.named.floor);
        let people = moved(before, Side { named: &found.named, layout: &found.layout }).len();
        let finish = found.named.floor.finish_s(&found.layout);
        compared += 1;
        bent += usize::from(people > 0);
        // With fewer moved, is there a plan whose finish is worth it? All choices of bars that go are looked at.
        let fewer = (0..people.min(3)).find(|fewer| {
            let limit = finish + SECONDS_A_PERSON * (people - fewer) as u32;
            day.now.iter().any(|now| Everything::new(now, limit).with(*fewer))
        });
        match fewer {
            None => as_few += 1,
            Some(fewer) => {
                more += people - fewer;
                worse.push(format!("{people} moved, {fewer} would do"));
            }
        }
    }
    println!(
        "{compared} re-plans, {bent} move somebody: {as_few} with as few people moved as can be; {more} people too many in the others: {worse:?}; {impossible} proven impossible, {in_turn} in turn, {} given up: {given_up:?}",
        given_up.len()
    );
    // What nobody has proven impossible has to have a plan, and nearly always the policy's.
    assert!(given_up.is_empty() && in_turn * 10 <= compared, "{in_turn} in turn, given up: {given_up:?}");
    assert!(impossible * 2 <= compared, "{impossible} are no matter of this test");
    assert!(as_few * 20 >= compared * 19, "{as_few} of {compared}: {worse:?}");
    assert!(bent * 8 >= compared, "{bent} of {compared} move anybody");
}

/// Whether a cause stands for every plan, and not only for those that were tried.
fn is_proof(cause: &Cause) -> bool {
    !matches!(cause, Cause::NoPlace { .. } | Cause::NoTurn { .. } | Cause::Begun { .. })
}

#[test]
fn on_larger_floors_fewer_are_moved_than_by_a_plan_that_does_not_know_the_present_one() {
    let (_runtime, shelf) = house();
    let asking = Asking { shelf: &shelf, effort: 0 };
    let mut dice = Dice(5);
    let (mut compared, mut moved_now, mut moved_fresh, mut failed) = (0, 0, 0, 0);
    let mut worse = Vec::new();
    while compared < 8 {
        let athletes = 16 + dice.to(9);
        let named = floor(&mut dice, athletes, 3, 4, 4);
        let Some(day) = day(&mut dice, &asking, named, true) else { continue };
        let before = Side { named: &day.named, layout: &day.layout };
        let without: Vec<NamedFloor> = day
            .now
            .iter()
            .cloned()
            .map(|mut now| {
                now.floor.present = None;
                now
            })
            .collect();
        let (Ok(found), Ok(fresh)) = (asking.best(before, &day.now), asking.best(before, &without)) else {
            failed += 1;
            assert!(failed <= 1, "no plan for {athletes} athletes, the second time in {compared}");
            continue;
        };
        let worth = |found: &Found| {
            let side = Side { named: &found.named, layout: &found.layout };
            (moved(before, side).len() as u32, found.named.floor.finish_s(&found.layout))
        };
        let ((people, finish), (people_fresh, finish_fresh)) = (worth(&found), worth(&fresh));
        compared += 1;
        moved_now += people;
        moved_fresh += people_fresh;
        if people > people_fresh || finish > finish_fresh + SECONDS_A_PERSON * (people_fresh - people) {
            worse.push(format!(
                "{athletes} athletes: {people} moved, done at {finish}; fresh {people_fresh} and {finish_fresh}"
            ));
        }
    }
    println!("{compared} re-plans: {moved_now} people moved, {moved_fresh} by a fresh plan; {worse:?}");
    assert_eq!(worse, Vec::<String>::new());
    assert!(moved_now * 2 < moved_fresh, "{moved_now} moved, {moved_fresh} by fresh plans");
}

#[test]
fn a_bar_that_another_class_needs_later_is_given_up_by_then() {
    let (_runtime, shelf) = house();
    let asking = Asking { shelf: &shelf, effort: 0 };
    let mut dice = Dice(3);
    let mut given_up = 0;
    for _ in 0..20 {
        let mut named = floor(&mut dice, 5, 2, 2, 3);
        let Some(free) = asking.plan(&named).ok().filter(|found| !found.by_host) else { continue };
        let last = |found: &Found| {
            let own = (0..named.floor.bouts.len()).filter(|bout| found.layout.bar_of[*bout] == Some(0));
            let end = |bout: usize| {
                let it = &named.floor.bouts[bout];
                let heat = found.layout.heat_of[it.athlete as usize] as usize;
                found.layout.starts[heat][it.stage as usize].map_or(0, |start| start + it.duration_s)
            };
            own.map(end).max().unwrap_or(0)
        };
        let from_s = last(&free) / 2;
        named.later = vec![NeededLater { bar: 0, from_s, to_s: 5000 }];
        let Ok(found) = asking.plan(&named) else { continue };
        let uses = bar_uses(&found.named.floor, &found.layout);
        let kept = uses.iter().filter(|turn| turn.bar == 0 && turn.end_s > from_s && turn.start_s < 5000).count();
        assert_eq!(kept, 0, "{:?}", found.layout);
        given_up += usize::from(from_s > 0);
    }
    assert!(given_up > 5, "{given_up}");
}
