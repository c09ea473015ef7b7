//! What has happened, as it is said at the command line, with its names looked up.
//!
//! A person, a piece of kit or a time that makes no sense is refused with what would.

use std::str::FromStr;

use classwright_training::floor::Floor;
use classwright_training::time::clock;

use super::words::{self, Words, and};
use crate::document::NamedFloor;
use crate::plan_class::nearest;

/// No floor has room for more of one kind of kit.
const MOST_OF_A_KIND: u32 = 200;

/// `20 kg bar=5`: so many are in service from now on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitCount {
    /// As the plan shows it.
    pub name: String,
    /// How many; pairs of plates.
    pub count: u32,
}

/// `Ama Bell=+6:00`: nothing of theirs starts before that, counted from the start of the class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Late {
    /// Id or name.
    pub name: String,
    /// From the start of the class.
    pub ready_s: u32,
}

/// When it is: by the clock on the wall, or into the class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// Seconds from midnight.
    Clock(u32),
    /// Seconds from the start of the class.
    Into(u32),
}

impl FromStr for KitCount {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let (name, count) = named(text, "20 kg bar=5")?;
        let count = count.parse().map_err(|_| format!("`{count}` is no count; write 0 or more, as in `{name}=5`"))?;
        if count > MOST_OF_A_KIND {
            return Err(format!("{count} of {name} are more than a floor holds; write at most {MOST_OF_A_KIND}"));
        }
        Ok(KitCount { name, count })
    }
}

impl FromStr for Late {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let (name, time) = named(text, "Ama Bell=+6:00")?;
        let ready_s = time.strip_prefix('+').and_then(minutes).ok_or_else(|| {
            format!("`{time}` is no time into the class; write minutes and seconds, as in `{name}=+6:00`")
        })?;
        Ok(Late { name, ready_s })
    }
}

impl FromStr for At {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("`{text}` is no time; write the clock on the wall (18:22) or how far in (+22:00)");
        if let Some(into) = text.strip_prefix('+') {
            return minutes(into).map(At::Into).ok_or_else(wrong);
        }
        let numbers = numbers(text).filter(|numbers| matches!(numbers.len(), 2 | 3)).ok_or_else(wrong)?;
        let second = numbers.get(2).copied().unwrap_or(0);
        let there = numbers[0] < 24 && numbers[1] < 60 && second < 60;
        there.then_some(At::Clock(numbers[0] * 3600 + numbers[1] * 60 + second)).ok_or_else(wrong)
    }
}

fn named<'a>(text: &'a str, example: &str) -> Result<(String, &'a str), String> {
    let (name, value) = text.rsplit_once('=').ok_or_else(|| format!("`{text}` says no more; write `{example}`"))?;
    match (name.trim(), value.trim()) {
        ("", _) | (_, "") => Err(format!("`{text}` is only half; write `{example}`")),
        (name, value) => Ok((name.to_owned(), value)),
    }
}

/// `6:00` or `1:06:00`.
fn minutes(text: &str) -> Option<u32> {
    let numbers = numbers(text)?;
    match *numbers.as_slice() {
        [minutes, seconds] if seconds < 60 => Some(minutes * 60 + seconds),
        [hours, minutes, seconds] if minutes < 60 && seconds < 60 => Some(hours * 3600 + minutes * 60 + seconds),
        _ => None,
    }
}

fn numbers(text: &str) -> Option<Vec<u32>> {
    let number = |part: &str| {
        let digits = (1..=4).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| part.parse().ok())?
    };
    text.split(':').map(number).collect()
}

/// One thing that has happened, with its names looked up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Event {
    Gone(String),
    Late(String, u32),
    Bars(u32, u32),
    Plates(u32, u32),
    Stock(u32, u32),
}

impl Event {
    /// As it was said.
    pub(super) fn said(&self, floor: &Floor, words: &Words) -> String {
        match self {
            Event::Gone(id) => format!("{} gone", words.person(id)),
            Event::Late(id, ready) => format!("{} not before {}", words.person(id), clock(*ready)),
            Event::Bars(kind, count) => format!("{}={count}", floor.bar_types[*kind as usize].0),
            Event::Plates(plate, pairs) => format!("{} plate={pairs}", floor.plates[*plate as usize].0),
            Event::Stock(row, count) => format!("{}={count}", words::kit(&floor.stock[*row as usize].name)),
        }
    }
}

/// Looks up everybody and everything that was named.
pub(super) fn events(
    named: &NamedFloor,
    words: &Words,
    kit: &[KitCount],
    late: &[Late],
    gone: &[String],
) -> Result<Vec<Event>, String> {
    let mut events = Vec::new();
    let mut who: Vec<String> = Vec::new();
    let mut person = |name: &str| -> Result<String, String> {
        let id = athlete(named, words, name)?;
        if who.contains(&id) {
            return Err(format!("{} is named twice; say one thing of each", words.person(&id)));
        }
        who.push(id.clone());
        Ok(id)
    };
    for name in gone {
        events.push(Event::Gone(person(name)?));
    }
    for Late { name, ready_s } in late {
        let id = person(name)?;
        if *ready_s < named.floor.now_s {
            let (name, now) = (words.person(&id), clock(named.floor.now_s));
            return Err(format!(
                "{name} is late until {}, and it is {now} already; say when they come",
                clock(*ready_s)
            ));
        }
        if *ready_s >= named.floor.window_s {
            let (name, ready, end) = (words.person(&id), clock(*ready_s), clock(named.floor.window_s));
            return Err(format!("{name} is late until {ready}, and the class ends at {end}: say --gone instead"));
        }
        events.push(Event::Late(id, *ready_s));
    }
    for KitCount { name, count } in kit {
        let event = kit_event(&named.floor, name, *count)?;
        let said = |event: &Event| event.said(&named.floor, words).rsplit_once('=').map(|(name, _)| name.to_owned());
        if events.iter().any(|known| said(known).is_some() && said(known) == said(&event)) {
            return Err(format!("`{name}` is counted twice; keep one of the two"));
        }
        events.push(event);
    }
    Ok(events)
}

fn athlete(named: &NamedFloor, words: &Words, name: &str) -> Result<String, String> {
    let same = |known: &str| known.to_lowercase() == name.to_lowercase();
    let by_id = named.athletes.iter().find(|id| same(id));
    let mut by_name = named.athletes.iter().filter(|id| same(words.person(id)));
    if let Some(id) = by_id.or_else(|| by_name.next()) {
        return match (by_id, by_name.next()) {
            (None, Some(other)) => Err(format!("two are called {name}: write the id, `{id}` or `{other}`")),
            _ => Ok(id.clone()),
        };
    }
    let known = named.athletes.iter().map(|id| words.person(id)).chain(named.athletes.iter().map(String::as_str));
    Err(match nearest(name, known) {
        Some(near) => format!("nobody on the floor is called `{name}`; did you mean `{near}`?"),
        None => {
            let all: Vec<&str> = named.athletes.iter().map(String::as_str).collect();
            format!("nobody on the floor is called `{name}`; there are {}", words.people(&all))
        }
    })
}

fn kit_event(floor: &Floor, name: &str, count: u32) -> Result<Event, String> {
    let bars = (0..).zip(&floor.bar_types).map(|(at, kind)| (kind.0.clone(), Event::Bars(at, count)));
    let plates = (0..).zip(&floor.plates).map(|(at, row)| (format!("{} plate", row.0), Event::Plates(at, count)));
    let stock = (0..).zip(&floor.stock).map(|(at, row)| (words::kit(&row.name), Event::Stock(at, count)));
    let all: Vec<(String, Event)> = bars.chain(plates).chain(stock).collect();
    if let Some((_, event)) = all.iter().find(|(known, _)| words::plain(known) == words::plain(name)) {
        return Ok(event.clone());
    }
    Err(match nearest(name, all.iter().map(|(known, _)| known.as_str())) {
        Some(near) => format!("this class uses no `{name}`; did you mean `{near}`?"),
        None => {
            let names: Vec<String> = all.into_iter().map(|(known, _)| known).collect();
            format!("this class uses no `{name}`; it uses {}", and(&names).unwrap_or_default())
        }
    })
}
