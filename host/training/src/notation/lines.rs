//! The block structure: what each line of the file is.

use super::bounds;
use super::error::{Fault, Parsed};
use super::tokens::{Input, at, left, stop};

/// A line of the file without its marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct SourceLine<'t> {
    /// From 1.
    pub(super) number: u32,
    pub(super) kind: Kind,
    /// The text after the marks, trimmed.
    pub(super) text: &'t str,
    /// Where the text starts in the file.
    pub(super) at: usize,
}

impl SourceLine<'_> {
    /// Where the text stands in the file.
    pub(super) fn span(&self) -> std::ops::Range<usize> {
        self.at..self.at + self.text.len()
    }
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Blank, or a rule across the page.
    Blank,
    /// So many `#`.
    Heading(usize),
    /// `- `, at the margin.
    Bullet,
    /// `- `, under another.
    SubBullet,
    /// `> `.
    Quote,
    /// Text at the margin.
    Text,
    /// Text further in.
    Indented,
    /// Text that was surely meant to be a bullet: `-12 push-up`, `1. 12 push-up`.
    Mistaken,
}

/// The lines of a file; tells control characters apart from text on the way.
pub(super) fn lines(file: &str) -> impl Iterator<Item = Result<SourceLine<'_>, Fault>> {
    let mut next = 0;
    let mut number = 0;
    file.split('\n').map(move |raw| {
        let start = next;
        next += raw.len() + 1;
        number += 1;
        let line = raw.strip_suffix('\r').unwrap_or(raw);
        match line.char_indices().find(|(_, sign)| sign.is_control() && *sign != '\t') {
            Some((at, sign)) => {
                let span = start + at..start + at + sign.len_utf8();
                Err(Fault::new(span, "text without control characters"))
            }
            None => Ok(source_line(line, start, number)),
        }
    })
}

fn source_line(line: &str, start: usize, number: u32) -> SourceLine<'_> {
    let (line, start) = match line.strip_prefix('\u{feff}') {
        Some(rest) if start == 0 => (rest, start + '\u{feff}'.len_utf8()),
        _ => (line, start),
    };
    let body = line.trim();
    let indent: usize =
        line.chars().take_while(|sign| sign.is_whitespace()).map(|sign| if sign == '\t' { 4 } else { 1 }).sum();
    let (kind, marks) = kind(body, indent >= 2);
    let text = body[marks..].trim_start();
    let at = start + line.trim_end().len() - text.len();
    SourceLine { number, kind, text, at }
}

/// The kind of a trimmed line, and how long its marks are.
fn kind(body: &str, indented: bool) -> (Kind, usize) {
    if body.len() >= 3 && ["-", "*", "_"].iter().any(|sign| body.replace(sign, "").is_empty()) {
        return (Kind::Blank, body.len());
    }
    let Some(first) = body.chars().next() else {
        return (Kind::Blank, 0);
    };
    let rest = &body[first.len_utf8()..];
    let bullet = rest.is_empty() || rest.starts_with(char::is_whitespace);
    match first {
        '#' => {
            let level = body.len() - body.trim_start_matches('#').len();
            (Kind::Heading(level), level)
        }
        '>' => (Kind::Quote, 1),
        '-' | '*' | '+' | '•' if bullet => (if indented { Kind::SubBullet } else { Kind::Bullet }, first.len_utf8()),
        '-' | '•' => (Kind::Mistaken, 0),
        '0'..='9' if numbered(body) => (Kind::Mistaken, 0),
        _ => (if indented { Kind::Indented } else { Kind::Text }, 0),
    }
}

/// True for `1. text` and `1) text`.
fn numbered(body: &str) -> bool {
    let rest = body.trim_start_matches(|c: char| c.is_ascii_digit());
    rest.strip_prefix(['.', ')']).is_some_and(|rest| rest.starts_with(char::is_whitespace))
}

/// True where a note of this text, written as a paragraph, would be read as the same note.
pub(super) fn plain_paragraph(text: &str) -> bool {
    text.starts_with(char::is_alphabetic)
}

/// What is left of the line, as free text.
pub(super) fn bounded_text(input: &mut Input<'_>, what: &str) -> Parsed<String> {
    let text = left(input).trim();
    if text.is_empty() {
        return stop(input, format!("{what} after `;`"));
    }
    if let Some(fault) = too_long(text, at(input), bounds::MAX_TEXT, what) {
        return fault.stop();
    }
    let text = text.to_owned();
    winnow::token::rest::<_, winnow::error::ErrMode<Fault>>(input)?;
    Ok(text)
}

/// Adds a further line to free text. What was expected where that makes it too long; once only, as no more is added.
pub(super) fn go_on(text: &mut String, line: &str, what: &str) -> Option<String> {
    if too_long(text, 0, bounds::MAX_TEXT, what).is_some() {
        return None;
    }
    text.push(' ');
    text.push_str(line);
    too_long(text, 0, bounds::MAX_TEXT, what).map(|fault| fault.expected)
}

/// A fault where free text is longer than it may be.
pub(super) fn too_long(text: &str, at: usize, most: usize, what: &str) -> Option<Fault> {
    let over = text.char_indices().nth(most)?.0;
    Some(Fault::new(at + over..at + text.len(), format!("{what} of at most {most} characters")))
}
