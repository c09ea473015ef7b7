//! The picture as text of a given width, in blocks and shades or in plain ASCII.
//!
//! A column stands for so many seconds that no two starts of a row share one; where the class then is too long for the
//! width, the picture goes on in further strips. Two starts within [`LEAST_S`] share a column all the same, which then
//! shows a sign of its own; both keep their labels. No line is wider than asked for.

mod lane;
mod signs;

use unicode_segmentation::UnicodeSegmentation;

use super::labels::{columns, cut, tick_s, ticks, wrap};
use super::{MarkKind, Picture, Row, RowsBy, SpanKind};
use signs::{ASCII, BLOCKS, Cells, Signs};

/// Seconds that a column stands for at least.
const LEAST_S: u32 = 10;
/// Most strips, however long the class.
const MOST_STRIPS: usize = 40;
/// Below this no width makes sense.
const LEAST_COLUMNS: usize = 40;

/// Draws a picture for a terminal. With `ascii`, signs outside ASCII stand as question marks.
pub fn terminal(picture: &Picture, width: usize, ascii: bool) -> String {
    let sheet = Sheet::new(picture, width.max(LEAST_COLUMNS), if ascii { &ASCII } else { &BLOCKS });
    let mut lines = sheet.head();
    for strip in 0..sheet.strips {
        lines.push(String::new());
        sheet.strip(strip, &mut lines);
    }
    lines.push(String::new());
    lines.extend(sheet.keys());
    let text: String = lines.iter().map(|line| format!("{}\n", line.trim_end())).collect();
    if ascii { text.graphemes(true).map(plain).collect() } else { text }
}

/// The blocks alone, a line a lane, however close together starts are: what fits into a longer text.
pub fn outline(picture: &Picture, width: usize) -> String {
    let mut sheet = Sheet::new(picture, width.max(LEAST_COLUMNS), &BLOCKS);
    sheet.step_s = (picture.to_s - picture.from_s).div_ceil(sheet.room as u32 - 1).max(1);
    let to = sheet.column(picture.to_s) + 1;
    let mut lines = Vec::new();
    sheet.axis(0, to, &mut lines);
    for row in &picture.rows {
        for (at, lane) in row.lanes.iter().enumerate() {
            let drawn = sheet.lane(lane, 0, to);
            lines.push(sheet.with_gutter(if at == 0 { &row.name } else { "" }, &drawn.lines[drawn.blocks]));
        }
    }
    lines.push(sheet.marks().join(", "));
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// A sign in ASCII, as wide as it was.
fn plain(sign: &str) -> String {
    if sign.is_ascii() { sign.to_owned() } else { "?".repeat(columns(sign)) }
}

/// How the time of a picture lies on the columns.
struct Sheet<'a> {
    picture: &'a Picture,
    signs: &'static Signs,
    width: usize,
    gutter: usize,
    /// Columns of a strip.
    room: usize,
    strips: usize,
    /// Seconds a column.
    step_s: u32,
}

impl<'a> Sheet<'a> {
    fn new(picture: &'a Picture, width: usize, signs: &'static Signs) -> Self {
        let names = picture.rows.iter().flat_map(|row| [columns(&row.name), columns(&row.note)]);
        let gutter = names.max().unwrap_or(0).min(width / 4) + 1;
        let room = width - gutter;
        let shown_s = picture.to_s - picture.from_s;
        let lanes = picture.rows.iter().flat_map(|row| &row.lanes);
        let gaps = lanes.flat_map(|lane| lane.spans.windows(2).map(|two| two[1].from_s - two[0].from_s));
        let most_s = gaps.min().unwrap_or(shown_s).max(LEAST_S);
        // The last column is for what happens at the very end.
        let needed = shown_s.div_ceil(most_s) as usize + 1;
        let strips = needed.div_ceil(room).min(MOST_STRIPS);
        let step_s = shown_s.div_ceil((strips * room - 1) as u32).max(1);
        let strips = ((shown_s / step_s) as usize + 1).div_ceil(room);
        Sheet { picture, signs, width, gutter, room, strips, step_s }
    }

    fn column(&self, at_s: u32) -> usize {
        (at_s.saturating_sub(self.picture.from_s) / self.step_s) as usize
    }

    /// The first column after this time.
    fn column_after(&self, at_s: u32) -> usize {
        at_s.saturating_sub(self.picture.from_s).div_ceil(self.step_s) as usize
    }

    fn head(&self) -> Vec<String> {
        let texts = [&self.picture.title, &self.picture.occasion, &self.picture.verdict];
        texts.into_iter().flat_map(|text| self.words(text)).collect()
    }

    fn words(&self, text: &str) -> Vec<String> {
        self.wrapped(&text.split(' ').map(str::to_owned).collect::<Vec<_>>(), " ", "")
    }

    /// Words in lines of the picture's width, all but the first set in.
    fn wrapped(&self, words: &[String], between: &str, first: &str) -> Vec<String> {
        let words: Vec<String> = words
            .iter()
            .enumerate()
            .map(|(at, word)| if at == 0 { format!("{first}{word}") } else { word.clone() })
            .collect();
        let fits = |text: &str| columns(text) + 2 <= self.width;
        let lines = wrap(&words, between, fits, self.signs.ellipsis);
        let set_in = |(at, line): (usize, String)| if at == 0 { line } else { format!("  {line}") };
        lines.into_iter().enumerate().map(set_in).collect()
    }

    fn strip(&self, strip: usize, lines: &mut Vec<String>) {
        let from = strip * self.room;
        let to = (from + self.room).min(self.column(self.picture.to_s) + 1);
        self.axis(from, to, lines);
        for (at, row) in self.picture.rows.iter().enumerate() {
            if at > 0 && self.picture.by == RowsBy::Heat {
                lines.push(String::new());
            }
            self.row(row, from, to, lines);
        }
    }

    fn axis(&self, from: usize, to: usize, lines: &mut Vec<String>) {
        let tick_s = tick_s(f64::from(self.step_s) * 5.0);
        let ticks = ticks(self.picture, tick_s);
        let mut labels = Cells::new(self.room + 4);
        let mut line = Cells::filled(to - from, self.signs.axis);
        for at_s in ticks.filter(|at_s| (from..to).contains(&self.column(*at_s))) {
            let column = self.column(at_s) - from;
            line.put(column, self.signs.tick);
            let label = (at_s / 60).to_string();
            if column + label.len() <= self.room {
                labels.put(column, &label);
            }
        }
        for mark in &self.picture.marks {
            if (from..to).contains(&self.column(mark.at_s)) {
                line.put(self.column(mark.at_s) - from, self.mark(mark.what)[0]);
            }
        }
        lines.push(self.with_gutter("minutes", &labels));
        lines.push(self.with_gutter("", &line));
    }

    fn mark(&self, what: MarkKind) -> [&'static str; 2] {
        match what {
            MarkKind::Finish => self.signs.finish,
            MarkKind::ClassEnds => self.signs.class_ends,
        }
    }

    /// The key to the marks.
    fn marks(&self) -> Vec<String> {
        self.picture.marks.iter().map(|mark| format!("{} {}", self.mark(mark.what)[0], mark.text)).collect()
    }

    fn with_gutter(&self, text: &str, cells: &Cells) -> String {
        let text = cut(text, |text| columns(text) < self.gutter, self.signs.ellipsis);
        let pad = " ".repeat(self.gutter - columns(&text));
        format!("{text}{pad}{}", cells.text())
    }

    fn row(&self, row: &Row, from: usize, to: usize, lines: &mut Vec<String>) {
        let mut notes = [row.name.as_str(), row.note.as_str()].into_iter();
        for lane in &row.lanes {
            let drawn = self.lane(lane, from, to);
            for (at, cells) in drawn.lines.iter().enumerate() {
                let text = if at < drawn.blocks { "" } else { notes.next().unwrap_or_default() };
                lines.push(self.with_gutter(text, cells));
            }
        }
        for text in notes {
            lines.push(self.with_gutter(text, &Cells::new(0)));
        }
    }

    fn keys(&self) -> Vec<String> {
        let (picture, signs) = (self.picture, self.signs);
        let mut signs_key = vec![
            format!("{} {}", signs.work, if picture.by == RowsBy::Heat { "the heat works" } else { "in use" }),
            format!("{} free", signs.free),
        ];
        match picture.by {
            RowsBy::Heat => {
                signs_key.push("in the block: set".into());
                signs_key.push("below: start".into());
            }
            RowsBy::Bar => {
                signs_key.insert(1, format!("{} change of plates (pairs)", signs.set_up));
                if picture.has(SpanKind::NotFree) {
                    signs_key.insert(2, format!("{} not to be had", signs.not_free));
                }
                signs_key.push("above or in the block: who".into());
                signs_key.push("below: kg".into());
            }
        }
        signs_key.extend(self.marks());
        let mut lines = self.wrapped(&signs_key, "; ", "");
        let parts: Vec<String> = picture.parts.iter().map(|part| format!("{} {}", part.part, part.heading)).collect();
        lines.extend(self.wrapped(&parts, "; ", "Parts: "));
        for row in picture.rows.iter().filter(|row| !row.people.is_empty()) {
            lines.extend(self.wrapped(&row.people, ", ", &format!("{}: ", row.name)));
        }
        let initials: Vec<String> =
            picture.initials.iter().map(|who| format!("{} {}", who.initials, who.name)).collect();
        lines.extend(self.wrapped(&initials, ", ", ""));
        lines.extend(self.wrapped(&picture.resting, ", ", "Stay on the rack: "));
        lines
    }
}
