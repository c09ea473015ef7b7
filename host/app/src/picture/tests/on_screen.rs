//! The text for a terminal: how wide it is, and where starts and uses stand.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::super::labels::columns;
use super::super::{Picture, RowsBy, terminal};
use super::made_up::{Wanted, plan, plans};
use super::{pictures, spans};

/// The lines of the strips, without head and keys.
fn strips(text: &str) -> Vec<&str> {
    let from = text.lines().position(|line| line.starts_with("minutes")).expect("an axis");
    let lines: Vec<&str> = text.lines().collect();
    let keys = lines.iter().rposition(|line| line.starts_with("█ ") || line.starts_with("# ")).expect("keys");
    lines[from..keys].to_vec()
}

/// How often each word stands in the strips, between signs of which no label is made.
fn words(text: &str) -> BTreeMap<&str, usize> {
    let apart = |c: char| " ░▐█·*│┊".contains(c);
    let mut words = BTreeMap::new();
    for word in strips(text).iter().flat_map(|line| line.split(apart)).filter(|word| !word.is_empty()) {
        *words.entry(word).or_default() += 1;
    }
    words
}

proptest! {
    #[test]
    fn no_line_is_wider_than_asked_for(plan in plans(), width in 40_usize..300, ascii: bool) {
        for picture in pictures(&plan) {
            let text = terminal(&picture, width, ascii);
            for line in text.lines() {
                prop_assert!(columns(line) <= width, "{} columns: {line}", columns(line));
                prop_assert!(!line.chars().any(char::is_control), "{line:?}");
            }
            prop_assert!(!ascii || text.is_ascii(), "{text}");
            prop_assert_eq!(&text, &terminal(&picture, width, ascii));
        }
    }

    #[test]
    fn every_start_and_every_load_has_its_label(plan in plans(), width in 40_usize..300) {
        for picture in pictures(&plan) {
            let text = terminal(&picture, width, false);
            let mut words = words(&text);
            for (_, span) in spans(&picture).into_iter().filter(|(_, span)| !span.below.is_empty()) {
                let left = words.get_mut(span.below.as_str()).filter(|left| **left > 0);
                *left.ok_or_else(|| TestCaseError::fail(format!("{} is missing\n{text}", span.told)))? -= 1;
            }
        }
    }
}

#[test]
fn a_start_stands_in_the_column_of_its_time() {
    let plan = plan(&Wanted { heats: 3, people: 6, numbers: vec![60, 300], ..Wanted::default() });
    let picture = Picture::new(&plan, RowsBy::Heat).expect("a picture");
    for width in [70, 100, 160, 300] {
        let text = terminal(&picture, width, false);
        let lines: Vec<Vec<char>> = strips(&text).iter().map(|line| line.chars().collect()).collect();
        let axis = lines.iter().find(|line| line.contains(&'┬')).expect("an axis");
        let first = axis.iter().position(|c| *c == '┬').expect("minute 0");
        let step_s = (picture.to_s - picture.from_s).div_ceil((width - first - 1) as u32);
        let blocks: Vec<&Vec<char>> = lines.iter().filter(|line| line.starts_with(&['H', 'e'])).collect();
        for (row, block) in picture.rows.iter().zip(blocks) {
            for span in &row.lanes[0].spans {
                let at = first + ((span.from_s - picture.from_s) / step_s) as usize;
                let sign = block[at];
                assert!(sign == '▐' || span.above.starts_with(sign), "{} at {at}: {sign}\n{text}", span.told);
            }
        }
    }
}

#[test]
fn a_bar_is_read_at_a_glance() {
    let numbers = vec![60, 10, 0, 10, 65, 3, 2, 20, 30, 40, 2, 25, 34, 30, 0, 90, 34, 20];
    let mut plan = plan(&Wanted { people: 2, bars: 1, parts: 1, sets: 2, numbers, ..Wanted::default() });
    plan.floor.bars[0].bar = "A1".into();
    let picture = Picture::new(&plan, RowsBy::Bar).expect("a picture");
    let text = terminal(&picture, 72, false);
    let wanted = [
        "minutes   0           1           2           3           4           5",
        "          ┬───────────┬───────────┬───────────┬───────────┬─────────▼─┬",
        "A1        ·············░2AT██········░2BO███······AT set 1 █████████│··",
        "20 kg bar                57.5          62.5       62.5",
        "",
    ];
    assert_eq!(strips(&text), wanted, "{text}");
}
