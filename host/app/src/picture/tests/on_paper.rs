//! The SVG file: read back with an XML reader, and every text held against its neighbours.

use std::collections::BTreeMap;

use proptest::prelude::*;
use roxmltree::{Document, Node};
use unicode_width::UnicodeWidthStr;

use super::super::{Picture, RowsBy, SpanKind, svg};
use super::made_up::{Wanted, plan, plans};
use super::{pictures, spans};

// Widths of the signs from blank to tilde in thousandths of the size, DejaVu Sans and DejaVu Sans Bold 2.37: the widest of
// the fonts that a `sans-serif` commonly stands for. DejaVu Sans Mono: 602 each.
#[rustfmt::skip]
const PLAIN: [u16; 95] = [
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
];

#[rustfmt::skip]
const BOLD: [u16; 95] = [
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683,
    683, 821, 837, 372, 372, 775, 637, 995, 837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771,
    724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665,
    343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
];

/// A rectangle on the page: left, top, right, bottom.
type Area = [f64; 4];

fn number(node: &Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_default();
    text.parse().unwrap_or_else(|_| panic!("{name} of {node:?} is `{text}`"))
}

/// Where a text stands, from what is in the file and the widths above.
fn area(node: &Node<'_, '_>) -> Area {
    let (x, y, size) = (number(node, "x"), number(node, "y"), number(node, "font-size"));
    let text = node.text().unwrap_or_default();
    let table = |c: char, table: &[u16; 95]| match c {
        ' '..='~' => f64::from(table[c as usize - 32]),
        c => UnicodeWidthStr::width(c.to_string().as_str()) as f64 * 600.0,
    };
    let thousandths: f64 = match (node.attribute("font-family"), node.attribute("font-weight")) {
        (Some("monospace"), _) => text.width() as f64 * 602.0,
        (_, Some("bold")) => text.chars().map(|c| table(c, &BOLD)).sum(),
        _ => text.chars().map(|c| table(c, &PLAIN)).sum(),
    };
    let wide = thousandths / 1000.0 * size;
    let left = if node.attribute("text-anchor") == Some("end") { x - wide } else { x };
    // Letters reach 0.76 of their size over the base line and 0.24 below.
    [left, y - 0.76 * size, left + wide, y + 0.24 * size]
}

fn meet(a: Area, b: Area) -> bool {
    // Coordinates are written to a tenth.
    let slack = 0.11;
    a[0] < b[2] - slack && b[0] < a[2] - slack && a[1] < b[3] - slack && b[1] < a[3] - slack
}

/// Everything that must hold of the file of any picture.
fn check(picture: &Picture) -> Result<f64, String> {
    let file = svg(picture);
    let document = Document::parse(&file).map_err(|error| format!("{error}\n{file}"))?;
    let root = document.root_element();
    let height: f64 = root.attribute("viewBox").and_then(|b| b.rsplit(' ').next()?.parse().ok()).unwrap_or_default();
    let told = |name: &str| root.children().any(|n| n.has_tag_name(("http://www.w3.org/2000/svg", name)));
    if root.attribute("role") != Some("img") || !told("title") || !told("desc") {
        return Err("not told in words".into());
    }
    for node in root.descendants().filter(Node::is_element) {
        for name in ["fill", "stroke"] {
            let value = node.attribute(name).unwrap_or("#000");
            if !["#000", "#fff"].contains(&value) && !value.starts_with("url(#cw-") {
                return Err(format!("{name} {value}"));
            }
        }
        if node.attribute("style").is_some() {
            return Err("a style".into());
        }
    }
    let texts: Vec<Node<'_, '_>> = root.descendants().filter(|n| n.tag_name().name() == "text").collect();
    for text in &texts {
        let [left, top, right, bottom] = area(text);
        if number(text, "font-size") < 8.0 || left < 0.0 || top < 0.0 || right > 842.0 || bottom > height {
            return Err(format!("off the page or too small: {text:?} {:?}", text.text()));
        }
    }
    for (at, one) in texts.iter().enumerate() {
        if let Some(other) = texts[..at].iter().find(|other| meet(area(one), area(other))) {
            return Err(format!("{:?} and {:?} overlap\n{file}", one.text(), other.text()));
        }
    }
    boxes(picture, &root)?;
    Ok(height)
}

/// Every span has one box, told in its words, at the place of its time.
fn boxes(picture: &Picture, root: &Node<'_, '_>) -> Result<(), String> {
    let groups = root.descendants().filter(|n| n.tag_name().name() == "g");
    let part = |group: &Node<'_, '_>, name: &str| {
        let found = group.children().find(|n| n.tag_name().name() == name);
        found.map(|n| n.id())
    };
    let document = root.document();
    let node = |id| document.get_node(id).expect("it was found");
    let mut drawn: Vec<(String, f64, f64)> = Vec::new();
    for group in groups {
        let (Some(title), Some(rect)) = (part(&group, "title"), part(&group, "rect")) else {
            return Err(format!("{group:?}"));
        };
        let (x, wide) = (number(&node(rect), "x"), number(&node(rect), "width"));
        drawn.push((node(title).text().unwrap_or_default().to_owned(), x, wide));
    }
    let spans = spans(picture);
    if drawn.len() != spans.len() {
        return Err(format!("{} boxes for {} spans", drawn.len(), spans.len()));
    }
    // The axis is the widest line.
    let axis = root.descendants().filter_map(|n| n.attribute("d")?.strip_prefix('M')?.split_once('L'));
    let ends = axis.filter_map(|(from, to)| {
        let x = |end: &str| end.split(' ').next()?.parse::<f64>().ok();
        Some((x(from)?, x(to)?))
    });
    let (left, right) = ends
        .filter(|(left, _)| *left > 29.0)
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        .ok_or("there is no axis")?;
    let scale = (right - left) / f64::from(picture.to_s - picture.from_s);
    for ((_, span), (told, x, wide)) in spans.iter().zip(&drawn) {
        let at = left + f64::from(span.from_s - picture.from_s) * scale;
        let long = f64::from(span.to_s - span.from_s) * scale;
        if *told != span.told || (at - x).abs() > 0.1 || (long - wide).abs() > 0.1 {
            return Err(format!("{told} at {x} for {wide}, and not {span:?} at {at} for {long}"));
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn no_two_texts_overlap_and_every_box_is_at_its_time(plan in plans()) {
        for picture in pictures(&plan) {
            check(&picture).map_err(TestCaseError::fail)?;
        }
    }

    #[test]
    fn labels_of_all_spans_are_there(plan in plans()) {
        for picture in pictures(&plan) {
            let file = svg(&picture);
            let document = Document::parse(&file).expect("it is XML");
            let mut texts: BTreeMap<&str, usize> = BTreeMap::new();
            for text in document.descendants().filter(|n| n.tag_name().name() == "text").filter_map(|n| n.text()) {
                *texts.entry(text).or_default() += 1;
            }
            for (_, span) in spans(&picture) {
                for label in [&span.above, &span.below].into_iter().filter(|label| !label.is_empty()) {
                    let left = texts.get_mut(label.as_str()).filter(|left| **left > 0);
                    *left.ok_or_else(|| TestCaseError::fail(format!("{label} is missing: {}", span.told)))? -= 1;
                }
            }
        }
    }

    #[test]
    fn every_change_of_plates_of_which_the_key_says_so_tells_its_pairs(plan in plans()) {
        for picture in pictures(&plan) {
            let file = svg(&picture);
            let document = Document::parse(&file).expect("it is XML");
            let texts = || document.descendants().filter(|n| n.tag_name().name() == "text");
            let key = texts().filter_map(|n| n.text()).find(|text| text.starts_with("change of plates"));
            let bare = key.and_then(|key| key.split_once("; longer than ")?.1.split_once(" with the pairs moved"));
            let bare = bare.map_or(String::new(), |(length, _)| length.to_owned());
            prop_assert_eq!(key.is_some(), picture.by == RowsBy::Bar);
            let minutes = bare.split_once(':').map(|(minutes, seconds)| (minutes.parse::<u32>(), seconds.parse::<u32>()));
            let bare_s = minutes.map_or(0, |(minutes, seconds)| minutes.unwrap_or(0) * 60 + seconds.unwrap_or(0));
            let mut wanted: BTreeMap<String, i64> = BTreeMap::new();
            for (_, span) in spans(&picture) {
                if span.what == SpanKind::SetUp && span.to_s - span.from_s > bare_s {
                    *wanted.entry(span.inside[1].clone()).or_default() += 1;
                }
            }
            for text in texts().filter(|n| n.attribute("font-family") == Some("monospace")).filter_map(|n| n.text()) {
                if let Some(left) = wanted.get_mut(text.trim_end_matches(" pairs").trim_end_matches(" pair")) {
                    *left -= 1;
                }
            }
            prop_assert!(wanted.values().all(|left| *left <= 0), "{:?} of {}", wanted, file);
        }
    }

    #[test]
    fn the_same_plan_gives_the_same_bytes(plan in plans()) {
        for (one, other) in pictures(&plan).iter().zip(&pictures(&plan)) {
            prop_assert_eq!(svg(one), svg(other));
        }
    }
}

#[test]
fn twenty_four_people_six_heats_and_sixty_uses_of_bars_fit_on_one_page() {
    let numbers = vec![15, 60, 40, 25, 35, 50, 20];
    let plan = plan(&Wanted { heats: 6, people: 24, bars: 9, parts: 4, sets: 5, numbers, ..Wanted::default() });
    let uses: usize = plan.floor.bars.iter().map(|bar| bar.uses.len()).sum();
    assert!(uses >= 60, "{uses}");
    for by in [RowsBy::Heat, RowsBy::Bar] {
        let picture = Picture::new(&plan, by).expect("a picture");
        assert_eq!(check(&picture), Ok(595.0), "{by:?}");
    }
}

#[test]
fn a_gym_too_large_for_the_page_gets_a_longer_one() {
    let plan = plan(&Wanted { heats: 30, people: 60, bars: 40, ..Wanted::default() });
    let picture = Picture::new(&plan, RowsBy::Heat).expect("a picture");
    assert!(check(&picture).is_ok_and(|height| height > 595.0));
}

#[test]
fn an_overlap_is_found_out() {
    let file = "<svg><text x='10' y='10' font-size='8'>one</text><text x='20' y='12' font-size='8'>two</text></svg>";
    let document = Document::parse(file).expect("it is XML");
    let areas: Vec<Area> = document.descendants().filter(|n| n.has_tag_name("text")).map(|n| area(&n)).collect();
    assert!(meet(areas[0], areas[1]));
}
