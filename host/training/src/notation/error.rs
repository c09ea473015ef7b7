//! What is wrong in a file, where, and what would be right.

use std::ops::Range;

use winnow::error::{AddContext, ErrMode, ModalResult, ParserError};
use winnow::stream::Stream;

use super::tokens::{Input, here};

/// One thing wrong in a session file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column}: {}expected {expected}{}", found(text), meant(nearest.as_deref()))]
pub struct NotationError {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Characters to underline, at least 1.
    pub width: u32,
    /// What stands there; empty where something is missing. Cut short where it is long.
    pub text: String,
    /// What would be right.
    pub expected: String,
    /// The nearest known name, where a name is wrong and one is near.
    pub nearest: Option<String>,
    /// The same place in bytes of the file.
    pub span: Range<usize>,
}

fn found(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("found `{text}`, ") }
}

fn meant(nearest: Option<&str>) -> String {
    nearest.map_or(String::new(), |name| format!("; did you mean `{name}`?"))
}

/// Something wrong, its place still in bytes of the file. Doubles as the error of the line grammar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) span: Range<usize>,
    pub(super) expected: String,
    pub(super) nearest: Option<String>,
}

/// Result of a rule of the line grammar.
pub(super) type Parsed<T> = ModalResult<T, Fault>;

impl Fault {
    pub(super) fn new(span: Range<usize>, expected: impl Into<String>) -> Fault {
        Fault { span, expected: expected.into(), nearest: None }
    }

    pub(super) fn near(self, nearest: Option<String>) -> Fault {
        Fault { nearest, ..self }
    }

    /// Stops the line here.
    pub(super) fn stop<T>(self) -> Parsed<T> {
        Err(ErrMode::Cut(self))
    }

    /// With line and column. Faults come in the order of the file, so `from` (line number and start of a line
    /// before the fault) spares counting from the top each time.
    pub(super) fn place(self, file: &str, from: &mut (u32, usize)) -> NotationError {
        let start = self.span.start.min(file.len());
        let passed = &file[from.1..start];
        if let Some(last) = passed.rfind('\n') {
            *from = (from.0 + passed.matches('\n').count() as u32, from.1 + last + 1);
        }
        let end = self.span.end.clamp(start, file.len());
        let standing = &file[start..end];
        let mut text: String = standing.chars().take(80).collect();
        if text.len() < standing.len() {
            text.push('…');
        }
        NotationError {
            line: from.0,
            column: file[from.1..start].trim_start_matches('\u{feff}').chars().count() as u32 + 1,
            width: (standing.chars().count() as u32).max(1),
            text,
            expected: self.expected,
            nearest: self.nearest,
            span: start..end,
        }
    }
}

impl<'i> ParserError<Input<'i>> for Fault {
    type Inner = Fault;

    fn from_input(input: &Input<'i>) -> Fault {
        Fault::new(here(input), "")
    }

    fn into_inner(self) -> Result<Fault, Fault> {
        Ok(self)
    }
}

impl<'i> AddContext<Input<'i>, &'static str> for Fault {
    fn add_context(mut self, _: &Input<'i>, _: &<Input<'i> as Stream>::Checkpoint, expected: &'static str) -> Fault {
        if self.expected.is_empty() {
            self.expected = expected.into();
        }
        self
    }
}
