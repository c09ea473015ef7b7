//! Live events, as the HTML standard's "Server-sent events" writes them (section 9.2.6), one after the other.

use std::io::{BufRead, BufReader, Read};

use crate::error::CliError;

/// Something that happened.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Event {
    /// What to name to go on behind it.
    pub(crate) id: String,
    /// What kind of thing.
    pub(crate) kind: String,
    /// What is told of it.
    pub(crate) data: String,
}

/// Events as they come.
pub(crate) struct Events<R: Read> {
    lines: BufReader<R>,
    last_id: String,
}

impl<R: Read> Events<R> {
    /// Those in a stream.
    pub(crate) fn new(stream: R) -> Self {
        Events { lines: BufReader::new(stream), last_id: String::new() }
    }

    /// The next one; `None` where the stream ends, in the middle of one too.
    pub(crate) fn next(&mut self) -> Result<Option<Event>, CliError> {
        let mut event = Event::default();
        let mut line = String::new();
        loop {
            line.clear();
            let read = self.lines.read_line(&mut line);
            if read.map_err(|error| CliError::new(format!("error: the events broke off: {error}"), 3))? == 0 {
                return Ok(None);
            }
            let text = line.trim_end_matches(['\n', '\r']);
            if text.is_empty() {
                if event.data.is_empty() {
                    event = Event::default();
                    continue;
                }
                event.id.clone_from(&self.last_id);
                event.data.pop();
                return Ok(Some(event));
            }
            let (field, value) = text.split_once(':').unwrap_or((text, ""));
            let value = value.strip_prefix(' ').unwrap_or(value);
            match field {
                "id" => value.clone_into(&mut self.last_id),
                "event" => value.clone_into(&mut event.kind),
                "data" => event.data += &format!("{value}\n"),
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn events_are_read_with_their_ids_and_comments_are_passed_over() {
        let stream =
            ": here\n\nid: 4\nevent: plan.made\ndata: {\"a\":1}\n\nevent:x\ndata:one\ndata: two\n\nid: 9\ndata: cut";
        let mut events = Events::new(stream.as_bytes());
        let mut next = || events.next().unwrap_or_else(|_| panic!("readable"));
        let event = |id: &str, kind: &str, data: &str| Event { id: id.into(), kind: kind.into(), data: data.into() };
        assert_eq!(next(), Some(event("4", "plan.made", "{\"a\":1}")));
        assert_eq!(next(), Some(event("4", "x", "one\ntwo")));
        assert_eq!(next(), None, "half an event is none");
    }
}
