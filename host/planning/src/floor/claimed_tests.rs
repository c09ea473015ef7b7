use classwright_training::Mass;
use classwright_training::floor::{Floor, FloorBar, FloorStock, Layout};

use super::tests::{Dice, good, random, small};
use super::*;

fn held(from_s: u32, to_s: u32, count: u32) -> Held {
    Held { from_s, to_s, count }
}

#[test]
fn a_plan_holds_kit_in_use_plates_from_change_to_change_and_its_bars() {
    let claims = Claims::of(&small(), &good(), 0);
    assert_eq!(claims.stock["rower"], [held(101, 161, 1), held(172, 232, 1)]);
    assert_eq!(claims.plates[&Mass::from_kg(20.0)], [held(0, 142, 1)]);
    assert_eq!(claims.plates[&Mass::from_kg(5.0)], [held(71, 142, 1)]);
    assert_eq!(claims.bars, [("A".to_owned(), (0, 142))].into());
    // The other class starts 100 s earlier: what it did before is over.
    let earlier = Claims::of(&small(), &good(), -100);
    assert_eq!(earlier.stock["rower"], [held(1, 61, 1), held(72, 132, 1)]);
    assert_eq!((earlier.plates[&Mass::from_kg(20.0)][0], earlier.bars["A"]), (held(0, 42, 1), (0, 42)));
    assert!(Claims::of(&small(), &good(), -232).is_empty());
}

/// The same class again, so many seconds later, around the first.
fn beside(later_s: u32, change: impl Fn(&mut Floor)) -> (Floor, Vec<NeededLater>) {
    let mut floor = small();
    change(&mut floor);
    let claims = Claims::of(&small(), &good(), -i64::from(later_s));
    let later = put_claims(&mut floor, &[&claims]);
    (floor, later)
}

#[test]
fn a_plan_made_without_regard_to_the_other_class_is_refused() {
    use FloorFault::*;
    let faults = |change: &dyn Fn(&mut Floor)| check(&beside(60, change).0, &good());
    let soon = BarTooSoon { athlete: 0, bout: 0, bar: 0, second: 11, free: 82, change: 11 };
    assert!(faults(&|_| {}).contains(&soon));
    // With a bar and plates of its own it is still refused for the rower, and without the bar for the plates.
    let own = |f: &mut Floor| f.bars[0].id = "C".into();
    let plates = |second, plate: &str| Plates { plate: plate.into(), second, held: 2, there: 1 };
    let rower = Kit { kit: "rower".into(), second: 112, claimed: 2, there: 1 };
    assert_eq!(faults(&own), [rower.clone(), plates(0, "20 kg"), plates(71, "5 kg")]);
    let rich = |f: &mut Floor| (f.bars[0].id, f.plates[0].1, f.plates[1].1) = ("C".into(), 2, 2);
    assert_eq!(faults(&rich), [rower]);
    let richer = |f: &mut Floor| {
        rich(f);
        f.stock[0].count = 2;
    };
    assert_eq!(faults(&richer), []);
}

#[test]
fn a_bar_that_is_needed_after_this_class_is_free_until_then() {
    // The other class starts 430 s later than this one, whose window is 400 s.
    let mut floor = small();
    let claims = Claims::of(&small(), &good(), 430);
    let later = put_claims(&mut floor, &[&claims]);
    assert_eq!(later, [NeededLater { bar: 0, from_s: 430, to_s: 572 }]);
    assert_eq!(floor.bars[0].free_from_s, 0);
    assert_eq!(reached(&floor, &good(), &later), []);
    let mut late = good();
    late.starts[1] = vec![Some(400), Some(490)];
    assert_eq!(reached(&floor, &late, &later), later);
    // Needed within the window it is not to be had before it is put away.
    let mut floor = small();
    assert_eq!(put_claims(&mut floor, &[&Claims::of(&small(), &good(), 399)]), []);
    assert_eq!(floor.bars[0].free_from_s, 541);
}

#[test]
fn plates_in_hands_and_on_bars_are_the_same_plates() {
    let plates = Mass::from_kg(10.0);
    // The other class holds two pairs on bars and three plates in hands.
    let other = Claims {
        stock: [("plate 10 kg".to_owned(), vec![held(50, 90, 3)])].into(),
        plates: [(plates, vec![held(0, 100, 2)])].into(),
        ..Claims::default()
    };
    let taken = |on_bars: u32, in_hands: u32| {
        let mut floor = Floor { plates: vec![(plates, on_bars)], ..Floor::default() };
        if in_hands > 0 {
            floor.stock = vec![FloorStock { name: "plate 10 kg".into(), count: in_hands }];
        }
        put_claims(&mut floor, &[&other]);
        let at = |second: u32| {
            let then = floor.taken.iter().filter(|t| (t.from_s..t.to_s).contains(&second));
            then.fold(
                (0, 0),
                |(bars, hands), t| {
                    if t.plate.is_some() { (bars + t.count, hands) } else { (bars, hands + t.count) }
                },
            )
        };
        (at(0), at(60))
    };
    assert_eq!(taken(5, 0), ((2, 0), (4, 0)), "no plate is for hands: two pairs more are not there for bars");
    assert_eq!(taken(5, 4), ((2, 0), (2, 3)));
    assert_eq!(taken(5, 2), ((2, 0), (3, 2)));
    assert_eq!(taken(1, 8), ((1, 2), (1, 5)), "what is too much for the bars is missing for hands");
}

/// Everything of a floor and its plan held at a second of the clock, in one count a name. No use is made of claims.
fn at(floor: &Floor, layout: &Layout, second: i64) -> std::collections::BTreeMap<String, u32> {
    let mut sums = std::collections::BTreeMap::new();
    let mut add = |name: String| *sums.entry(name).or_insert(0) += 1;
    let within = |from: u32, to: u32| (i64::from(from)..i64::from(to)).contains(&second);
    for bout in &floor.bouts {
        let start =
            layout.starts[layout.heat_of[bout.athlete as usize] as usize][bout.stage as usize].expect("a start");
        for (row, count) in bout.claims.iter().filter(|_| within(start, start + bout.duration_s)) {
            (0..*count).for_each(|_| add(floor.stock[*row as usize].name.clone()));
        }
    }
    for turn in bar_uses(floor, layout) {
        if within(turn.setup_from_s, turn.end_s) {
            add(format!("bar {}", floor.bars[turn.bar as usize].id));
        }
        for &plate in
            floor.loadings[turn.to_loading as usize].iter().filter(|_| within(turn.setup_from_s, turn.held_until_s))
        {
            add(floor.plates[plate as usize].0.to_string());
        }
    }
    sums
}

#[test]
fn two_plans_of_one_room_never_hold_more_than_there_is() {
    let mut dice = Dice(11);
    let (mut both, mut refused) = (0, 0);
    for _ in 0..300 {
        let mut first = random(&mut dice);
        first.taken.clear();
        let empty = |bar: &mut FloorBar| (bar.loading, bar.free_from_s) = (0, 0);
        first.bars.iter_mut().for_each(empty);
        let mut second = random(&mut dice);
        second.taken.clear();
        (second.bars, second.stock, second.plates) = (first.bars.clone(), first.stock.clone(), first.plates.clone());
        second.window_s = [300, 1800][dice.to(2) as usize];
        let later_s = i64::from(dice.to(900)) - 300;
        let (Ok(a), Ok(alone)) = (in_turn(&first), in_turn(&second)) else { continue };
        let claims = Claims::of(&first, &a.plan, -later_s);
        let later = put_claims(&mut second, &[&claims]);
        let Ok(b) = in_turn(&second) else { continue };
        if !reached(&second, &b.plan, &later).is_empty() {
            continue;
        }
        let most = |name: &str| -> u32 {
            let stock = first.stock.iter().find(|row| row.name == name).map(|row| row.count);
            let plates = first.plates.iter().find(|row| row.0.to_string() == name).map(|row| row.1);
            stock.or(plates).unwrap_or(1)
        };
        let over = |plan: &Layout| {
            (-1000..4000).any(|second_of_b| {
                let mut sums = at(&second, plan, second_of_b);
                for (name, count) in at(&first, &a.plan, second_of_b + later_s) {
                    *sums.entry(name).or_insert(0) += count;
                }
                sums.iter().any(|(name, count)| *count > most(name))
            })
        };
        assert!(!over(&b.plan), "{first:?} {:?} {second:?} {:?} {later_s}", a.plan, b.plan);
        both += 1;
        let any_heats = Floor { max_heats: u32::MAX, ..second.clone() };
        if over(&alone.plan) {
            let refused_by_check = !check(&any_heats, &alone.plan).is_empty();
            assert!(refused_by_check || !reached(&second, &alone.plan, &later).is_empty(), "{second:?}");
            refused += 1;
        }
    }
    assert!(both > 120 && refused > 60, "{both} {refused}");
}
