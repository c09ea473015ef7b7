//! What is given besides the class: other classes in the same room, who stays together and who does not.
//!
//! Kit that another class holds is put onto the floor before a heat policy is asked, and told to the coach.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use classwright_training::AthleteIx;
use classwright_training::floor::Floor;

use crate::Class;
use crate::floor::{Claims, Held, NeededLater, put_claims};

/// What a plan has to go round.
#[derive(Clone, Copy, Debug, Default)]
pub struct Given<'a> {
    /// Classes in the same room whose plans stand.
    pub beside: &'a [Beside],
    /// Pairs who are in one heat; positions in [`Class::athletes`].
    pub together: &'a [(AthleteIx, AthleteIx)],
    /// Pairs who are not.
    pub apart: &'a [(AthleteIx, AthleteIx)],
}

/// Another class in the same room, as far as it concerns this one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beside {
    /// What the coach calls it.
    pub class: String,
    /// What its plan holds, in seconds of this class.
    pub claims: Claims,
    /// Second of the day at which this class starts, on the clock on the wall.
    pub clock_s: u32,
}

/// Puts all that onto the floor. Names the bars that another class needs only later, and what the coach should know.
pub(crate) fn put(
    class: &Class<'_>,
    given: &Given<'_>,
    floor: &mut Floor,
    athletes: &[AthleteIx],
) -> (Vec<NeededLater>, Vec<String>) {
    let at = |ix: AthleteIx| athletes.iter().position(|own| *own == ix).map(|at| at as u32);
    let both = |&(a, b): &(AthleteIx, AthleteIx)| Some((at(a)?, at(b)?));
    for pair in given.together.iter().filter_map(both) {
        if !floor.together.contains(&pair) {
            floor.together.push(pair);
        }
    }
    floor.apart.extend(given.apart.iter().filter_map(both));
    let claims: Vec<&Claims> = given.beside.iter().map(|beside| &beside.claims).collect();
    let later = put_claims(floor, &claims);
    (later, given.beside.iter().filter_map(|beside| told(class, beside, floor)).collect())
}

/// What another class holds of the kit that this one could use in its time, most of each, and until when.
fn told(class: &Class<'_>, beside: &Beside, floor: &Floor) -> Option<String> {
    let in_time = |held: &&Held| held.from_s < floor.window_s;
    let most = |held: &[Held]| -> Option<(u32, u32)> {
        let most = held.iter().filter(in_time).map(|held| held.count).max()?;
        Some((most, held.iter().filter(in_time).map(|held| held.to_s).max()?))
    };
    // What is given back at one time stands together, the last first.
    let mut lines: BTreeMap<Reverse<u32>, Vec<String>> = BTreeMap::new();
    let minute = |second: u32| beside.clock_s.saturating_add(second).div_ceil(60);
    let mut line = |until: u32, what: String| lines.entry(Reverse(minute(until))).or_default().push(what);
    // Of bars and plates only what somebody here could use.
    let wanted: BTreeSet<(u32, u32)> = floor.bouts.iter().filter_map(|bout| bout.bar).collect();
    let mut bars: BTreeMap<u32, Vec<(u32, &String)>> = BTreeMap::new();
    for bar in floor.bars.iter().filter(|bar| wanted.iter().any(|(kind, _)| *kind == bar.bar_type)) {
        if let Some(&(_, until)) = beside.claims.bars.get(&bar.id).filter(|span| span.0 < floor.window_s) {
            bars.entry(minute(until)).or_default().push((until, &bar.id));
        }
    }
    for own in bars.into_values() {
        let ids: Vec<&str> = own.iter().map(|(_, id)| id.as_str()).collect();
        line(own[0].0, format!("{} {}", if ids.len() == 1 { "bar" } else { "bars" }, ids.join(" ")));
    }
    let on_bars: BTreeSet<u32> =
        wanted.iter().flat_map(|(_, loading)| &floor.loadings[*loading as usize]).copied().collect();
    for (mass, _) in on_bars.iter().map(|plate| floor.plates[*plate as usize]) {
        if let Some((count, until)) = beside.claims.plates.get(&mass).and_then(|held| most(held)) {
            let there = class.floor_kit.plates.iter().find(|row| row.mass == mass).map_or(0, |row| row.pairs);
            line(until, format!("{count} of {there} pairs of {mass} plates"));
        }
    }
    for row in &floor.stock {
        if let Some((count, until)) = beside.claims.stock.get(&row.name).and_then(|held| most(held)) {
            line(until, format!("{count} of {} {}", row.count, kit_name(class, &row.name)));
        }
    }
    let told: Vec<String> = lines
        .into_iter()
        .map(|(Reverse(minute), what)| {
            format!("until {}: {}", wall_clock(0, minute.saturating_mul(60)), what.join(", "))
        })
        .collect();
    (!told.is_empty()).then(|| format!("Kit held by {} {}.", beside.class, told.join("; ")))
}

/// The row of stock with the library's name of its kind.
pub(crate) fn kit_name(class: &Class<'_>, row: &str) -> String {
    let (id, mass) = row.split_once(' ').map_or((row, ""), |(id, mass)| (id, mass));
    let name = class.library.find_kit(id).map_or(id, |kit| class.library.kit(kit).name.as_str());
    format!("{name} {mass}").trim_end().to_owned()
}

/// Hours and minutes on the wall so many seconds after a second of the day; a minute that has begun counts whole.
pub fn wall_clock(clock_s: u32, second: u32) -> String {
    let minutes = (u64::from(clock_s) + u64::from(second)).div_ceil(60);
    format!("{:02}:{:02}", minutes / 60 % 24, minutes % 60)
}
