use super::*;
use crate::floor::tests::{Dice, random, small};
use classwright_training::floor::{FloorAthlete, Taken};

/// The small floor with as many of its athletes, each like the first or the second in turn, and plenty of kit.
fn crowd(athletes: u32) -> Floor {
    let mut floor = small();
    let own = floor.bouts.clone();
    (floor.athletes, floor.bouts) = (Vec::new(), Vec::new());
    for athlete in 0..athletes {
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout: 2 * athlete, bout_count: 2 });
        let rows = own.iter().filter(|bout| bout.athlete == athlete % 2).cloned();
        floor.bouts.extend(rows.map(|bout| Bout { athlete, ..bout }));
    }
    floor.bars = (0..athletes)
        .map(|b| classwright_training::floor::FloorBar { id: b.to_string(), bar_type: 0, free_from_s: 0, loading: 0 })
        .collect();
    floor.plates.iter_mut().for_each(|row| row.1 = 2 * athletes);
    (floor.stock[0].count, floor.coach_span, floor.max_heats) = (athletes, 2 * athletes, athletes);
    floor
}

fn causes(athletes: u32, change: impl Fn(&mut Floor)) -> Vec<Cause> {
    let mut floor = crowd(athletes);
    change(&mut floor);
    impossible(&floor)
}

#[test]
fn nothing_is_named_where_nothing_is_missing() {
    assert_eq!(causes(6, |_| {}), []);
}

#[test]
fn a_contradiction_names_those_through_whom_it_comes_about_and_nobody_else() {
    let found = causes(6, |f| {
        f.together = vec![(0, 1), (1, 2), (2, 3), (0, 4), (4, 3), (4, 5)];
        f.apart = vec![(3, 0), (0, 3), (1, 1)];
    });
    let row = |athletes: &[u32]| Cause::Contradiction { athletes: athletes.to_vec() };
    assert_eq!(found, [row(&[3, 4, 0]), row(&[1])]);
    let told: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(told[0], "athlete 3 and athlete 0 have to be together through athlete 4 and are kept apart");
    assert_eq!(told[1], "athlete 1 is kept apart from themselves");
}

#[test]
fn partners_who_are_too_many_are_the_fewest_who_are() {
    // Five in a row are one group; the rowers do for two of them, and two rows of three are each too many.
    let found = causes(5, |f| {
        f.together = vec![(0, 1), (1, 2), (2, 3), (3, 4)];
        f.stock[0].count = 2;
    });
    let three = Cause::Partners { athletes: vec![0, 1, 2], stage: 1, what: "rower".into(), needed: 3, there: 2 };
    assert_eq!(found, [three]);
    assert_eq!(
        found[0].to_string(),
        "athlete 0, athlete 1 and athlete 2 start together and need 3 of rower at stage 1, and there are 2"
    );
}

#[test]
fn what_is_short_for_one_alone_is_not_told_of_partners_too() {
    let found = causes(2, |f| {
        f.together = vec![(0, 1)];
        f.stock[0].count = 0;
    });
    assert_eq!(found, [Cause::Kit { athlete: 0, bout: 1, kit: "rower".into(), claimed: 1, there: 0 }]);
    // A bar that is not there is not also missing for a change.
    let found = causes(1, |f| {
        f.bars.clear();
        (f.bouts[0].rest_most_s, f.bouts[1].bar) = (Some(30), Some((0, 2)));
    });
    assert_eq!(found, [Cause::Bar { athlete: 0, bout: 0, bar_type: "20 kg bar".into() }]);
}

#[test]
fn rests_disagree_by_themselves_or_on_the_clock_only() {
    let rests = |step: u32| {
        causes(3, |f| {
            f.together = vec![(0, 1), (1, 2)];
            f.start_step_s = step;
            // The second starts again after 100 to 110 s, the third after 115 to 125 s, the first whenever.
            f.bouts[0].rest_most_s = None;
            (f.bouts[2].rest_least_s, f.bouts[2].rest_most_s) = (40, Some(50));
            (f.bouts[4].rest_least_s, f.bouts[4].rest_most_s) = (55, Some(65));
        })
    };
    assert_eq!(rests(1), [Cause::Rests { athletes: vec![1, 2], step: None }]);
    let on_clock = |least: u32| {
        causes(2, |f| {
            f.together = vec![(0, 1)];
            f.start_step_s = 60;
            (f.bouts[0].rest_least_s, f.bouts[0].rest_most_s) = (60, Some(100));
            (f.bouts[2].rest_least_s, f.bouts[2].rest_most_s) = (least, Some(130));
        })
    };
    assert_eq!(on_clock(60), []);
    // 120 to 160 s is one step of the clock, 150 to 190 s another: together only off it.
    assert_eq!(on_clock(90), [Cause::Rests { athletes: vec![0, 1], step: Some(60) }]);
    assert!(on_clock(90)[0].to_string().ends_with("do not agree on multiples of 60 s"));
}

#[test]
fn kit_that_others_never_give_back_is_not_there() {
    let gone = |to_s| Taken { stock: Some(0), plate: None, count: 3, from_s: 0, to_s };
    let kit = Cause::Kit { athlete: 0, bout: 1, kit: "rower".into(), claimed: 1, there: 0 };
    assert_eq!(causes(3, |f| f.taken = vec![gone(u32::MAX)]), [kit]);
    assert_eq!(causes(3, |f| f.taken = vec![gone(300)]), []);
    // Bars that are never free again are no bars.
    let never = causes(3, |f| f.bars.iter_mut().for_each(|bar| bar.free_from_s = 1_000_000));
    assert_eq!(never, [Cause::Bar { athlete: 0, bout: 0, bar_type: "20 kg bar".into() }]);
}

#[test]
fn several_causes_stand_beside_each_other_and_mending_one_leaves_the_others() {
    type Change = fn(&mut Floor);
    type Is = fn(&Cause) -> bool;
    // What is wrong, and what is wrong with it put right.
    let wrongs: [(Change, Is); 5] = [
        (|f| f.stock[0].count = 0, |c| matches!(c, Cause::Kit { .. })),
        (|f| f.apart = vec![(2, 3)], |c| matches!(c, Cause::Contradiction { .. })),
        (|f| f.bouts[8].rest_most_s = Some(31), |c| matches!(c, Cause::Step { .. })),
        (|f| f.bouts[10].watch = 40, |c| matches!(c, Cause::Watch { .. })),
        (|f| f.max_heats = 0, |c| matches!(c, Cause::NoHeat)),
    ];
    let base = |f: &mut Floor| {
        f.together = vec![(2, 3)];
        f.start_step_s = 60;
    };
    for mask in 0..1_u32 << wrongs.len() {
        let wrong = |at: usize| mask & (1 << at) != 0;
        let found = causes(6, |f| {
            base(f);
            wrongs.iter().enumerate().filter(|(at, _)| wrong(*at)).for_each(|(_, (change, _))| change(f));
        });
        assert_eq!(found.len(), mask.count_ones() as usize, "{mask:b}: {found:?}");
        for (at, (_, is)) in wrongs.iter().enumerate() {
            assert_eq!(found.iter().any(is), wrong(at), "{mask:b}: {found:?}");
        }
    }
}

/// On any floor each named cause is enough: with its own constraint gone it is not named any more and the others are.
#[test]
fn partners_and_contradictions_are_smallest_on_any_floor() {
    let mut dice = Dice(5);
    let mut looked_at = 0;
    for _ in 0..400 {
        let mut floor = random(&mut dice);
        let people = floor.athletes.len() as u32;
        let mut pairs = |many| (0..many).map(|_| (dice.to(people), dice.to(people))).collect::<Vec<_>>();
        let (mut together, apart) = (pairs(people), pairs(2));
        together.retain(|(a, b)| a != b);
        (floor.together, floor.apart) = (together, apart);
        for cause in impossible(&floor) {
            match &cause {
                Cause::Partners { athletes, .. } | Cause::Rests { athletes, .. } => {
                    let own = |pair: &&(u32, u32)| athletes.contains(&pair.0) && athletes.contains(&pair.1);
                    let only: Vec<(u32, u32)> = floor.together.iter().filter(own).copied().collect();
                    let with = |together: Vec<(u32, u32)>| {
                        let floor = Floor { together, apart: vec![], ..floor.clone() };
                        let partners = |c: &Cause| matches!(c, Cause::Partners { .. } | Cause::Rests { .. });
                        impossible(&floor).into_iter().filter(partners).collect::<Vec<_>>()
                    };
                    assert!(with(only.clone()).iter().any(|found| same(found, &cause)), "{cause:?} {floor:?}");
                    // Without any one of them all its pairs are gone, and so is the cause.
                    for out in athletes {
                        let fewer = only.iter().filter(|pair| pair.0 != *out && pair.1 != *out).copied().collect();
                        assert!(!with(fewer).iter().any(|found| same(found, &cause)), "{cause:?} without {out}");
                    }
                    looked_at += 1;
                }
                Cause::Contradiction { athletes } => {
                    let links = athletes.windows(2).all(|pair| {
                        let link = (pair[0], pair[1]);
                        floor.together.iter().any(|&(a, b)| (a, b) == link || (b, a) == link)
                    });
                    let (first, last) = (athletes[0], athletes[athletes.len() - 1]);
                    let ends = floor.apart.iter().any(|&(a, b)| (a, b) == (first, last) || (b, a) == (first, last));
                    assert!(links && ends, "{cause:?} {floor:?}");
                    looked_at += 1;
                }
                _ => {}
            }
        }
    }
    assert!(looked_at > 200, "{looked_at}");
}

/// Of one kind, about the same thing.
fn same(a: &Cause, b: &Cause) -> bool {
    match (a, b) {
        (Cause::Partners { what: a, .. }, Cause::Partners { what: b, .. }) => a == b,
        (Cause::Rests { .. }, Cause::Rests { .. }) => true,
        _ => false,
    }
}
