//! A part while it is being read, line by line.

use std::ops::Range;

use winnow::Parser;
use winnow::combinator::opt;

use super::bounds;
use super::error::{Fault, Parsed};
use super::fallback::{fallback, keyed, when};
use super::heading;
use super::item::{Given, item};
use super::lines::{Kind, SourceLine, go_on, too_long};
use super::tokens::{Input, State, duration, end, sign, words};
use crate::session::{Group, Item, Line, Part, PartKind, Scheme};

/// The part being read. What could not be read is left out, its fault noted.
pub(super) struct OpenPart<'i> {
    state: State<'i>,
    part: Part,
    /// `None` where it could not be read.
    scheme: Option<Scheme>,
    heading: Range<usize>,
    /// Lines of work and rest, readable or not.
    lines: usize,
    /// Lines of work, readable or not.
    work: usize,
    /// Where the heading of the last group stands, and how many lines came under it.
    group: Option<(Range<usize>, usize)>,
    last: Last,
}

/// What indented lines and further text belong to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Last {
    /// Nothing can stand under it.
    Other,
    /// The last item: whether it could be read, and whether a cue of it may go on.
    Item { read: bool, cue: bool },
    /// A paragraph, which goes on.
    Paragraph,
    /// A quote, which goes on.
    Quote,
}

impl<'i> OpenPart<'i> {
    /// A part with this heading.
    pub(super) fn new(state: State<'i>, line: SourceLine<'i>) -> Self {
        let heading = heading::part(state, line.text, line.at);
        let part = Part {
            // Stand-ins: without a kind or scheme there is a fault, and no session.
            kind: heading.kind.unwrap_or(PartKind::Conditioning),
            name: heading.name,
            scheme: heading.scheme.clone().unwrap_or(Scheme::Rounds { rounds: 1, rest_s: 0 }),
            team: heading.team,
            groups: Vec::new(),
            fallbacks: Vec::new(),
            notes: Vec::new(),
            line: line.number,
        };
        let heading::PartHeading { scheme, .. } = heading;
        OpenPart { state, part, scheme, heading: line.span(), lines: 0, work: 0, group: None, last: Last::Other }
    }

    /// Reads a line that is no heading of another part.
    pub(super) fn line(&mut self, line: SourceLine<'i>) {
        match (line.kind, self.last) {
            (Kind::Heading(_), _) => self.group(line),
            (Kind::Bullet, _) => self.bullet(line),
            (Kind::SubBullet, Last::Item { .. }) => self.sub_bullet(line),
            (Kind::SubBullet, _) => {
                let expected = "an item above a bullet that is set in; an item itself starts at the margin";
                self.state.note(Fault::new(line.span(), expected));
            }
            (Kind::Indented, Last::Item { .. }) => self.cue(line.text, line.at, true),
            (Kind::Blank, Last::Item { read, .. }) => self.last = Last::Item { read, cue: false },
            (Kind::Blank, _) => self.last = Last::Other,
            (Kind::Quote, _) if line.text.is_empty() => self.last = Last::Other,
            (Kind::Quote, _) => self.note(line, Last::Quote),
            (Kind::Text | Kind::Indented | Kind::Mistaken, _) => self.note(line, Last::Paragraph),
        }
    }

    /// Ends the part.
    pub(super) fn close(mut self) -> Part {
        self.end_group();
        if self.work == 0 {
            let expected = "an item under the heading of a part, such as `- 12 push-up`";
            self.state.note(Fault::new(self.heading, expected));
        }
        self.part
    }

    fn group(&mut self, line: SourceLine<'i>) {
        self.end_group();
        self.last = Last::Other;
        let scheme = self.scheme.as_ref();
        let span = self.state.read(line.text, line.at, |input| heading::span(input, scheme));
        self.part.groups.push(Group { span: Some(span.unwrap_or((1, 1))), lines: Vec::new() });
        self.group = Some((line.span(), 0));
    }

    fn end_group(&mut self) {
        if let Some((heading, 0)) = self.group.take() {
            self.state.note(Fault::new(heading, "an item or a rest under the heading"));
        }
    }

    fn bullet(&mut self, line: SourceLine<'i>) {
        self.last = Last::Other;
        let is_rest = line.text.get(..4).is_some_and(|word| word.eq_ignore_ascii_case("rest"))
            && line.text[4..].starts_with(|c: char| c.is_whitespace() || c == ':');
        if !is_rest && let Some((key, after)) = keyed(line.text) {
            let when = when(self.state, key, line.at);
            let found = fallback(self.state, when, &line.text[after..], line.at + after, None);
            self.part.fallbacks.extend(found);
            let many = self.part.fallbacks.len();
            return self.at_most(many, bounds::MAX_LINES, "such lines in a part", line.span());
        }
        self.lines += 1;
        self.at_most(self.lines, bounds::MAX_ITEMS, "items in a part", line.span());
        if let Some((_, lines)) = &mut self.group {
            *lines += 1;
        }
        let read = if is_rest {
            self.state.read(line.text, line.at, rest).map(Line::Rest)
        } else {
            self.work += 1;
            let given = self.scheme.as_ref().map_or(Given::Unknown, Given::by);
            let found = self.state.read(line.text, line.at, |input| item(input, given, line.number));
            let cue = found.as_ref().is_some_and(|item| !item.cues.is_empty());
            self.last = Last::Item { read: found.is_some(), cue };
            found.map(Line::Work)
        };
        if self.part.groups.is_empty() {
            self.part.groups.push(Group { span: None, lines: Vec::new() });
        }
        if let (Some(group), Some(read)) = (self.part.groups.last_mut(), read) {
            group.lines.push(read);
        }
    }

    fn sub_bullet(&mut self, line: SourceLine<'i>) {
        let Some((key, after)) = keyed(line.text) else {
            let expected = "`no KIT:`, `sore REGION:`, `ability:` or `cue:` under an item";
            self.state.note(Fault::new(line.span(), expected));
            return;
        };
        if key.eq_ignore_ascii_case("cue") {
            let text = line.text[after..].trim_start();
            return self.cue(text, line.at + line.text.len() - text.len(), false);
        }
        let state = self.state;
        let when = when(state, key, line.at);
        let item = self.last_item();
        let found = fallback(state, when, &line.text[after..], line.at + after, item.as_deref());
        if let (Some(item), Some(found)) = (item, found) {
            item.fallbacks.push(found);
            let many = item.fallbacks.len();
            self.at_most(many, bounds::MAX_LINES, "such lines for an item", line.span());
        }
        if let Last::Item { cue, .. } = &mut self.last {
            *cue = false;
        }
    }

    /// A cue of the last item; indented text may go on with the cue before it.
    fn cue(&mut self, text: &str, at: usize, may_go_on: bool) {
        let span = at..at + text.len();
        if text.is_empty() {
            return self.state.note(Fault::new(span, "a cue after `cue:`"));
        }
        let Last::Item { cue, .. } = &mut self.last else { return };
        let goes_on = std::mem::replace(cue, true) && may_go_on;
        let Some(item) = self.last_item() else { return };
        let fault = add_text(&mut item.cues, goes_on, text, "a cue");
        let many = item.cues.len();
        match fault {
            Some(expected) => self.state.note(Fault::new(span, expected)),
            None if goes_on => {}
            None => self.at_most(many, bounds::MAX_LINES, "cues of an item", span),
        }
    }

    /// Text for the whole part; a line after a line goes on with the same note.
    fn note(&mut self, line: SourceLine<'i>, as_what: Last) {
        let goes_on = std::mem::replace(&mut self.last, as_what) == as_what;
        let fault = add_text(&mut self.part.notes, goes_on, line.text, "a note");
        match fault {
            Some(expected) => self.state.note(Fault::new(line.span(), expected)),
            None if goes_on => {}
            None => self.at_most(self.part.notes.len(), bounds::MAX_LINES, "notes in a part", line.span()),
        }
    }

    /// The last item, where it could be read and lines under it are its own.
    fn last_item(&mut self) -> Option<&mut Item> {
        let Last::Item { read: true, .. } = self.last else {
            return None;
        };
        match self.part.groups.last_mut()?.lines.last_mut()? {
            Line::Work(item) => Some(item),
            Line::Rest(_) => None,
        }
    }

    /// Notes a fault the first time that there are too many.
    fn at_most(&self, many: usize, most: usize, of_what: &str, span: Range<usize>) {
        if many == most + 1 {
            self.state.note(Fault::new(span, format!("at most {most} {of_what}")));
        }
    }
}

/// Adds to the last text or a new one; what was expected where it gets too long.
fn add_text(texts: &mut Vec<String>, goes_on: bool, line: &str, what: &str) -> Option<String> {
    match texts.last_mut().filter(|_| goes_on) {
        Some(text) => go_on(text, line, what),
        None => {
            texts.push(line.to_owned());
            too_long(line, 0, bounds::MAX_TEXT, what).map(|fault| fault.expected)
        }
    }
}

/// `rest 1:00`.
fn rest(input: &mut Input<'_>) -> Parsed<u32> {
    const REST: &str = "a rest from 0:01 to 120:00, such as `rest 1:00`";
    words("rest").parse_next(input)?;
    opt(sign(':')).parse_next(input)?;
    let rest = duration(input, &bounds::SECONDS, REST)?;
    end(input, "the end of the line after the rest")?;
    Ok(rest)
}
