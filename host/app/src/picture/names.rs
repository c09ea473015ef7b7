//! Names as they can be drawn, and initials for where there is no room for them.

use std::collections::BTreeMap;

use unicode_segmentation::UnicodeSegmentation;

use super::Initials;
use crate::document::PlanDoc;

/// The people of a plan.
pub(super) struct People {
    /// By athlete id: full name, initials.
    by_id: BTreeMap<String, (String, String)>,
    /// Ids of those who use a bar, in the order of the plan's cards.
    on_bars: Vec<String>,
}

impl People {
    pub(super) fn new(plan: &PlanDoc) -> Self {
        let floor = &plan.floor;
        let carded = plan.cards.iter().map(|card| (&card.athlete, &card.name));
        let users = floor.bars.iter().flat_map(|bar| &bar.uses).map(|used| &used.athlete);
        let others = floor.heats.iter().flat_map(|heat| &heat.athletes).chain(users.clone()).map(|id| (id, id));
        let mut names: BTreeMap<&String, String> = BTreeMap::new();
        let mut order: Vec<&String> = Vec::new();
        for (id, name) in carded.chain(others) {
            names.entry(id).or_insert_with(|| {
                order.push(id);
                let name = clean(name);
                if name.is_empty() { clean(id) } else { name }
            });
        }
        let on_bars: Vec<String> =
            order.into_iter().filter(|id| users.clone().any(|user| user == *id)).cloned().collect();
        let short = initials(&on_bars.iter().map(|id| names[id].as_str()).collect::<Vec<_>>());
        let short: BTreeMap<&String, String> = on_bars.iter().zip(short).collect();
        let by_id = names.into_iter().map(|(id, name)| {
            let initials = short.get(id).cloned().unwrap_or_default();
            (id.clone(), (name, initials))
        });
        People { by_id: by_id.collect(), on_bars: on_bars.clone() }
    }

    /// The full name.
    pub(super) fn name(&self, id: &str) -> &str {
        self.by_id.get(id).map_or("", |(name, _)| name)
    }

    /// The initials of somebody who uses a bar.
    pub(super) fn short(&self, id: &str) -> &str {
        self.by_id.get(id).map_or("", |(_, initials)| initials)
    }

    /// The key to the initials.
    pub(super) fn initials(&self) -> Vec<Initials> {
        let key = |id: &String| Initials { initials: self.short(id).into(), name: self.name(id).into() };
        self.on_bars.iter().map(key).collect()
    }
}

/// A text without signs that steer a terminal or turn the direction of reading; blanks stand single.
pub(super) fn clean(text: &str) -> String {
    let steers = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
            || matches!(c, '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}')
    };
    let text: String = text.chars().map(|c| if steers(c) { ' ' } else { c }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The first sign of the first and of the last word. Those who would share them get more signs of the last word, one
/// more at a time; those who share a whole name are numbered.
fn initials(names: &[&str]) -> Vec<String> {
    let mut more: Vec<usize> = vec![1; names.len()];
    let longest = names.iter().map(|name| name.graphemes(true).count()).max().unwrap_or(0);
    for _ in 0..longest {
        let short: Vec<String> = names.iter().zip(&more).map(|(name, more)| shortened(name, *more)).collect();
        for (at, more) in more.iter_mut().enumerate() {
            let shared = short.iter().enumerate().any(|(other, text)| other != at && *text == short[at]);
            *more += usize::from(shared);
        }
    }
    let mut taken: Vec<String> = Vec::new();
    for (name, more) in names.iter().zip(more) {
        // Whoever shares even the whole name has no use for all its letters.
        let twins = names.iter().filter(|other| *other == name).count() > 1;
        let short = shortened(name, if twins { 1 } else { more });
        let numbered = (1..).map(|number| format!("{short}{number}"));
        let free = std::iter::once(short.clone()).filter(|_| !twins).chain(numbered).find(|text| !taken.contains(text));
        taken.push(free.unwrap_or(short));
    }
    taken
}

fn shortened(name: &str, more: usize) -> String {
    let words: Vec<&str> = name.split(' ').collect();
    match words.as_slice() {
        [] => String::new(),
        [only] => only.graphemes(true).take(1 + more).collect(),
        [first, .., last] => first.graphemes(true).take(1).chain(last.graphemes(true).take(more)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn initials_are_as_short_as_tells_people_apart() {
        assert_eq!(initials(&["Ama Tidewell", "Bram Oakhollow"]), ["AT", "BO"]);
        assert_eq!(initials(&["Ama Tidewell", "Asa Thornfield", "Ola Tamm"]), ["ATi", "ATh", "OT"]);
        assert_eq!(initials(&["Ama", "Amalia"]), ["Ama", "Amal"]);
        assert_eq!(initials(&["Ama Tidewell", "Ama Tidewell"]), ["AT1", "AT2"]);
        assert_eq!(initials(&["山田 太郎", "Zoe\u{301} E\u{301}tang"]), ["山太", "ZE\u{301}"]);
        assert_eq!(initials(&["Ama van der Tide"]), ["AT"]);
        assert_eq!(initials(&[]), Vec::<String>::new());
    }

    #[test]
    fn signs_that_steer_are_left_out() {
        assert_eq!(clean("Ama\u{1b}[31m \u{202e}Tide\nwell "), "Ama [31m Tide well");
        assert_eq!(clean("Zoe\u{301} 山田"), "Zoe\u{301} 山田");
    }
}
