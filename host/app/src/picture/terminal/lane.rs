//! A lane: blocks in the course of time, names of parts and labels over and under them.

use super::super::labels::{columns, cut, lanes, place};
use super::super::{Lane, Span, SpanKind};
use super::Sheet;
use super::signs::Cells;

impl Sheet<'_> {
    pub(super) fn lane(&self, lane: &Lane, from: usize, to: usize) -> Drawn {
        let mut blocks = Cells::filled(to - from, self.signs.free);
        for mark in &self.picture.marks {
            if (from..to).contains(&self.column(mark.at_s)) {
                blocks.put(self.column(mark.at_s) - from, self.mark(mark.what)[1]);
            }
        }
        let (mut above, mut below) = (Vec::new(), Vec::new());
        for (at, span) in lane.spans.iter().enumerate() {
            let begins = self.column(span.from_s);
            let next = lane.spans.get(at + 1).map_or(usize::MAX, |next| self.column(next.from_s));
            let ends = self.column_after(span.to_s).max(begins + 1).min(next.max(begins + 1));
            let alone = next > begins && !(at > 0 && self.column(lane.spans[at - 1].from_s) == begins);
            let (left, right) = (begins.max(from), ends.min(to));
            if left >= right {
                continue;
            }
            let first = begins >= from;
            let told_in = if first && alone { self.inside(span, right - left) } else { String::new() };
            let fill = match span.what {
                SpanKind::Work => self.signs.work,
                SpanKind::SetUp => self.signs.set_up,
                SpanKind::NotFree => self.signs.not_free,
            };
            (left..right).for_each(|column| blocks.put(column - from, fill));
            if !alone {
                blocks.put(left - from, self.signs.several);
            } else if first && span.what == SpanKind::Work {
                blocks.put(left - from, self.signs.work_begins);
            }
            let set_in = usize::from(span.what != SpanKind::Work);
            blocks.put(left - from + set_in, &told_in);
            if first {
                if !span.above.is_empty() && !told_in.starts_with(&span.above) {
                    above.push((left - from, span.above.clone()));
                }
                below.push((left - from, span.below.clone()));
            }
        }
        let mut lines = self.lines(&self.groups(lane, from, to));
        lines.reverse();
        let mut over = self.lines(&above);
        over.reverse();
        lines.extend(over);
        let at = lines.len();
        lines.push(blocks);
        lines.extend(self.lines(&below));
        Drawn { lines, blocks: at }
    }

    /// What stands in a block of so many columns; where nobody works, after its first column.
    fn inside(&self, span: &Span, room: usize) -> String {
        let fits = |text: &str, room: usize| columns(text) <= room;
        let longest = |room: usize| span.inside.iter().find(|text| fits(text, room));
        if span.what != SpanKind::Work {
            return longest(room.saturating_sub(2)).or(longest(room - 1)).cloned().unwrap_or_default();
        }
        if span.above.is_empty() || !fits(&span.above, room) {
            return longest(room.saturating_sub(1)).cloned().unwrap_or_default();
        }
        match longest(room.saturating_sub(columns(&span.above) + 2)) {
            Some(text) => format!("{} {text} ", span.above),
            None => span.above.clone(),
        }
    }

    /// The names of the parts that are seen in a strip, as long as there is room up to the next.
    fn groups(&self, lane: &Lane, from: usize, to: usize) -> Vec<(usize, String)> {
        let seen = lane.groups.iter().filter(|group| {
            let begins = self.column(group.from_s);
            begins < to && self.column_after(group.to_s).max(begins + 1) > from
        });
        let seen: Vec<(usize, &Vec<String>)> =
            seen.map(|group| (self.column(group.from_s).max(from) - from, &group.names)).collect();
        let named = seen.iter().enumerate().map(|(at, (begins, names))| {
            let next = seen.get(at + 1).map_or(self.room, |(next, _)| next.saturating_sub(1));
            let fits = |name: &&String| begins + columns(name) <= next;
            let name = names.iter().find(fits).or(names.last()).cloned().unwrap_or_default();
            (*begins, name)
        });
        named.collect()
    }

    /// Labels in as many lines as it takes.
    fn lines(&self, labels: &[(usize, String)]) -> Vec<Cells> {
        let labels: Vec<(usize, String)> = labels
            .iter()
            .filter(|(_, text)| !text.is_empty())
            .map(|(at, text)| (*at, cut(text, |text| columns(text) <= self.room, self.signs.ellipsis)))
            .collect();
        let wanted: Vec<(f64, f64)> = labels.iter().map(|(at, text)| (*at as f64, columns(text) as f64)).collect();
        let placed = place(&wanted, 1.0, 0.0, self.room as f64);
        let mut lines: Vec<Cells> = (0..lanes(&placed)).map(|_| Cells::new(self.room)).collect();
        for ((_, text), place) in labels.iter().zip(&placed) {
            lines[place.lane].put(place.at as usize, text);
        }
        lines
    }
}

/// The lines of a lane; `blocks` is the one with the spans.
pub(super) struct Drawn {
    pub(super) lines: Vec<Cells>,
    pub(super) blocks: usize,
}
