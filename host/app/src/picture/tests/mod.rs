//! What must hold of every picture, over made-up plans.

mod made_up;
mod on_paper;
mod on_screen;

use proptest::prelude::*;

use super::{NoPicture, Picture, RowsBy, Span, SpanKind};
use crate::document::PlanDoc;
use made_up::{plan, plans};

fn spans(picture: &Picture) -> Vec<(&str, &Span)> {
    let rows = picture.rows.iter();
    rows.flat_map(|row| row.lanes.iter().flat_map(|lane| &lane.spans).map(|span| (row.name.as_str(), span))).collect()
}

/// A picture by heat, and one by bar where bars are used.
fn pictures(plan: &PlanDoc) -> Vec<Picture> {
    [RowsBy::Heat, RowsBy::Bar].into_iter().filter_map(|by| Picture::new(plan, by).ok()).collect()
}

proptest! {
    #[test]
    fn every_start_of_every_heat_is_there_once(plan in plans()) {
        let picture = Picture::new(&plan, RowsBy::Heat).expect("there are heats");
        let mut wanted: Vec<(String, u32, u32, u32)> = Vec::new();
        for heat in &plan.floor.heats {
            wanted.extend(heat.starts.iter().map(|s| (format!("Heat {}", heat.heat), s.start_s, s.end_s, s.part)));
        }
        let drawn = spans(&picture).into_iter().map(|(row, s)| (row.to_owned(), s.from_s, s.to_s, s.part));
        let mut drawn: Vec<_> = drawn.collect();
        wanted.sort();
        drawn.sort();
        prop_assert_eq!(drawn, wanted);
    }

    #[test]
    fn every_use_of_every_bar_is_there_once_with_its_change_of_plates(plan in plans()) {
        let Ok(picture) = Picture::new(&plan, RowsBy::Bar) else {
            prop_assert!(plan.floor.bars.iter().all(|bar| bar.uses.is_empty()));
            return Ok(());
        };
        let of_kind = |kind| spans(&picture).into_iter().filter(move |(_, s)| s.what == kind);
        let mut drawn: Vec<_> =
            of_kind(SpanKind::Work).map(|(bar, s)| (bar.to_owned(), s.from_s, s.to_s, s.below.clone())).collect();
        let uses = || plan.floor.bars.iter().flat_map(|bar| bar.uses.iter().map(|used| (bar.bar.clone(), used)));
        let mut wanted: Vec<_> =
            uses().map(|(bar, used)| (bar, used.start_s, used.end_s, used.total_kg.to_string())).collect();
        wanted.sort();
        drawn.sort();
        prop_assert_eq!(drawn, wanted);
        let mut changes: Vec<_> = of_kind(SpanKind::SetUp).map(|(bar, s)| (bar.to_owned(), s.from_s, s.to_s)).collect();
        let with_change = uses().filter(|(_, used)| used.setup_from_s < used.start_s);
        let mut wanted: Vec<_> = with_change.map(|(bar, used)| (bar, used.setup_from_s, used.start_s)).collect();
        wanted.sort();
        changes.sort();
        prop_assert_eq!(changes, wanted);
        for (bar, span) in of_kind(SpanKind::NotFree) {
            let free = plan.floor.asked.bars.iter().find(|asked| asked.bar == bar);
            prop_assert_eq!(Some(span.to_s), free.map(|asked| asked.free_from_s));
        }
        let unused = plan.floor.bars.iter().filter(|bar| bar.uses.is_empty()).count();
        prop_assert_eq!(picture.resting.len(), unused);
    }

    #[test]
    fn spans_and_parts_of_a_lane_do_not_overlap(plan in plans()) {
        for picture in pictures(&plan) {
            for lane in picture.rows.iter().flat_map(|row| &row.lanes) {
                prop_assert!(lane.spans.is_sorted_by(|before, after| before.to_s <= after.from_s));
                prop_assert!(lane.groups.is_sorted_by(|before, after| before.to_s <= after.from_s));
            }
        }
    }

    #[test]
    fn initials_tell_everybody_apart(plan in plans()) {
        let Ok(picture) = Picture::new(&plan, RowsBy::Bar) else { return Ok(()) };
        let mut seen: Vec<&str> = picture.initials.iter().map(|who| who.initials.as_str()).collect();
        let many = seen.len();
        seen.sort();
        seen.dedup();
        prop_assert_eq!(seen.len(), many);
    }
}

#[test]
fn without_a_floor_plan_or_without_bars_there_is_a_sentence() {
    let mut none = plan(&made_up::Wanted { heats: 2, people: 4, bars: 2, ..made_up::Wanted::default() });
    none.floor.bars.iter_mut().for_each(|bar| bar.uses.clear());
    assert_eq!(Picture::new(&none, RowsBy::Bar), Err(NoPicture::NoBarUsed));
    assert!(Picture::new(&none, RowsBy::Heat).is_ok());
    none.floor.heats.clear();
    assert_eq!(Picture::new(&none, RowsBy::Heat), Err(NoPicture::NoFloorPlan));
}

#[test]
fn a_bar_that_nobody_uses_is_told_with_what_became_of_it() {
    let mut made = plan(&made_up::Wanted { heats: 2, people: 4, bars: 5, ..made_up::Wanted::default() });
    // Of five made-up bars those at 0, 2 and 4 are asked about.
    [0, 2, 4].iter().for_each(|bar| made.floor.bars[*bar].uses.clear());
    made.floor.asked.bars[0].free_from_s = 0;
    made.floor.asked.bars[1].free_from_s = 90;
    (made.floor.asked.bars[2].free_from_s, made.floor.asked.bars[2].out_of_service) = (0, true);
    let picture = Picture::new(&made, RowsBy::Bar).expect("the others are used");
    assert_eq!(picture.resting, ["<0>", "<2> (not free before 1:30)", "<4> (out of service)"]);
}

#[test]
fn times_that_cannot_be_are_told_with_their_place() {
    let mut wrong = plan(&made_up::Wanted { heats: 2, people: 4, bars: 2, ..made_up::Wanted::default() });
    wrong.floor.heats[1].starts[0].end_s = 0;
    wrong.floor.heats[1].starts[0].start_s = 7;
    let told = Picture::new(&wrong, RowsBy::Heat).map_err(|error| (error.to_string(), error.exit_code()));
    assert!(
        told.as_ref().is_err_and(|(text, code)| text.contains("floor.heats[1].starts[0]") && *code == 2),
        "{told:?}"
    );
    wrong.floor.heats[1].starts[0].end_s = u32::MAX;
    assert!(Picture::new(&wrong, RowsBy::Heat).is_err());
    let told = Picture::read(b"{\"session\": 7}", RowsBy::Heat).map_err(|error| (error.to_string(), error.exit_code()));
    assert!(told.as_ref().is_err_and(|(text, code)| text.contains("line 1") && *code == 2), "{told:?}");
}
