//! How large anything in a plan's question may be: no file can keep the host at work for hours, or make numbers run over.

use classwright_training::Mass;

use super::{AskedDoc, PlaceError};

/// No time in a plan is later, but for kit that others never give back.
const LATEST_S: u32 = 1_000_000;

/// Nothing is counted beyond this.
const MOST: u32 = 100_000;

/// No list of a plan is longer: a class of hundreds with many sets each has a tenth of that.
const LONGEST: usize = 50_000;

/// Most people, and most of what other classes hold by name and time.
const MOST_PEOPLE: usize = 5_000;

/// No search is longer: what a gym may set.
pub(super) const MOST_EFFORT: u64 = 1_000_000_000;

/// Nobody uses more kinds of kit at once.
pub(super) const MOST_KINDS: usize = 100;

/// No sleeve takes more plates.
pub(super) const MOST_PLATES: usize = 100;

pub(in crate::document) fn wrong(place: impl Into<String>, problem: impl Into<String>) -> PlaceError {
    PlaceError { place: format!("floor.{}", place.into()), problem: problem.into() }
}

pub(super) fn mass(place: &str, kg: f64) -> Result<Mass, PlaceError> {
    let there = (0.0..=1000.0).contains(&kg);
    if there { Ok(Mass::from_kg(kg)) } else { Err(wrong(place, format!("is {kg}; a mass is 0 to 1000 kg"))) }
}

pub(in crate::document) fn second(place: &str, seconds: u32) -> Result<u32, PlaceError> {
    if seconds <= LATEST_S { Ok(seconds) } else { Err(wrong(place, format!("is {seconds}, beyond any class"))) }
}

/// From and until; what is never given back is held until the largest number.
pub(super) fn span(place: &str, from_s: u32, to_s: u32) -> Result<(u32, u32), PlaceError> {
    second(&format!("{place}.from_s"), from_s)?;
    if to_s != u32::MAX {
        second(&format!("{place}.to_s"), to_s)?;
    }
    if to_s <= from_s {
        return Err(wrong(format!("{place}.to_s"), format!("is {to_s}, and it begins at {from_s}")));
    }
    Ok((from_s, to_s))
}

/// Whoever makes a list longer than any class has it would keep the host at work for hours.
pub(super) fn lengths(doc: &AskedDoc) -> Result<(), PlaceError> {
    let lists = [
        ("athletes", doc.athletes.len(), MOST_PEOPLE),
        ("bouts", doc.bouts.len(), LONGEST),
        ("stock", doc.stock.len(), MOST_PEOPLE),
        ("bar_kinds", doc.bar_kinds.len(), MOST_PEOPLE),
        ("bars", doc.bars.len(), MOST_PEOPLE),
        ("plates", doc.plates.len(), MOST_PEOPLE),
        ("taken", doc.taken.len(), MOST_PEOPLE),
        ("needed_later", doc.needed_later.len(), MOST_PEOPLE),
        ("together", doc.together.len(), MOST_PEOPLE),
        ("apart", doc.apart.len(), LONGEST),
    ];
    match lists.into_iter().find(|(_, length, most)| length > most) {
        None => Ok(()),
        Some((list, length, most)) => {
            Err(wrong(format!("asked.{list}"), format!("has {length} entries; no class has more than {most}")))
        }
    }
}

pub(super) fn count(place: &str, number: u32) -> Result<u32, PlaceError> {
    if number <= MOST { Ok(number) } else { Err(wrong(place, format!("is {number}; at most {MOST} are counted"))) }
}
