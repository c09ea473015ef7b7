//! Reading JSON strictly, with the place of everything that does not fit.

use std::fmt;

use super::json::Json;

/// Longest file that is read.
pub const MAX_BYTES: u64 = 16 << 20;

/// More faults than anybody mends at once are not listed.
const MOST_FAULTS: usize = 50;

/// Longest name of an athlete, a bar or a kind of kit.
const NAME_CHARS: usize = 100;

/// Something in a file that does not fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// Where: `athletes[3].bouts[1].dur`, or a line where the file is no JSON; empty for the whole file.
    pub place: String,
    /// What stands there, and what would be right.
    pub problem: String,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.place.as_str() {
            "" => f.write_str(&self.problem),
            place => write!(f, "{place}: {}", self.problem),
        }
    }
}

/// A place in a document.
#[derive(Clone, Copy)]
pub(super) enum Place<'a> {
    Top,
    Field(&'a Place<'a>, &'a str),
    Entry(&'a Place<'a>, usize),
}

impl fmt::Display for Place<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Top => Ok(()),
            Place::Field(Place::Top, name) => f.write_str(&shown(name)),
            Place::Field(above, name) => write!(f, "{above}.{}", shown(name)),
            Place::Entry(above, at) => write!(f, "{above}[{at}]"),
        }
    }
}

/// A name as part of a place; what could be taken for something else stands in quotes.
fn shown(name: &str) -> String {
    let plain = !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || "_-".contains(c));
    if plain { name.to_owned() } else { Json::Text(name.to_owned()).to_string() }
}

/// Collects what does not fit.
#[derive(Default)]
pub(super) struct Reader {
    misfits: Vec<Misfit>,
    more: usize,
}

impl Reader {
    /// The JSON of a file.
    pub(super) fn parse(bytes: &[u8]) -> Result<Json, Vec<Misfit>> {
        let whole = |place: String, problem: String| vec![Misfit { place, problem }];
        if bytes.len() as u64 > MAX_BYTES {
            return Err(whole(String::new(), format!("is longer than {} MiB, the most that is read", MAX_BYTES >> 20)));
        }
        let text = std::str::from_utf8(bytes).map_err(|error| {
            whole(format!("byte {}", error.valid_up_to() + 1), "is not UTF-8; save the file as UTF-8 text".into())
        })?;
        // What some editors put in front of the text, and no part of it.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        serde_json::from_str(text).map_err(|error| {
            let said = error.to_string();
            let problem = said.rsplit_once(" at line ").map_or(said.as_str(), |(problem, _)| problem);
            whole(format!("line {}, column {}", error.line(), error.column()), format!("is no right JSON: {problem}"))
        })
    }

    /// What was read, if everything fits.
    pub(super) fn finish<T>(mut self, read: Option<T>) -> Result<T, Vec<Misfit>> {
        match read {
            Some(read) if self.misfits.is_empty() => Ok(read),
            _ => {
                if self.more > 0 {
                    let problem = format!("and {} more places that do not fit", self.more);
                    self.misfits.push(Misfit { place: String::new(), problem });
                }
                Err(self.misfits)
            }
        }
    }

    /// Something does not fit.
    pub(super) fn misfit(&mut self, place: &Place<'_>, problem: String) {
        if self.misfits.len() < MOST_FAULTS {
            self.misfits.push(Misfit { place: place.to_string(), problem });
        } else {
            self.more += 1;
        }
    }

    fn expected<T>(&mut self, place: &Place<'_>, found: &Json, wanted: &str) -> Option<T> {
        self.misfit(place, format!("found {found}, expected {wanted}"));
        None
    }

    /// The fields of an object; of those that it has to have none is missing, and there are no others.
    pub(super) fn object<'j, const N: usize, const M: usize>(
        &mut self,
        json: &'j Json,
        place: &Place<'_>,
        needed: [&str; N],
        possible: [&str; M],
    ) -> Option<([&'j Json; N], [Option<&'j Json>; M])> {
        let Json::Object(fields) = json else {
            return self.expected(place, json, &format!("an object with {}", needed.join(", ")));
        };
        let known = || needed.iter().chain(&possible);
        let field = |name: &str| fields.iter().find(|(own, _)| own == name).map(|(_, value)| value);
        for (name, _) in fields.iter().filter(|(own, _)| !known().any(|name| name == own)) {
            let meant = crate::plan_class::nearest(name, known().copied().filter(|known| field(known).is_none()));
            let advice = meant.map_or("leave it out".to_owned(), |meant| format!("did you mean `{meant}`?"));
            self.misfit(&Place::Field(place, name), format!("is no field that is known here; {advice}"));
        }
        for name in needed.iter().filter(|name| field(name).is_none()) {
            self.misfit(&Place::Field(place, name), "is missing".into());
        }
        let there = needed.map(field);
        if there.iter().any(Option::is_none) {
            return None;
        }
        Some((there.map(|value| value.unwrap_or(&Json::Null)), possible.map(field)))
    }

    /// An object whose names are data.
    pub(super) fn map<'j>(&mut self, json: &'j Json, place: &Place<'_>, what: &str) -> &'j [(String, Json)] {
        match json {
            Json::Object(fields) => fields,
            _ => self.expected(place, json, &format!("an object: {what}")).unwrap_or(&[]),
        }
    }

    /// A list of at most so many.
    pub(super) fn list<'j>(&mut self, json: &'j Json, place: &Place<'_>, what: &str, most: usize) -> &'j [Json] {
        match json {
            Json::List(list) if list.len() <= most => list,
            _ => self.expected(place, json, &format!("a list of {what}, {most} at most")).unwrap_or(&[]),
        }
    }

    /// A whole number within bounds.
    pub(super) fn whole(&mut self, json: &Json, place: &Place<'_>, what: &str, least: u32, most: u32) -> Option<u32> {
        match json {
            Json::Whole(number) if (i128::from(least)..=i128::from(most)).contains(number) => Some(*number as u32),
            _ => self.expected(place, json, &format!("{what}, a whole number from {least} to {most}")),
        }
    }

    /// A number that is not negative.
    pub(super) fn number(&mut self, json: &Json, place: &Place<'_>, what: &str) -> Option<f64> {
        match json {
            Json::Whole(number) if (0..=1_000_000_000).contains(number) => Some(*number as f64),
            Json::Decimal(number) if (0.0..=1e9).contains(number) => Some(*number),
            _ => self.expected(place, json, &format!("{what}, a number that is not negative")),
        }
    }

    /// A name: short, not empty, and without what a terminal could take for a command.
    pub(super) fn name<'j>(&mut self, json: &'j Json, place: &Place<'_>, what: &str) -> Option<&'j str> {
        match json {
            Json::Text(text) if is_name(text) => Some(text),
            _ => self.expected(
                place,
                json,
                &format!("{what}, a text of 1 to {NAME_CHARS} characters and none that cannot be seen"),
            ),
        }
    }

    /// True and false.
    pub(super) fn truth(&mut self, json: &Json, place: &Place<'_>) -> Option<bool> {
        match json {
            Json::Truth(truth) => Some(*truth),
            _ => self.expected(place, json, "true or false"),
        }
    }

    /// One text and no other.
    pub(super) fn exactly(&mut self, json: &Json, place: &Place<'_>, text: &str) {
        if !matches!(json, Json::Text(own) if own == text) {
            self.expected::<()>(place, json, &format!("{text:?}"));
        }
    }
}

/// Whether a text may name something.
pub(super) fn is_name(text: &str) -> bool {
    let length = text.chars().count();
    (1..=NAME_CHARS).contains(&length) && !text.trim().is_empty() && !text.chars().any(char::is_control)
}
