//! Puts a session together from its lines.

use super::bounds;
use super::error::Fault;
use super::lines::{Kind, SourceLine, lines};
use super::meta::Meta;
use super::open_part::OpenPart;
use super::tokens::State;
use crate::session::{Part, Session};

/// The session, as far as it could be read. Faults are noted in the state; with any of them, what comes out is
/// to be thrown away.
pub(super) fn session<'i>(file: &'i str, state: State<'i>) -> Option<Session> {
    let mut reader = Reader { state, meta: Meta::default(), parts: Vec::new(), open: None, in_intent: false };
    for line in lines(file) {
        if state.faults.borrow().len() >= bounds::MAX_ERRORS {
            return None;
        }
        match line {
            Ok(line) => reader.line(line),
            Err(fault) => state.note(fault),
        }
    }
    reader.close();
    reader.meta.finish(state, reader.parts, file.len())
}

struct Reader<'i> {
    state: State<'i>,
    meta: Meta,
    parts: Vec<Part>,
    open: Option<OpenPart<'i>>,
    /// True right after the intent, which may go on.
    in_intent: bool,
}

impl<'i> Reader<'i> {
    fn line(&mut self, line: SourceLine<'i>) {
        match line.kind {
            Kind::Heading(1) => self.meta.title(self.state, line, self.open.is_some()),
            Kind::Heading(2) => self.part(line),
            Kind::Heading(4..) => {
                let expected = "at most three `#`: the title, a part, or an interval, minute, set or round of it";
                self.state.note(Fault::new(line.span(), expected));
            }
            Kind::Mistaken => {
                let expected = "a dash and a blank before each item, as in `- 12 push-up`";
                self.state.note(Fault::new(line.span(), expected));
            }
            _ => match &mut self.open {
                Some(open) => open.line(line),
                None => self.before_parts(line),
            },
        }
    }

    fn part(&mut self, line: SourceLine<'i>) {
        self.close();
        if self.parts.len() == bounds::MAX_PARTS {
            let expected = format!("at most {} parts", bounds::MAX_PARTS);
            self.state.note(Fault::new(line.span(), expected));
        }
        self.open = Some(OpenPart::new(self.state, line));
    }

    fn close(&mut self) {
        self.parts.extend(self.open.take().map(OpenPart::close));
    }

    /// A line before the first part that is not a title.
    fn before_parts(&mut self, line: SourceLine<'i>) {
        let goes_on = self.in_intent && line.kind == Kind::Indented;
        self.in_intent = goes_on;
        let expected = match line.kind {
            Kind::Blank => return,
            Kind::Bullet => {
                self.in_intent = self.meta.bullet(self.state, line);
                return;
            }
            Kind::Indented if goes_on => return self.meta.more_intent(self.state, line),
            Kind::SubBullet => "an item above a bullet that is set in",
            Kind::Heading(_) => "a part before its intervals, such as `## Conditioning: 4 rounds`",
            _ if self.meta.has_title() => {
                "free text within a part; what the coach wants from the session is `- intent: …`"
            }
            _ => "a title first, such as `# Monday`",
        };
        self.state.note(Fault::new(line.span(), expected));
    }
}
