use super::*;
use crate::floor::tests::small;
use crate::floor::{in_turn, overrun_s};
use classwright_training::floor::Taken;

fn tight(change: impl Fn(&mut Floor)) -> Vec<Cause> {
    let mut floor = small();
    change(&mut floor);
    // None of this keeps a plan from being made.
    assert_eq!(impossible(&floor), []);
    let found = in_turn(&floor).expect("a plan that runs over");
    let causes = too_tight(&floor);
    if causes.iter().any(|cause| matches!(cause, Cause::Heats { .. } | Cause::Apart { .. })) {
        assert!(found.heats_over > 0);
        assert!(heats_needed(&floor) > floor.max_heats);
    }
    if causes.iter().any(|cause| matches!(cause, Cause::LongRest { .. } | Cause::Window { .. })) {
        assert!(overrun_s(&floor, &found.plan) > 0);
    }
    causes
}

fn window(athlete: u32, seconds: u32, window: u32, with: &[&str]) -> Cause {
    let with = with.iter().map(|words| (*words).to_owned()).collect();
    Cause::Window { athlete, seconds, window, with, more: 0 }
}

#[test]
fn a_floor_with_room_is_not_too_tight() {
    assert_eq!(tight(|_| {}), []);
    assert_eq!(heats_needed(&small()), 2);
}

#[test]
fn more_people_than_the_heats_hold() {
    // One bar, one pair of 20s and one rower each do for one person a heat.
    let found = tight(|f| f.max_heats = 1);
    let what = |cause: &Cause| match cause {
        Cause::Heats { what, people: 2, needed: 2, there: 1, heats: 2, most: 1, .. } => what.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(found.iter().map(what).collect::<Vec<_>>(), ["rower", "20 kg bar", "the pairs of 20 kg plates"]);
    assert_eq!(
        found[0].to_string(),
        "2 people need 2 of rower at stage 1, and there is 1 at once: 2 heats at least, 1 allowed"
    );
    // With two of each only the coach is in the way, and then nothing.
    let rich = |f: &mut Floor| {
        (f.max_heats, f.stock[0].count, f.bars[1].bar_type) = (1, 2, 0);
        f.plates.iter_mut().for_each(|row| row.1 = 2);
    };
    let coach = tight(|f| {
        rich(f);
        f.coach_span = 1;
    });
    assert!(matches!(&coach[..], [Cause::Heats { what, .. }] if what == "the coach's eye"));
    assert_eq!(tight(rich), []);
}

#[test]
fn more_people_apart_than_there_are_heats() {
    let found = tight(|f| {
        f.max_heats = 1;
        f.stock[0].count = 2;
        f.bars[1].bar_type = 0;
        f.plates.iter_mut().for_each(|row| row.1 = 2);
        f.apart = vec![(0, 1)];
    });
    assert_eq!(found, [Cause::Apart { athletes: vec![0, 1], most: 1 }]);
    assert_eq!(found[0].to_string(), "athlete 0 and athlete 1 are all kept apart, and 1 heat is allowed");
}

#[test]
fn a_rest_or_a_row_of_work_that_is_longer_than_the_class() {
    let rest = Cause::LongRest { athlete: 1, bout: 2, rest: 700, window: 400, more: 0 };
    let long = |f: &mut Floor| (f.bouts[2].rest_least_s, f.bouts[2].rest_most_s) = (700, None);
    assert_eq!(tight(long), std::slice::from_ref(&rest));
    assert_eq!(rest.to_string(), "athlete 1, bout 2: the rest of 11:40 after it is longer than the class of 6:40");
    // Both have it at one stage: told once, of the longest.
    let both = tight(|f| {
        long(f);
        (f.bouts[0].rest_least_s, f.bouts[0].rest_most_s) = (600, None);
    });
    assert_eq!(both, [Cause::LongRest { athlete: 1, bout: 2, rest: 700, window: 400, more: 1 }]);
    // Work and rests of 60 + 30 + 60 s in a class of 149 s.
    let chain = tight(|f| f.window_s = 149);
    assert_eq!(chain, [Cause::Window { athlete: 0, seconds: 150, window: 149, with: vec![], more: 1 }]);
    assert_eq!(
        chain[0].to_string(),
        "athlete 0 is done at 2:30 at the earliest, after the 2:29 of the class, and one more"
    );
}

#[test]
fn what_makes_it_too_long_is_named_and_nothing_else() {
    // There late, and a rower that others hold for a while: either alone does it, so only one is named.
    let held = |to_s| Taken { stock: Some(0), plate: None, count: 1, from_s: 0, to_s };
    let late = tight(|f| f.athletes[1].ready_s = 260);
    assert_eq!(late, [window(1, 410, 400, &["nothing started before 4:20"])]);
    let taken = tight(|f| f.taken = vec![held(341)]);
    let others = "the rower that others hold";
    assert_eq!(taken, [Cause::Window { athlete: 0, seconds: 401, window: 400, with: vec![others.into()], more: 1 }]);
    assert_eq!(tight(|f| f.taken = vec![held(340)]), []);
    // However many say that they hold it: no number runs over.
    let crowd = tight(|f| {
        f.taken = vec![Taken { count: 100_000, from_s: 0, ..held(341) }; 50_000];
        f.taken.extend(vec![Taken { stock: None, plate: Some(0), ..f.taken[0] }; 50_000]);
    });
    assert!(
        matches!(&crowd[..], [Cause::Window { seconds: 401, with, .. }] if with == &[others.to_owned()]),
        "{crowd:?}"
    );
    // On the minute and there a little late: neither does it alone.
    let clock = |step, ready| {
        tight(move |f| {
            (f.window_s, f.start_step_s, f.athletes[1].ready_s) = (240, step, ready);
        })
    };
    assert_eq!((clock(60, 0), clock(1, 70)), (vec![], vec![]));
    let both = window(1, 300, 240, &["nothing started before 1:10", "starts on multiples of 60 s"]);
    assert_eq!(clock(60, 70), [both]);
    // Kit that is held, but not when it is needed, is no cause.
    assert_eq!(tight(|f| f.taken = vec![Taken { from_s: 300, ..held(2000) }]), []);
    let bars = tight(|f| f.bars[0].free_from_s = 300);
    let words = "every 20 kg bar held by others at first".to_owned();
    assert_eq!(bars, [Cause::Window { athlete: 0, seconds: 450, window: 400, with: vec![words], more: 1 }]);
}

#[test]
fn what_has_happened_is_not_told() {
    let mut floor = small();
    floor.present = Some(crate::floor::tests::good());
    (floor.now_s, floor.window_s) = (50, 149);
    // The first has begun; the second has not, and is still too long.
    assert!(matches!(&too_tight(&floor)[..], [Cause::Window { athlete: 1, more: 0, .. }]));
}
