//! The canonical form of a session: what [`super::parse`] reads back as the same session.

use super::heading::{kind_word, span_word};
use super::lines::plain_paragraph;
use super::names::written;
use super::phrases::{decimal, load, measured, replacement, scheme};
use crate::session::{Amount, Fallback, Item, Line, Part, Replacement, Scheme, Session, Team, When};
use crate::time::clock;
use crate::{MovementIx, MovementLibrary, Severity};

/// Writes a whole session.
pub(super) fn session(session: &Session, library: &MovementLibrary) -> String {
    let mut writer = Writer { library, out: String::new() };
    writer.head(session);
    for part in &session.parts {
        writer.part(part);
    }
    writer.out
}

/// A part's heading, without its mark.
pub(super) fn heading(part: &Part) -> String {
    let mut heading = kind_word(part.kind).to_owned();
    if let Some(name) = &part.name {
        heading += &format!(", {name}");
    }
    if part.scheme != (Scheme::Rounds { rounds: 1, rest_s: 0 }) {
        heading += &format!(": {}", scheme(&part.scheme));
    }
    match part.team {
        Team::Alone => {}
        Team::Pairs => heading += ", in pairs",
        Team::Relay(size) => heading += &format!(", relay in teams of {size}"),
    }
    heading
}

struct Writer<'l> {
    library: &'l MovementLibrary,
    out: String,
}

impl Writer<'_> {
    fn line(&mut self, text: impl AsRef<str>) {
        self.out.push_str(text.as_ref());
        self.out.push('\n');
    }

    fn head(&mut self, session: &Session) {
        self.line(format!("# {}\n", session.title));
        if let Some(date) = session.date {
            self.line(format!("- date: {:04}-{:02}-{:02}", date.year, date.month, date.day));
        }
        match session.length_s % 60 {
            0 => self.line(format!("- length: {} min", session.length_s / 60)),
            _ => self.line(format!("- length: {}", clock(session.length_s))),
        }
        if let Some(intent) = &session.intent {
            self.line(format!("- intent: {intent}"));
        }
        let allow = session.allow;
        let words = [(allow.load, "higher load"), (allow.volume, "more volume"), (allow.demand, "more demand")];
        let words: Vec<&str> = words.into_iter().filter(|(is, _)| *is).map(|(_, word)| word).collect();
        if !words.is_empty() {
            self.line(format!("- allow: {}", words.join(", ")));
        }
    }

    fn part(&mut self, part: &Part) {
        self.line(format!("\n## {}", heading(part)));
        for note in &part.notes {
            let mark = if plain_paragraph(note) { "" } else { "> " };
            self.line(format!("\n{mark}{note}"));
        }
        // Lines for the whole part stand before the first heading within it.
        let (whole, counted): (Vec<_>, Vec<_>) = part.groups.iter().partition(|group| group.span.is_none());
        if !whole.is_empty() || !part.fallbacks.is_empty() {
            self.line("");
        }
        whole.iter().for_each(|group| self.lines(&group.lines));
        for fallback in &part.fallbacks {
            self.fallback("", fallback);
        }
        for group in counted {
            let word = span_word(&part.scheme);
            match group.span {
                Some((from, to)) if from != to => self.line(format!("\n### {word}s {from}-{to}\n")),
                Some((from, _)) => self.line(format!("\n### {word} {from}\n")),
                None => {}
            }
            self.lines(&group.lines);
        }
    }

    fn lines(&mut self, lines: &[Line]) {
        for line in lines {
            match line {
                Line::Rest(seconds) => self.line(format!("- rest {}", clock(*seconds))),
                Line::Work(item) => self.item(item),
            }
        }
    }

    fn item(&mut self, item: &Item) {
        let mut line = String::from("- ");
        let mut below = item.fallbacks.as_slice();
        if let ([piece], false) = (&item.pieces[..], item.choices.is_empty()) {
            line += &measured(self.library, piece.amount, "either ", piece.movement);
            for &choice in &item.choices {
                line += &format!(" or {}", written(self.library, choice));
            }
        } else {
            let pieces = item.pieces.iter().map(|piece| measured(self.library, piece.amount, "", piece.movement));
            line += &pieces.collect::<Vec<_>>().join(" + ");
            if item.pieces.len() == 1 {
                while let [first, rest @ ..] = below
                    && let Some((amount, movement)) = inline(first)
                {
                    line += &format!(" or {}", measured(self.library, amount, "", movement));
                    below = rest;
                }
            }
        }
        let load = item.load.as_ref().map(|written| load(self.library, written));
        let effort = item.effort_tenths.map(|tenths| format!("RPE {}", decimal(tenths, 10)));
        let parts: Vec<String> = load.into_iter().chain(effort).collect();
        if !parts.is_empty() {
            line += &format!(" @ {}", parts.join(", "));
        }
        if let Some(ms) = item.rep_ms {
            line += &format!(" ({} s a rep)", decimal(ms, 1000));
        }
        let mut cues = item.cues.iter();
        if let Some(cue) = cues.next() {
            line += &format!("; {cue}");
        }
        self.line(line);
        for fallback in below {
            self.fallback("  ", fallback);
        }
        for cue in cues {
            self.line(format!("  - cue: {cue}"));
        }
    }

    fn fallback(&mut self, indent: &str, fallback: &Fallback) {
        let when = match fallback.when {
            When::NoKit(kit) => format!("no {}", self.library.kit(kit).name),
            When::Ability => "ability".into(),
            When::Limited(region, least) => {
                let least = match least {
                    Severity::Mild => "sore",
                    Severity::Moderate => "moderate",
                    Severity::Severe => "severe",
                };
                format!("{least} {}", region.id().replace('-', " "))
            }
        };
        let instead = match &fallback.instead {
            None => "leave out".into(),
            Some(instead) => replacement(self.library, instead),
        };
        self.line(format!("{indent}- {when}: {instead}"));
    }
}

/// Amount and movement of an easier movement that fits on the item's own line.
fn inline(fallback: &Fallback) -> Option<(Option<Amount>, MovementIx)> {
    match (fallback.when, &fallback.instead) {
        (When::Ability, Some(Replacement { amount, add_reps: 0, movement: Some(movement), load: None })) => {
            Some((*amount, *movement))
        }
        _ => None,
    }
}
