use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, Layout, Taken};

use super::tests::Dice;
use super::*;

/// Everybody lifts with the same type of bar, a set every so many seconds to the second; one row of loadings each.
fn every(seconds: u32, bars: u32, sets: &[&[u32]]) -> Floor {
    let mut floor = Floor {
        window_s: 3600,
        start_step_s: 1,
        coach_span: 12,
        max_heats: 4,
        setup_fixed_s: 10,
        setup_pair_s: 8,
        bar_types: vec![("20 kg bar".into(), Mass::from_kg(20.0))],
        bars: (0..bars).map(|b| FloorBar { id: b.to_string(), bar_type: 0, free_from_s: 0, loading: 0 }).collect(),
        loadings: vec![vec![], vec![0], vec![0, 0], vec![0, 1], vec![1], vec![1, 2], vec![0, 1, 2]],
        plates: vec![(Mass::from_kg(20.0), 8), (Mass::from_kg(10.0), 8), (Mass::from_kg(5.0), 8)],
        ..Floor::default()
    };
    for (athlete, loadings) in (0..).zip(sets) {
        let first_bout = floor.bouts.len() as u32;
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout, bout_count: loadings.len() as u32 });
        floor.stage_count = floor.stage_count.max(loadings.len() as u32);
        floor.bouts.extend((0..).zip(*loadings).map(|(stage, &loading)| Bout {
            athlete,
            stage,
            duration_s: 30,
            shortest_s: 30,
            longest_s: 30,
            rest_least_s: seconds - 30,
            rest_most_s: Some(seconds - 30),
            watch: 1,
            bar: Some((0, loading)),
            claims: vec![],
        }));
    }
    floor
}

/// A plan of this floor, with no fault but perhaps the number of its heats.
fn sound(floor: &Floor) -> Layout {
    let found = in_turn(floor).unwrap_or_else(|causes| panic!("{causes:?} {floor:?}"));
    let any_heats = Floor { max_heats: u32::MAX, ..floor.clone() };
    assert_eq!(check(&any_heats, &found.plan), [], "{floor:?}");
    assert_eq!(found.heats_over, (found.plan.starts.len() as u32).saturating_sub(floor.max_heats));
    found.plan
}

/// The last had been given the bar that is loaded as needed. It would have kept its plates since the first heat, which
/// the second heat needs; so no start was late enough.
#[test]
fn later_groups_get_the_plates_back() {
    let mut floor = every(150, 2, &[&[1], &[1], &[2], &[1]]);
    floor.plates[0].1 = 2;
    let plan = sound(&floor);
    assert_eq!(plan.heat_of, [0, 0, 1, 2]);
    assert_eq!(plan.bar_of[3], plan.bar_of[2]);
}

#[test]
fn twenty_six_with_five_rising_sets_on_eight_bars_get_a_plan() {
    let rising: [&[u32]; 3] = [&[0, 4, 5, 1, 3], &[4, 1, 3, 6, 2], &[1, 2, 3, 6, 6]];
    let mut sets: Vec<&[u32]> = Vec::new();
    sets.extend(rising.iter().cycle().take(26));
    let mut floor = every(150, 8, &sets);
    floor.plates.iter_mut().for_each(|row| row.1 = 4);
    let plan = sound(&floor);
    assert!(plan.starts.len() < 26, "some work together: {} heats", plan.starts.len());
}

#[test]
fn a_second_bar_helps_where_the_rest_is_too_short_for_a_change() {
    let mut floor = every(50, 2, &[&[1, 3, 1, 3], &[1, 3, 1, 3]]);
    floor.setup_fixed_s = 40;
    let plan = sound(&floor);
    assert_eq!(plan.starts.len(), 2, "two bars each, so one after the other");
    let turns = |first: usize| (plan.bar_of[first], plan.bar_of[first + 1]);
    assert!([turns(0), turns(2)].iter().all(|(a, b)| a != b));
    floor.bars.pop();
    let causes = impossible(&floor);
    assert_eq!(causes[0], Cause::Setup { athlete: 0, bout: 1, bar_type: "20 kg bar".into(), bars: 1 });
    assert_eq!(
        causes[0].to_string(),
        "athlete 0, bout 1: the rests before it leave no time to change plates, with 1 20 kg bar"
    );
    // One second less of work is one more of rest: the change fits to the second.
    floor.bouts.iter_mut().for_each(|bout| bout.rest_most_s = Some(48));
    assert_eq!(impossible(&floor), []);
    floor.bouts.iter_mut().for_each(|bout| bout.rest_most_s = Some(47));
    assert_ne!(impossible(&floor), []);
}

#[test]
fn what_has_happened_or_comes_back_is_no_cause() {
    let mut floor = every(150, 1, &[&[1, 1]]);
    let held = |from_s, to_s| Taken { stock: None, plate: Some(0), count: 8, from_s, to_s };
    floor.taken = vec![held(0, 1000)];
    assert_eq!(sound(&floor).starts, [[Some(1000 + 18), Some(1000 + 168)]], "once it is given back");
    floor.taken = vec![held(1000, u32::MAX)];
    assert_eq!(sound(&floor).starts, [[Some(18), Some(168)]], "before it is taken");
    floor.taken = vec![held(0, u32::MAX)];
    assert!(matches!(impossible(&floor)[..], [Cause::Plates { there: 0, .. }]));
    let layout = Layout { heat_of: vec![0], starts: vec![vec![Some(18), Some(168)]], bar_of: vec![Some(0); 2] };
    (floor.now_s, floor.present) = (200, Some(layout));
    assert_eq!(impossible(&floor), []);
}

#[test]
fn one_type_of_bar_and_time_to_change_it_always_make_a_plan() {
    let mut dice = Dice(7);
    let mut groups = 0;
    for _ in 0..300 {
        let rows: Vec<Vec<u32>> = (0..2 + dice.to(8))
            .map(|_| {
                let mut row: Vec<u32> = (0..1 + dice.to(5)).map(|_| dice.to(7)).collect();
                row.sort_unstable();
                row
            })
            .collect();
        let sets: Vec<&[u32]> = rows.iter().map(Vec::as_slice).collect();
        let mut floor = every(120, 1 + dice.to(5), &sets);
        floor.start_step_s = [1, 5, 30][dice.to(3) as usize];
        floor.plates.iter_mut().for_each(|row| row.1 = 2 + dice.to(2));
        floor.athletes.iter_mut().for_each(|athlete| athlete.ready_s = 60 * dice.to(4));
        if dice.to(3) == 0 {
            floor.taken = vec![Taken { stock: None, plate: Some(0), count: 1 + dice.to(2), from_s: 100, to_s: 700 }];
        }
        assert_eq!(impossible(&floor), []);
        groups += usize::from(sound(&floor).starts.len() < floor.athletes.len());
    }
    assert!(groups > 100, "{groups} of 300 plans have people at work together");
}
