use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, Layout};

use super::diff::{Side, changes, moved};
use super::words::Words;
use crate::document::NamedFloor;

/// Four people, two heats; three sets with a bar and a last part without one.
fn four() -> (NamedFloor, Layout) {
    let ids = ["ama", "bram", "cleo", "dov"];
    let mut floor = Floor { window_s: 3600, start_step_s: 1, max_heats: 4, stage_count: 4, ..Floor::default() };
    floor.loadings = vec![vec![]];
    floor.bars = (1..=4).map(|n| FloorBar { id: format!("B{n}"), bar_type: 0, free_from_s: 0, loading: 0 }).collect();
    for athlete in 0..4 {
        floor.athletes.push(FloorAthlete { ready_s: 0, first_bout: 4 * athlete, bout_count: 4 });
        floor.bouts.extend((0..4).map(|stage| Bout {
            athlete,
            stage,
            duration_s: 60,
            shortest_s: 60,
            longest_s: 60,
            rest_least_s: 30,
            rest_most_s: None,
            watch: 1,
            bar: (stage < 3).then_some((0, 0)),
            claims: vec![],
        }));
    }
    let bar_of = (0..16).map(|bout| (bout % 4 < 3).then_some(bout / 4)).collect();
    let starts = vec![vec![Some(0), Some(100), Some(200), Some(600)], vec![Some(300), Some(400), Some(500), Some(900)]];
    let layout = Layout { heat_of: vec![0, 0, 1, 1], starts, bar_of };
    let athletes = ids.map(String::from).to_vec();
    (NamedFloor { floor, athletes, stages: vec![(1, 1), (1, 2), (1, 3), (2, 1)], ..NamedFloor::default() }, layout)
}

fn words() -> Words {
    let names = [("ama", "Ama Bell"), ("bram", "Bram Oak"), ("cleo", "Cleo Reed"), ("dov", "Dov Lark")];
    Words {
        names: names.into_iter().map(|(id, name)| (id.to_owned(), name.to_owned())).collect(),
        parts: [(1, ("Strength".to_owned(), true)), (2, ("Conditioning".to_owned(), false))].into(),
    }
}

/// The sentences of a change to the plan, and who is moved.
fn told(change: impl Fn(&mut NamedFloor, &mut Layout)) -> (Vec<String>, Vec<String>) {
    let (named, layout) = four();
    let (mut new, mut plan) = four();
    change(&mut new, &mut plan);
    let (before, after) = (Side { named: &named, layout: &layout }, Side { named: &new, layout: &plan });
    let texts = changes(before, after, &[], &words()).into_iter().map(|change| change.text).collect();
    (texts, moved(before, after))
}

/// Takes an athlete off the floor, with all bouts.
fn leave(named: &mut NamedFloor, plan: &mut Layout, at: usize) {
    named.athletes.remove(at);
    named.floor.athletes.remove(at);
    plan.heat_of.remove(at);
    let stays: Vec<bool> = named.floor.bouts.iter().map(|bout| bout.athlete as usize != at).collect();
    let mut keep = stays.iter();
    plan.bar_of.retain(|_| *keep.next().expect("a bout each"));
    named.floor.bouts.retain(|bout| bout.athlete as usize != at);
    for bout in named.floor.bouts.iter_mut().filter(|bout| bout.athlete as usize > at) {
        bout.athlete -= 1;
    }
}

#[test]
fn nothing_is_told_but_the_end_where_nothing_changes() {
    assert_eq!(told(|_, _| {}), (vec!["Ends at 16:00, as before.".into()], vec![]));
}

#[test]
fn who_leaves_is_told_first_and_nobody_is_moved_by_it() {
    let (texts, moved) = told(|named, plan| leave(named, plan, 0));
    assert_eq!(texts, ["Heat 1 loses Ama Bell.", "Ends at 16:00, as before."]);
    assert_eq!(moved, Vec::<String>::new());
}

#[test]
fn who_is_gone_and_has_nothing_left_to_take_off_was_heard() {
    let (named, layout) = four();
    let side = Side { named: &named, layout: &layout };
    let texts: Vec<String> = changes(side, side, &["ama"], &words()).into_iter().map(|change| change.text).collect();
    let heard = "Ama Bell has started the last of their work: nothing is left to take off.";
    assert_eq!(texts, [heard, "Ends at 16:00, as before."]);
}

#[test]
fn who_stops_in_the_middle_is_told_with_their_last_work() {
    let (texts, moved) = told(|named, plan| {
        named.floor.now_s = 150;
        named.floor.bouts.drain(2..4);
        plan.bar_of.drain(2..4);
        named.floor.athletes[0].bout_count = 2;
    });
    assert_eq!(texts, ["Ama Bell stops after Strength set 2.", "Ends at 16:00, as before."]);
    assert_eq!(moved, Vec::<String>::new());
}

#[test]
fn a_shift_of_a_whole_heat_is_one_line_and_of_two_alike_too() {
    let later = |heats: &'static [usize]| {
        move |_: &mut NamedFloor, plan: &mut Layout| {
            for start in heats.iter().flat_map(|heat| [*heat; 4].into_iter().zip(0..4)).collect::<Vec<_>>() {
                let start = &mut plan.starts[start.0][start.1];
                *start = start.map(|second| second + 90);
            }
        }
    };
    assert_eq!(told(later(&[1])).0, ["Heat 2 starts 1:30 later.", "Ends at 17:30, 1:30 later."]);
    assert_eq!(told(later(&[0, 1])).0, ["Heats 1 and 2 start 1:30 later.", "Ends at 17:30, 1:30 later."]);
    let begun = told(|named, plan| {
        named.floor.now_s = 450;
        plan.starts[1][2] = Some(530);
        plan.starts[1][3] = Some(930);
    });
    assert_eq!(begun.0, ["Heat 2 goes on 0:30 later.", "Ends at 16:30, 0:30 later."]);
    assert_eq!(begun.1, Vec::<String>::new(), "another start alone moves nobody");
}

#[test]
fn shifts_that_differ_are_told_from_where_they_hold() {
    let (texts, _) = told(|_, plan| {
        plan.starts[1][2] = Some(620);
        plan.starts[1][3] = Some(1050);
    });
    assert_eq!(
        texts,
        ["Heat 2: 2:00 later from Strength set 3, 2:30 later from Conditioning.", "Ends at 18:30, 2:30 later."]
    );
    let (texts, _) = told(|_, plan| plan.starts[0] = [0, 90, 250, 580].map(Some).to_vec());
    assert_eq!(
        texts[0],
        "Heat 1: 0:10 earlier from Strength set 2, 0:50 later from Strength set 3, 0:20 earlier from Conditioning."
    );
}

#[test]
fn another_bar_is_told_with_the_sets_it_is_for() {
    let (texts, moved) = told(|named, plan| {
        named.floor.now_s = 450;
        plan.bar_of[8 + 2] = Some(1);
    });
    assert_eq!(texts[0], "Cleo Reed takes bar B2 instead of B3 for Strength set 3.");
    assert_eq!(moved, ["cleo"]);
    let swapped = |sets: std::ops::Range<usize>| {
        told(move |_, plan| {
            for set in sets.clone() {
                plan.bar_of.swap(set, 4 + set);
            }
        })
    };
    assert_eq!(swapped(0..3).0[..2], ["Ama Bell takes bar B2 instead of B1.", "Bram Oak takes bar B1 instead of B2."]);
    assert_eq!(swapped(1..3).0[0], "Ama Bell takes bar B2 instead of B1 from Strength set 2.");
    assert_eq!(swapped(0..2).0[0], "Ama Bell takes bar B2 instead of B1 for Strength sets 1-2.");
    assert_eq!(swapped(0..1).1, ["ama", "bram"]);
    let (texts, _) = told(|_, plan| plan.bar_of[0..3].clone_from_slice(&[Some(1), Some(2), Some(3)]));
    assert_eq!(texts[0], "Ama Bell takes other bars from Strength set 1 on: see the bar sheet.");
    let (texts, _) = told(|_, plan| (0..2).for_each(|athlete| plan.bar_of[4 * athlete + 2] = Some(3)));
    assert_eq!(texts[0], "Ama Bell takes bar B4 instead of B1 for Strength set 3.");
}

#[test]
fn what_was_done_on_another_bar_moves_nobody() {
    let (texts, moved) = told(|named, plan| {
        named.floor.now_s = 350;
        plan.bar_of[0] = Some(3);
    });
    assert_eq!((texts.len(), moved.len()), (1, 0), "{texts:?}");
}

#[test]
fn who_goes_to_another_heat_is_told_together_with_those_who_go_the_same_way() {
    let (texts, moved) = told(|_, plan| plan.heat_of = vec![0, 1, 1, 1]);
    assert_eq!(texts[0], "Bram Oak goes from heat 1 to heat 2.");
    assert_eq!(moved, ["bram"]);
    let (texts, moved) = told(|_, plan| {
        plan.heat_of = vec![0, 2, 2, 1];
        plan.starts.push([600, 700, 800, 1200].map(Some).to_vec());
    });
    assert_eq!(
        texts,
        [
            "Bram Oak goes from heat 1 to the new heat 3.",
            "Cleo Reed goes from heat 2 to the new heat 3.",
            "Heat 3 starts at 10:00.",
            "Ends at 21:00, 5:00 later."
        ]
    );
    assert_eq!(moved, ["bram", "cleo"]);
}

#[test]
fn heats_behind_one_that_is_left_out_keep_their_people_and_get_a_number() {
    let (texts, moved) = told(|named, plan| {
        leave(named, plan, 1);
        leave(named, plan, 0);
        plan.heat_of = vec![0, 0];
        plan.starts.remove(0);
    });
    assert_eq!(
        texts,
        [
            "Heat 1 loses Ama Bell and Bram Oak.",
            "Heat 1 is left out.",
            "Heat 2 is called heat 1 from now on.",
            "Ends at 16:00, as before."
        ]
    );
    assert_eq!(moved, Vec::<String>::new());
    let (texts, moved) = told(|_, plan| {
        plan.heat_of = vec![0, 0, 0, 0];
        plan.starts.remove(1);
    });
    assert_eq!(texts[0], "Cleo Reed and Dov Lark go from heat 2 to heat 1.");
    assert_eq!(texts[1], "Heat 2 is left out.");
    assert_eq!(moved, ["cleo", "dov"]);
}

#[test]
fn without_a_plan_before_everybody_is_new() {
    let (named, layout) = four();
    let empty = Layout::default();
    let before = Side { named: &named, layout: &empty };
    let after = Side { named: &named, layout: &layout };
    assert_eq!(moved(before, after).len(), 4);
    let texts: Vec<String> = changes(before, after, &[], &words()).into_iter().map(|change| change.text).collect();
    assert_eq!(texts, ["Heat 1 starts at 0:00.", "Heat 2 starts at 5:00.", "Ends at 16:00."]);
}
