//! The sentences that the athlete and the coach read.
//!
//! Each names what was missing, what is done instead and how the amount was found, in plain words. The library
//! gives ids only, so that a movement is named by its id with spaces.

use crate::amounts::{Amounts, Found};
use crate::excerpt::Excerpt;
use crate::places::{FLOOR, Missing};

/// What was missing: `No barbell at home`.
pub(crate) fn what_is_missing(excerpt: &Excerpt, missing: &[Missing], place: u32) -> String {
    let here = if place == FLOOR { "on the floor" } else { "at home" };
    let nothing: Vec<String> =
        missing.iter().filter(|missing| missing.there == 0).map(|missing| kit(excerpt, missing.kit)).collect();
    match missing.iter().find(|missing| missing.there > 0) {
        Some(short) if nothing.is_empty() => too_few(excerpt, short, here),
        _ => format!("No {} {here}", either(&nothing)),
    }
}

fn too_few(excerpt: &Excerpt, short: &Missing, here: &str) -> String {
    let kit = kit(excerpt, short.kit);
    if short.there < short.needed {
        format!("Only {} {kit} {here} where {} are needed", short.there, short.needed)
    } else {
        format!("No {} equal {kit}s {here}", short.needed)
    }
}

/// A piece that another movement stands in for.
pub(crate) fn instead(missing: &str, id: &str, amounts: &Amounts, pair: Option<(u32, &str)>, load: &str) -> String {
    let how = match (amounts.found, pair) {
        (Found::Added, Some((extra, source))) => format!("+{extra} reps ({source})"),
        (Found::AddedInPart, Some((extra, source))) => {
            format!("with a part of the +{extra} reps ({source}), as all of them would be too much work")
        }
        (Found::Kept, _) => "the written amount".into(),
        (Found::CutToCount, _) => "more often than was written, for less work time".into(),
        (Found::CutToLoad, _) => "as many as move no more load than was written".into(),
        (Found::EqualTime | Found::Added | Found::AddedInPart, _) => "about the same work time".into(),
    };
    format!("{missing}: {}{load}, {how}.", spaced(id))
}

/// What is said of the load: nothing where there was none or it stays.
pub(crate) fn load(written_g: u32, now_g: u32) -> &'static str {
    match now_g {
        _ if now_g == written_g => "",
        0 => ", without that load",
        _ => ", at a lighter load that is here",
    }
}

/// A piece that nothing stands in for.
pub(crate) fn nothing_fits(missing: &str, place: u32) -> String {
    let whose = if place == FLOOR { "nothing in the kit here" } else { "nothing in your kit" };
    format!("{missing} and {whose} does this work: ask the coach.")
}

fn kit(excerpt: &Excerpt, kit: u32) -> String {
    excerpt.tables.kit.get(kit as usize).map_or_else(|| "such kit".into(), |id| spaced(id))
}

fn spaced(id: &str) -> String {
    id.replace('-', " ")
}

/// `a`, `a or b`, `a, b or c`.
fn either(names: &[String]) -> String {
    match names.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} or {last}", before.join(", ")),
        _ => names.concat(),
    }
}
