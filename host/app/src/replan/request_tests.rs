use classwright_planning::floor::check;
use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock, Layout};

use super::answer::{smallest, with_names};
use super::happened::{away_too_long, floors, with_more_bars};
use super::request::{At, Event, KitCount, Late, events};
use super::words::{Words, kit, one_more, plain};
use crate::document::{NamedFloor, OUT_OF_SERVICE_S};

fn no_team(_: &str, _: &str, _: u32) -> bool {
    false
}

/// Three people, two heats, two sets each: two share a bar in turn, one has a machine.
fn three() -> (NamedFloor, Layout) {
    let mut floor = Floor {
        window_s: 3600,
        start_step_s: 1,
        coach_span: 9,
        max_heats: 2,
        stage_count: 2,
        loadings: vec![vec![], vec![0]],
        plates: vec![(Mass::from_kg(20.0), 4)],
        bar_types: vec![("20 kg bar".into(), Mass::from_kg(20.0))],
        stock: vec![FloorStock { name: "row-machine".into(), count: 2 }],
        ..Floor::default()
    };
    floor.bars = (1..=3).map(|n| FloorBar { id: format!("A{n}"), bar_type: 0, free_from_s: 0, loading: 0 }).collect();
    for athlete in 0..3 {
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout: 2 * athlete, bout_count: 2 });
        floor.bouts.extend((0..2).map(|stage| Bout {
            athlete,
            stage,
            duration_s: 60,
            shortest_s: 60,
            longest_s: 60,
            rest_least_s: 40,
            rest_most_s: (athlete == 0).then_some(60),
            watch: 1,
            bar: (athlete < 2).then_some((0, 1)),
            claims: if athlete < 2 { vec![] } else { vec![(0, 1)] },
        }));
    }
    let layout = Layout {
        heat_of: vec![0, 1, 1],
        starts: vec![vec![Some(0), Some(100)], vec![Some(200), Some(300)]],
        bar_of: vec![Some(0), Some(0), Some(1), Some(2), None, None],
    };
    let athletes = ["ama", "bram", "cleo"].map(String::from).to_vec();
    (NamedFloor { floor, athletes, stages: vec![(1, 1), (1, 2)], ..NamedFloor::default() }, layout)
}

fn words() -> Words {
    let names = [("ama", "Ama Bell"), ("bram", "Bram Oak"), ("cleo", "Cleo Reed")];
    Words {
        names: names.into_iter().map(|(id, name)| (id.to_owned(), name.to_owned())).collect(),
        parts: [(1, ("Strength".to_owned(), true))].into(),
    }
}

fn at(now_s: u32) -> (NamedFloor, Layout) {
    let (mut named, layout) = three();
    named.floor.now_s = now_s;
    (named, layout)
}

fn choices(now_s: u32, what: &[Event]) -> Result<Vec<NamedFloor>, String> {
    let (named, layout) = at(now_s);
    floors(&named, Some(&layout), what, &words(), &no_team)
}

fn looked_up(now_s: u32, kit: &[&str], late: &[&str], gone: &[&str]) -> Result<Vec<Event>, String> {
    let (named, _) = at(now_s);
    let kit: Vec<KitCount> = kit.iter().map(|text| text.parse().expect("a count")).collect();
    let late: Vec<Late> = late.iter().map(|text| text.parse().expect("a time")).collect();
    let gone: Vec<String> = gone.iter().map(|name| (*name).to_owned()).collect();
    events(&named, &words(), &kit, &late, &gone)
}

#[test]
fn times_counts_and_names_are_read_or_refused_with_what_would_be_right() {
    assert_eq!("18:22".parse(), Ok(At::Clock(18 * 3600 + 22 * 60)));
    assert_eq!("18:22:30".parse(), Ok(At::Clock(18 * 3600 + 22 * 60 + 30)));
    assert_eq!("+22:00".parse(), Ok(At::Into(1320)));
    assert_eq!("+1:02:00".parse(), Ok(At::Into(3720)));
    for text in ["", "24:00", "18:60", "18", "-5:00", "+5", "+5:60", "18:22:30:1", "1e9:00", "+99999:00", "١٨:٢٢"] {
        let error = text.parse::<At>().expect_err("no time");
        assert!(error.contains("18:22"), "{text}: {error}");
    }
    assert_eq!("20 kg bar = 5".parse(), Ok(KitCount { name: "20 kg bar".into(), count: 5 }));
    for text in
        ["20 kg bar", "=5", "20 kg bar=", "20 kg bar=-1", "20 kg bar=5.5", "20 kg bar=99999999999", "20 kg bar=201"]
    {
        assert!(text.parse::<KitCount>().is_err(), "{text}");
    }
    assert_eq!("Ama Bell=+6:00".parse(), Ok(Late { name: "Ama Bell".into(), ready_s: 360 }));
    for text in ["Ama Bell=6:00", "Ama Bell=-6:00", "Ama Bell", "Ama Bell=+6"] {
        assert!(text.parse::<Late>().is_err(), "{text}");
    }
}

#[test]
fn names_are_found_as_the_plan_shows_them_and_the_nearest_is_proposed() {
    assert_eq!(kit("row-machine"), "row machine");
    assert_eq!(kit("dumbbell 7.5 kg"), "7.5 kg dumbbell");
    assert_eq!(kit("plate 10 kg"), "10 kg plate in the hand");
    for (kit, told) in [
        ("rack", "one more rack"),
        ("rings", "one more pair of rings"),
        ("dip bars", "one more set of dip bars"),
        ("wall", "one more place at the wall"),
        ("plyo press", "one more plyo press"),
    ] {
        assert_eq!(one_more(kit), told);
    }
    assert_eq!(plain("Dumbbells 15kg"), plain("15 kg dumbbell"));
    assert_ne!(plain("15 kg dumbbell"), plain("15 kg bar"));
    assert_eq!(looked_up(0, &["20 kg bars=2"], &[], &[]), Ok(vec![Event::Bars(0, 2)]));
    assert_eq!(looked_up(0, &["20kg plate=3"], &[], &[]), Ok(vec![Event::Plates(0, 3)]));
    assert_eq!(looked_up(0, &["Row-Machine=1"], &[], &[]), Ok(vec![Event::Stock(0, 1)]));
    assert_eq!(looked_up(0, &[], &[], &["ama bell", "BRAM"]).map(|events| events.len()), Ok(2));
    let wrong = |kit: &[&str], late: &[&str], gone: &[&str]| looked_up(0, kit, late, gone).expect_err("a slip");
    assert!(wrong(&["20 kg baar=2"], &[], &[]).contains("did you mean `20 kg bar`?"));
    assert!(wrong(&["sledge=2"], &[], &[]).contains("it uses 20 kg bar, 20 kg plate and row machine"));
    assert!(wrong(&[], &[], &["Ama Bel"]).contains("did you mean `Ama Bell`?"));
    assert!(wrong(&[], &[], &["Somebody Else"]).contains("there are Ama Bell, Bram Oak and Cleo Reed"));
    assert!(wrong(&[], &["ama=+6:00"], &["Ama Bell"]).contains("named twice"));
    assert!(wrong(&["20 kg bar=2", "20kg bars=3"], &[], &[]).contains("counted twice"));
    assert!(looked_up(400, &[], &["ama=+6:00"], &[]).expect_err("in the past").contains("it is 6:40 already"));
    let over = wrong(&[], &["ama=+60:00"], &[]);
    assert_eq!(over, "Ama Bell is late until 60:00, and the class ends at 60:00: say --gone instead");
    assert!(looked_up(0, &[], &["ama=+59:59"], &[]).is_ok());
}

#[test]
fn who_is_gone_before_they_start_leaves_and_who_has_started_keeps_the_past() {
    let gone = [Event::Gone("ama".into())];
    let [before] = &choices(0, &gone).expect("two are left")[..] else { panic!("one floor") };
    assert_eq!(before.athletes, ["bram", "cleo"]);
    let present = before.floor.present.as_ref().expect("a present plan");
    assert_eq!(present.heat_of, [0, 0], "their heat is the first now");
    assert_eq!(present.starts, [[Some(200), Some(300)]]);
    let [middle] = &choices(50, &gone).expect("all are there")[..] else { panic!("one floor") };
    assert_eq!(middle.athletes.len(), 3);
    assert_eq!(middle.floor.athletes[0].bout_count, 1);
    let present = middle.floor.present.as_ref().expect("a present plan");
    assert_eq!(present.starts[0], [Some(0), None]);
    assert_eq!(check(&middle.floor, present), []);
    let all = ["ama", "bram", "cleo"].map(|id| Event::Gone(id.into()));
    assert!(choices(0, &all).expect_err("nobody").contains("nobody is left"));
}

#[test]
fn kit_that_a_team_shared_goes_to_the_one_who_is_left() {
    let (mut named, layout) = three();
    named.floor.together = vec![(1, 2)];
    let team = |a: &str, b: &str, part: u32| part == 1 && [a, b].contains(&"bram") && [a, b].contains(&"cleo");
    let floors = floors(&named, Some(&layout), &[Event::Gone("bram".into())], &words(), &team).expect("two are left");
    let floor = &floors[0].floor;
    assert_eq!(floor.bouts[2].bar, Some((0, 1)));
    assert_eq!(floor.present.as_ref().map(|present| present.bar_of[2]), Some(Some(1)));
    assert_eq!(floor.together, []);
}

#[test]
fn bars_that_go_are_those_that_fewest_need_and_none_in_hand() {
    let out = |named: &NamedFloor| -> Vec<String> {
        let out = named.floor.bars.iter().filter(|bar| bar.free_from_s == OUT_OF_SERVICE_S);
        out.map(|bar| bar.id.clone()).collect()
    };
    let ways = choices(50, &[Event::Bars(0, 2)]).expect("two are left");
    assert_eq!(ways.iter().map(out).collect::<Vec<_>>(), [["A3"], ["A2"]], "A1 is in hand");
    let ways = choices(350, &[Event::Bars(0, 2)]).expect("two are left");
    assert_eq!(ways.iter().map(out).collect::<Vec<_>>(), [["A2"], ["A1"]], "A3 is in hand");
    let error = choices(50, &[Event::Bars(0, 0)]).expect_err("one is in hand");
    assert!(error.contains("a 20 kg bar is in use at 0:50 (Ama Bell on A1), and none would remain"), "{error}");
    assert!(error.contains("leave at least 1"), "{error}");
    let more = choices(50, &[Event::Bars(0, 5)]).expect("more than there were");
    let spare: Vec<_> = more[0].floor.bars[3..].iter().map(|bar| (bar.id.as_str(), bar.free_from_s)).collect();
    assert_eq!(spare, [("spare 1", 50), ("spare 2", 50)]);
    let mut taken = choices(50, &[]).expect("a floor").remove(0);
    taken.floor.bars[1].id = "spare 2".into();
    let ids = with_more_bars(&taken, 0, 200).floor.bars.split_off(3);
    assert_eq!((ids[0].id.as_str(), ids[1].id.as_str(), ids[199].id.as_str()), ("spare 1", "spare 3", "spare 201"));
}

#[test]
fn plates_and_machines_in_use_cannot_go() {
    assert!(
        choices(50, &[Event::Plates(0, 0)])
            .expect_err("on a bar")
            .contains("1 pair of 20 kg plates is in use at 0:50, and none")
    );
    assert!(
        choices(250, &[Event::Stock(0, 0)])
            .expect_err("in use")
            .contains("1 row machine is in use at 4:10, and none would")
    );
    let fewer = choices(50, &[Event::Plates(0, 2), Event::Stock(0, 1)]).expect("enough");
    assert_eq!((fewer[0].floor.plates[0].1, fewer[0].floor.stock[0].count), (2, 1));
}

#[test]
fn who_has_begun_and_is_away_too_long_is_named() {
    let late = choices(50, &[Event::Late("ama".into(), 300)]).expect("a floor");
    assert_eq!(
        away_too_long(&late[0], &words()),
        ["Ama Bell has to start Strength set 2 by 2:00, as the rests are written, and is not there before 5:00"]
    );
    let in_time = choices(50, &[Event::Late("ama".into(), 110)]).expect("a floor");
    assert_eq!(away_too_long(&in_time[0], &words()), Vec::<String>::new());
    let unbounded = choices(250, &[Event::Late("bram".into(), 1000)]).expect("a floor");
    assert_eq!(away_too_long(&unbounded[0], &words()), Vec::<String>::new());
}

#[test]
fn only_what_is_to_blame_is_kept() {
    let blame =
        |guilty: &'static [u32]| smallest(&[1, 2, 3, 4], move |some: &[u32]| guilty.iter().all(|g| some.contains(g)));
    assert_eq!(blame(&[3]), [3]);
    assert_eq!(blame(&[1, 4]), [1, 4]);
    assert_eq!(blame(&[]), Vec::<u32>::new());
}

#[test]
fn causes_are_told_by_name() {
    let (named, _) = three();
    let told = |text: &str| with_names(text, &named, &words());
    assert_eq!(
        told("athlete 1, bout 3: needs a 20 kg bar, and there is none"),
        "Bram Oak, Strength set 2: needs a 20 kg bar, and there is none"
    );
    assert_eq!(
        told("athlete 0, bout 1: starts at second 82 on bar 2, free from 80 with 11 s of changing plates in heat 0"),
        "Ama Bell, Strength set 2: starts at 1:22 on bar A3, free from 80 with 11 s of changing plates in heat 1"
    );
    assert_eq!(
        told("athlete 0 and partners need 2 of x at stage 1, and"),
        "Ama Bell and partners need 2 of x at Strength set 2, and"
    );
}
