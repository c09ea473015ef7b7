//! Title, date, length, intent and allowances: what stands before the first part.

use winnow::Parser;
use winnow::combinator::{opt, preceded};

use super::bounds;
use super::error::{Fault, Parsed};
use super::fallback::keyed;
use super::lines::{SourceLine, go_on, too_long};
use super::names::nearest;
use super::tokens::{Input, State, clock, end, number, number_next, one_word, sign, stop};
use crate::session::{Allow, Date, Part, Session};

/// What has been read of it.
#[derive(Default)]
pub(super) struct Meta {
    title: Option<(String, std::ops::Range<usize>)>,
    date: Option<Date>,
    length_s: Option<u32>,
    intent: Option<String>,
    allow: Allow,
    /// Keys that have stood, readable or not.
    seen: Vec<&'static str>,
}

const KEYS: [&str; 4] = ["date", "length", "intent", "allow"];
const LENGTH: &str = "a length from 5 min to 240 min, such as `60 min`";

impl Meta {
    pub(super) fn has_title(&self) -> bool {
        self.title.is_some()
    }

    pub(super) fn title(&mut self, state: State<'_>, line: SourceLine<'_>, in_part: bool) {
        let span = line.span();
        if self.title.is_some() || in_part {
            state.note(Fault::new(span, "one title, on top; parts take two `#`, as in `## Strength: 5 sets`"));
            return;
        }
        if line.text.is_empty() {
            state.note(Fault::new(span.clone(), "a title after the `#`"));
        }
        if let Some(fault) = too_long(line.text, line.at, bounds::MAX_NAME, "a title") {
            state.note(fault);
        }
        self.title = Some((line.text.to_owned(), span));
    }

    /// A bullet before the first part; true where it is the intent, which may go on.
    pub(super) fn bullet<'i>(&mut self, state: State<'i>, line: SourceLine<'i>) -> bool {
        let span = line.span();
        let Some((key, after)) = keyed(line.text) else {
            let expected =
                "a part before its items, such as `## Strength: 5 sets`, or `date:`, `length:`, `intent:`, `allow:`";
            state.note(Fault::new(span, expected));
            return false;
        };
        let key_span = line.at..line.at + key.len();
        let Some(known) = KEYS.into_iter().find(|known| known.eq_ignore_ascii_case(key)) else {
            let near = nearest(key, KEYS);
            state.note(
                Fault::new(key_span, "`date:`, `length:`, `intent:` or `allow:` before the first part").near(near),
            );
            return false;
        };
        if self.seen.contains(&known) {
            state.note(Fault::new(key_span, format!("`{known}:` once")));
            return false;
        }
        self.seen.push(known);
        let (text, at) = (&line.text[after..], line.at + after);
        match known {
            "date" => self.date = state.read(text, at, date),
            "length" => self.length_s = state.read(text, at, length),
            "allow" => self.allow = state.read(text, at, allow).unwrap_or_default(),
            _ => {
                let text = text.trim_start();
                let at = line.at + line.text.len() - text.len();
                let long = too_long(text, at, bounds::MAX_TEXT, "an intent");
                let fault = long.or(text.is_empty().then(|| Fault::new(at..at, "text after `intent:`")));
                match fault {
                    Some(fault) => state.note(fault),
                    None => self.intent = Some(text.to_owned()),
                }
                return true;
            }
        }
        false
    }

    /// A further line of the intent.
    pub(super) fn more_intent(&mut self, state: State<'_>, line: SourceLine<'_>) {
        let Some(intent) = &mut self.intent else { return };
        if let Some(expected) = go_on(intent, line.text, "an intent") {
            state.note(Fault::new(line.span(), expected));
        }
    }

    /// The session, if nothing is missing; `end` is that of the file.
    pub(super) fn finish(self, state: State<'_>, parts: Vec<Part>, end: usize) -> Option<Session> {
        let title = self.title.as_ref().map(|(_, span)| span.clone());
        if title.is_none() {
            state.note(Fault::new(0..0, "a title, such as `# Monday`"));
        }
        if !self.seen.contains(&"length") {
            let span = title.unwrap_or(0..0);
            state.note(Fault::new(span, "`- length: 60 min` below the title: how long the class is"));
        }
        if parts.is_empty() {
            state.note(Fault::new(end..end, "a part, such as `## Conditioning: 4 rounds for time`"));
        }
        Some(Session {
            title: self.title?.0,
            date: self.date,
            length_s: self.length_s?,
            intent: self.intent,
            allow: self.allow,
            parts,
        })
    }
}

/// `2026-12-07`.
fn date(input: &mut Input<'_>) -> Parsed<Date> {
    const DATE: &str = "a date such as `2026-12-07` that exists, from 1900 to 2999";
    super::tokens::blank(input)?;
    let start = super::tokens::at(input);
    let text = super::tokens::left(input).trim_end();
    let fields: Vec<&str> = text.split('-').collect();
    let digits = |text: &str, len: usize| {
        (text.len() == len && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse::<u16>().ok()).flatten()
    };
    let read = match fields[..] {
        [year, month, day] => digits(year, 4).zip(digits(month, 2)).zip(digits(day, 2)),
        _ => None,
    };
    match read.map(|((year, month), day)| Date { year, month: month as u8, day: day as u8 }) {
        Some(date) if bounds::YEARS.contains(&u64::from(date.year)) && date.exists() => Ok(date),
        _ => Fault::new(start..start + text.len(), DATE).stop(),
    }
}

/// `60 min`, or `60:30`.
fn length(input: &mut Input<'_>) -> Parsed<u32> {
    let length = if let Some((seconds, span)) = opt(clock).parse_next(input)? {
        if !bounds::LENGTH_S.contains(&seconds) {
            return Fault::new(span, LENGTH).stop();
        }
        seconds as u32
    } else {
        if !number_next(input) {
            return stop(input, LENGTH);
        }
        let length = number(input)?.within(input, 0, 60, &bounds::LENGTH_S, LENGTH);
        one_word(&[("min", ()), ("mins", ()), ("minutes", ())]).context("`min` after the length").parse_next(input)?;
        length
    };
    end(input, "the end of the line after the length")?;
    Ok(length)
}

/// `higher load, more volume, more demand`, any of them.
fn allow(input: &mut Input<'_>) -> Parsed<Allow> {
    const ALLOW: &str = "any of `higher load`, `more volume`, `more demand`, with commas between";
    const WORDS: &[(&str, u8)] =
        &[("higher load", 0), ("higher loads", 0), ("more load", 0), ("more volume", 1), ("more demand", 2)];
    let mut allow = Allow::default();
    loop {
        match one_word(WORDS).context(ALLOW).parse_next(input)? {
            0 => allow.load = true,
            1 => allow.volume = true,
            _ => allow.demand = true,
        }
        if opt(preceded(opt(super::tokens::blank), sign(','))).parse_next(input)?.is_none() {
            break;
        }
    }
    end(input, ALLOW)?;
    Ok(allow)
}
