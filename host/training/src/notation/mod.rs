//! How a session is written: a Markdown file that a coach could have typed.
//!
//! [`parse`] reads it against a movement library and finds every problem in one reading, each with line, column,
//! what stands there, what would be right and, for a name, the nearest that is known. [`write`](write()) gives the
//! canonical form, which is read back as the same session. Any text gives a session or problems, never a panic; a
//! file that is too large or not UTF-8 is refused at once. The grammar is in DEVELOPERS.md, the meaning in
//! [`crate::session`].

pub mod bounds;

mod amount;
mod error;
mod fallback;
mod heading;
mod item;
mod lines;
mod load;
mod meta;
mod names;
mod open_part;
mod phrases;
mod reader;
mod scheme;
mod tokens;
mod writer;

use std::cell::RefCell;

pub use bounds::MAX_BYTES;
pub use error::NotationError;

use crate::MovementLibrary;
use crate::session::{Line, Part, Scheme, Session};

/// Reads a session, or says everything that is wrong with it (at most [`bounds::MAX_ERRORS`] problems), in the order
/// of the file.
pub fn parse(text: &str, library: &MovementLibrary) -> Result<Session, Vec<NotationError>> {
    if text.len() > MAX_BYTES {
        return Err(vec![too_large(text.len())]);
    }
    let faults = RefCell::new(Vec::new());
    let session = reader::session(text, tokens::State { library, faults: &faults, base: 0 });
    let mut faults = faults.into_inner();
    match session {
        Some(session) if faults.is_empty() => Ok(session),
        _ => {
            faults.sort_by_key(|fault| (fault.span.start, fault.span.end));
            faults.truncate(bounds::MAX_ERRORS);
            let mut from = (1, 0);
            Err(faults.into_iter().map(|fault| fault.place(text, &mut from)).collect())
        }
    }
}

/// The same for the bytes of a file, which must be UTF-8.
pub fn parse_bytes(bytes: &[u8], library: &MovementLibrary) -> Result<Session, Vec<NotationError>> {
    if bytes.len() > MAX_BYTES {
        return Err(vec![too_large(bytes.len())]);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => parse(text, library),
        Err(error) => {
            let good = std::str::from_utf8(&bytes[..error.valid_up_to()]).unwrap_or_default();
            let at = good.len();
            let end = error::Fault::new(at..at, "text in UTF-8").place(good, &mut (1, 0));
            Err(vec![NotationError { text: format!("byte 0x{:02X}", bytes[at]), span: at..at + 1, ..end }])
        }
    }
}

/// Writes a session in its canonical form. For every session that [`parse`] gives, `parse(write(session))` is the
/// same but for the line numbers (see [`without_lines`]), and writing that gives the same text.
pub fn write(session: &Session, library: &MovementLibrary) -> String {
    writer::session(session, library)
}

/// A part's heading in its canonical form, without the mark in front of it.
pub fn heading(part: &Part) -> String {
    writer::heading(part)
}

/// What the headings within a part count, by its scheme: `Interval`, `Minute`, `Set` or `Round`.
pub const fn span_word(scheme: &Scheme) -> &'static str {
    heading::span_word(scheme)
}

/// The session without the line numbers of parts and items (all 0), so that sessions can be compared by meaning.
pub fn without_lines(session: &Session) -> Session {
    let mut session = session.clone();
    for part in &mut session.parts {
        part.line = 0;
        for line in part.groups.iter_mut().flat_map(|group| &mut group.lines) {
            if let Line::Work(item) = line {
                item.line = 0;
            }
        }
    }
    session
}

fn too_large(bytes: usize) -> NotationError {
    NotationError {
        line: 1,
        column: 1,
        width: 1,
        text: format!("a file of {bytes} bytes"),
        expected: format!("a session of at most {MAX_BYTES} bytes"),
        nearest: None,
        span: 0..0,
    }
}
