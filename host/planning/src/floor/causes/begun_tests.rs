use classwright_training::floor::{FloorAthlete, FloorBar, Layout, Taken};

use super::*;
use crate::floor::tests::{Dice, random, small};
use crate::floor::{check, in_turn};

/// Four in one heat: the first stage without a bar from second 0, the second at 90 s on a 20 kg bar each, of which
/// there are four.
fn four() -> Floor {
    let mut floor = small();
    let own = floor.bouts[0].clone();
    (floor.athletes, floor.bouts) = (Vec::new(), Vec::new());
    for athlete in 0..4 {
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout: 2 * athlete, bout_count: 2 });
        floor.bouts.push(Bout { athlete, bar: None, rest_most_s: None, ..own.clone() });
        floor.bouts.push(Bout { athlete, stage: 1, ..own.clone() });
    }
    let bar = |n: u32| FloorBar { id: n.to_string(), bar_type: 0, free_from_s: 0, loading: 1 };
    floor.bars = (0..4).map(bar).collect();
    floor.plates.iter_mut().for_each(|row| row.1 = 4);
    (floor.coach_span, floor.max_heats, floor.now_s) = (4, 2, 30);
    let bars = (0..8).map(|bout| (bout % 2 == 1).then_some(bout / 2));
    floor.present = Some(Layout { heat_of: vec![0; 4], starts: vec![vec![Some(0), Some(90)]], bar_of: bars.collect() });
    floor
}

/// Without the last so many bars, as they go while the class is under way.
fn fewer(mut floor: Floor, gone: usize) -> Floor {
    let left = floor.bars.len() - gone;
    floor.bars.truncate(left);
    if let Some(present) = &mut floor.present {
        present.bar_of.iter_mut().for_each(|bar| *bar = bar.filter(|bar| (*bar as usize) < left));
    }
    floor
}

#[test]
fn a_heat_that_has_begun_is_divided_where_kit_goes() {
    assert_eq!(check(&four(), four().present.as_ref().expect("a plan")), []);
    for gone in [1, 2] {
        let floor = fewer(four(), gone);
        let found = in_turn(&floor).expect("they take turns");
        assert_eq!((check(&floor, &found.plan), found.heats_over), (vec![], 0));
        assert_eq!(found.plan.starts.iter().map(|row| row[0]).collect::<Vec<_>>(), [Some(0), Some(0)]);
        let still = found.plan.heat_of.iter().filter(|heat| **heat == 0).count();
        assert_eq!(still, 4 - gone, "those who have a bar keep it and their heat");
    }
    let alone = in_turn(&fewer(four(), 3)).expect("one after the other");
    assert_eq!((alone.plan.starts.len(), alone.heats_over), (4, 2));
}

#[test]
fn those_with_the_same_behind_them_go_on_together_rather_than_in_more_heats() {
    // A heat of three and one of one did the first stage at once. With two bars left the three are divided; whoever has
    // to wait goes with the fourth.
    let mut floor = four();
    let present = floor.present.as_mut().expect("a plan");
    present.heat_of = vec![0, 0, 0, 1];
    present.starts = vec![vec![Some(0), Some(90)]; 2];
    let floor = fewer(floor, 2);
    let found = in_turn(&floor).expect("two at a time");
    assert_eq!((check(&floor, &found.plan), found.heats_over), (vec![], 0));
    assert_eq!(found.plan.heat_of, [0, 0, 1, 1]);
}

#[test]
fn what_begun_heats_need_at_once_is_named_and_not_somebody() {
    // The rest has one length: whoever has begun has to go on at 90 s.
    let mut floor = fewer(four(), 2);
    floor.bouts.iter_mut().for_each(|bout| bout.rest_most_s = Some(30));
    let found = in_turn(&floor).expect_err("three bars are too few for four");
    assert_eq!(
        found,
        [Cause::AtOnce { athletes: vec![0, 1, 2], second: 90, what: "20 kg bar".into(), needed: 3, there: 2 }]
    );
    assert_eq!(
        found[0].to_string(),
        "athlete 0, athlete 1 and athlete 2 have begun and, as their rests are written, need 3 of 20 kg bar at 1:30, \
         and there are 2"
    );
    let mut plates = four();
    plates.bouts.iter_mut().for_each(|bout| bout.rest_most_s = Some(30));
    plates.taken = vec![Taken { stock: None, plate: Some(0), count: 3, from_s: 80, to_s: 91 }];
    assert!(matches!(&impossible(&plates)[..], [Cause::AtOnce { athletes, there: 1, .. }] if athletes.len() == 2));
    assert_eq!(
        impossible(&plates)[0].to_string(),
        "athlete 0 and athlete 1 have begun and, as their rests are written, need 2 pairs of 20 kg plates at 1:30, and \
         there is 1"
    );
    plates.taken[0].to_s = 90;
    assert_eq!(impossible(&plates), []);
}

#[test]
fn who_has_begun_and_cannot_go_on_in_time_is_named_with_both_times() {
    let mut floor = four();
    floor.bouts[4].rest_most_s = Some(40);
    floor.athletes[2].ready_s = 101;
    let late = Cause::TooLate { athlete: 2, bout: 5, latest: 100, earliest: 101 };
    assert_eq!(in_turn(&floor), Err(vec![late.clone()]));
    assert_eq!(
        late.to_string(),
        "athlete 2, bout 5: has to start by 1:40, as the rests are written, and cannot before 1:41"
    );
    floor.athletes[2].ready_s = 100;
    assert_eq!(impossible(&floor), []);
}

#[test]
fn a_plan_that_still_holds_is_never_called_impossible() {
    let mut dice = Dice(17);
    let mut looked = 0;
    for _ in 0..600 {
        let mut floor = random(&mut dice);
        let Ok(found) = in_turn(&floor) else { continue };
        floor.now_s = dice.to(900);
        floor.max_heats = found.plan.starts.len() as u32;
        floor.present = Some(found.plan.clone());
        assert_eq!(check(&floor, &found.plan), []);
        assert_eq!(impossible(&floor), [], "{floor:?}");
        looked += 1;
    }
    assert!(looked > 400, "{looked}");
}
