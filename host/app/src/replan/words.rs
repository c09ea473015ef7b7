//! How a coach calls the people, parts and kit of a plan.

use std::collections::BTreeMap;

use crate::document::{NamedFloor, PlanDoc};

/// Names of one plan.
#[derive(Clone, Debug, Default)]
pub(crate) struct Words {
    /// By athlete id.
    pub(crate) names: BTreeMap<String, String>,
    /// By part from 1: what it is called, and whether its sets are told apart.
    pub(crate) parts: BTreeMap<u32, (String, bool)>,
}

impl Words {
    /// The names of a plan.
    pub(crate) fn new(doc: &PlanDoc, named: &NamedFloor) -> Self {
        let parts = doc.session.parts.iter().map(|part| {
            let alike = doc.session.parts.iter().filter(|other| other.kind == part.kind).count();
            let kind = capital(&part.kind);
            let name = if alike > 1 { format!("{kind} (part {})", part.part) } else { kind };
            let sets = named.stages.iter().filter(|stage| stage.0 == part.part).count();
            (part.part, (name, sets > 1))
        });
        let names = doc.cards.iter().map(|card| (card.athlete.clone(), card.name.clone()));
        Words { names: names.collect(), parts: parts.collect() }
    }

    /// Somebody's name.
    pub(crate) fn person<'a>(&'a self, id: &'a str) -> &'a str {
        self.names.get(id).map_or(id, String::as_str)
    }

    /// Several names.
    pub(crate) fn people(&self, ids: &[&str]) -> String {
        let names: Vec<String> = ids.iter().map(|id| self.person(id).to_owned()).collect();
        and(&names).unwrap_or_default()
    }

    /// `Strength set 3`, or `Conditioning` where that is one piece of work.
    pub(crate) fn stage(&self, (part, set): (u32, u32)) -> String {
        match self.parts.get(&part) {
            Some((name, true)) => format!("{name} set {set}"),
            Some((name, false)) => name.clone(),
            None => format!("part {part} set {set}"),
        }
    }

    /// `Strength sets 3-5`.
    pub(crate) fn stages(&self, (part, first): (u32, u32), last: u32) -> String {
        match self.parts.get(&part) {
            Some((name, _)) => format!("{name} sets {first}-{last}"),
            None => format!("part {part} sets {first}-{last}"),
        }
    }
}

/// `a, b and c`; none of nothing.
pub(crate) fn and(words: &[String]) -> Option<String> {
    match words.split_last()? {
        (last, []) => Some(last.clone()),
        (last, others) => Some(format!("{} and {last}", others.join(", "))),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Kit as it is spoken of: `row-machine` is a row machine, `dumbbell 15 kg` a 15 kg dumbbell. Plates that people hold
/// are told apart from those on bars.
pub(crate) fn kit(name: &str) -> String {
    let words: Vec<&str> = name.split(' ').collect();
    match words.as_slice() {
        ["plate", mass, "kg"] => format!("{mass} kg plate in the hand"),
        [kind, mass, "kg"] => format!("{mass} kg {}", kind.replace('-', " ")),
        _ => name.replace('-', " "),
    }
}

/// `one more rack`, and of what comes in twos or as places, one of those.
pub(crate) fn one_more(kit: &str) -> String {
    match kit.rsplit(' ').next().unwrap_or(kit) {
        "rings" | "parallettes" => format!("one more pair of {kit}"),
        "wall" => format!("one more place at the {kit}"),
        last if last.ends_with('s') && !last.ends_with("ss") => format!("one more set of {kit}"),
        _ => format!("one more {kit}"),
    }
}

/// Words of a name in an order of their own, so that `Dumbbells 15kg` finds a 15 kg dumbbell.
pub(crate) fn plain(name: &str) -> Vec<String> {
    let mut spaced = String::new();
    for letter in name.to_lowercase().chars() {
        let digit_before = spaced.ends_with(|last: char| last.is_ascii_digit());
        if digit_before && letter.is_alphabetic() {
            spaced.push(' ');
        }
        spaced.push(if letter == '-' { ' ' } else { letter });
    }
    let mut words: Vec<String> = spaced
        .split_whitespace()
        .map(|word| if word.len() > 3 { word.strip_suffix('s').unwrap_or(word) } else { word }.to_owned())
        .collect();
    words.sort();
    words
}
