//! Where everything stands on the page, with letters of one size.

use std::collections::BTreeMap;

use classwright_planning::wall_clock;

use super::super::labels::{cut, lanes, place, tick_s, ticks, wrap};
use super::super::{MarkKind, Picture, Row};
use super::WIDTH;
use super::keys::fills;
use super::layers::{Anchor, Face, Layers, width};

/// White round the page; printers need some.
pub(super) const MARGIN: f64 = 28.0;
/// Strokes.
const FINISH: &str = "stroke=\"#000\" stroke-width=\"1.2\"";
const CLASS_ENDS: &str = "stroke=\"#000\" stroke-width=\"1.2\" stroke-dasharray=\"5 3\"";
const MINUTES: &str = "stroke=\"#000\" stroke-width=\"0.4\" stroke-dasharray=\"0.5 2.5\"";
pub(super) const THIN: &str = "stroke=\"#000\" stroke-width=\"0.4\"";

/// A page that has been laid out.
pub(super) struct Page<'a> {
    pub(super) picture: &'a Picture,
    /// What the boxes of each part are filled with.
    pub(super) fills: BTreeMap<u32, &'static str>,
    /// Size of the letters.
    pub(super) size: f64,
    /// Left end of the time.
    pub(super) left: f64,
    /// Right end of the time.
    pub(super) right: f64,
    pub(super) layers: Layers,
    /// How far down it goes.
    pub(super) height: f64,
}

impl<'a> Page<'a> {
    pub(super) fn new(picture: &'a Picture, size: f64) -> Self {
        let wide = |text: &String, face| width(text, face) * size;
        let names = picture.rows.iter().flat_map(|row| [wide(&row.name, Face::Bold), wide(&row.note, Face::Plain)]);
        let gutter = names.fold(wide(&"minutes".to_owned(), Face::Plain), f64::max).min(110.0) + 6.0;
        let (left, right) = (MARGIN + gutter, WIDTH - MARGIN);
        let fills = fills(&picture.parts);
        let mut page = Page { picture, fills, size, left, right, layers: Layers::default(), height: MARGIN };
        page.head();
        let top = page.axis_labels(true);
        for (at, row) in picture.rows.iter().enumerate() {
            if at > 0 {
                page.layers.line((MARGIN, page.height), (right, page.height), THIN);
                page.height += 2.0;
            }
            page.row(row);
        }
        page.verticals(top, page.height);
        page.axis_labels(false);
        page.keys();
        page.height += MARGIN;
        page
    }

    /// Everything, on white paper of this height.
    pub(super) fn drawn(&self, height: f64) -> String {
        format!("<rect width=\"{WIDTH}\" height=\"{height}\" fill=\"#fff\"/>\n{}", self.layers.drawn())
    }

    pub(super) fn x(&self, at_s: u32) -> f64 {
        self.left + f64::from(at_s.saturating_sub(self.picture.from_s)) / self.seconds_a_point()
    }

    fn seconds_a_point(&self) -> f64 {
        f64::from(self.picture.to_s - self.picture.from_s) / (self.right - self.left)
    }

    /// Height of a line.
    pub(super) fn line(&self) -> f64 {
        self.size * 1.15
    }

    /// A line of text at the current height, which grows by it.
    pub(super) fn write(&mut self, x: f64, text: &str, size: f64, face: Face) {
        self.height += size * 1.2;
        self.layers.text((x, self.height - size * 0.3), size, face, text, false);
    }

    fn head(&mut self) {
        let room = WIDTH - 2.0 * MARGIN;
        let fits = |size: f64, face| move |text: &str| width(text, face) * size <= room;
        let large = self.size + 4.0;
        let title = cut(&self.picture.title, fits(large, Face::Bold), "…");
        self.write(MARGIN, &title, large, Face::Bold);
        let under: Vec<String> = [&self.picture.occasion, &self.picture.verdict].into_iter().cloned().collect();
        for line in wrap(&under, ". ", fits(self.size, Face::Plain), "…") {
            self.write(MARGIN, &line, self.size, Face::Plain);
        }
        self.height += 4.0;
    }

    /// Round minutes: over the rows with the marks, below them as the clock on the wall shows them, if it is known.
    /// Gives the height of the line between labels and rows.
    fn axis_labels(&mut self, over: bool) -> f64 {
        if over {
            self.mark_labels();
        }
        let wall = self.picture.wall_min.filter(|_| !over);
        let tick_s = tick_s(width("00:00 ", Face::Even) * self.size * self.seconds_a_point());
        let title = if wall.is_some() { "clock" } else { "minutes" };
        self.height += self.line();
        let base = self.height - self.size * 0.35;
        self.layers.text((MARGIN, base), self.size, Face::Plain, title, false);
        for at_s in ticks(self.picture, tick_s) {
            let text = match wall {
                Some(starts) => wall_clock(starts * 60, at_s),
                None => (at_s / 60).to_string(),
            };
            let wide = width(&text, Face::Even) * self.size;
            let x = (self.x(at_s) - wide / 2.0).min(WIDTH - 4.0 - wide);
            self.layers.text((x, base), self.size, Face::Even, &text, false);
        }
        let line = if over { self.height } else { self.height - self.line() };
        self.layers.line((self.left, line), (self.right, line), "stroke=\"#000\" stroke-width=\"0.8\"");
        self.height += 3.0;
        line
    }

    fn mark_labels(&mut self) {
        let past = |at_s: u32| at_s > self.picture.to_s;
        let texts: Vec<(u32, String)> = self
            .picture
            .marks
            .iter()
            .map(|mark| {
                let text = if past(mark.at_s) { format!("{} >", mark.text) } else { mark.text.clone() };
                (mark.at_s.min(self.picture.to_s), text)
            })
            .collect();
        let wanted = texts.iter().map(|(at_s, text)| {
            let wide = width(text, Face::Bold) * self.size;
            (self.x(*at_s) - wide / 2.0, wide)
        });
        let placed = place(&wanted.collect::<Vec<_>>(), 6.0, self.left, self.right);
        let high = lanes(&placed) as f64 * self.line();
        for ((_, text), place) in texts.iter().zip(&placed) {
            let y = self.height + high - (place.lane as f64 + 0.3) * self.line();
            let at_edge = place.at + width(text, Face::Bold) * self.size >= self.right - 0.1;
            let (x, anchor) = if at_edge { (self.right, Anchor::End) } else { (place.at, Anchor::Start) };
            self.layers.anchored((x, y), anchor, self.size, Face::Bold, text);
        }
        self.height += high;
    }

    /// The minutes and the marks, through all rows.
    fn verticals(&mut self, top: f64, bottom: f64) {
        let tick_s = tick_s(width("00:00 ", Face::Even) * self.size * self.seconds_a_point());
        for at_s in ticks(self.picture, tick_s) {
            self.layers.line((self.x(at_s), top), (self.x(at_s), bottom), MINUTES);
        }
        for mark in self.picture.marks.iter().filter(|mark| mark.at_s <= self.picture.to_s) {
            let stroke = if mark.what == MarkKind::Finish { FINISH } else { CLASS_ENDS };
            self.layers.line((self.x(mark.at_s), top - 3.0), (self.x(mark.at_s), bottom), stroke);
        }
    }

    fn row(&mut self, row: &Row) {
        let top = self.height;
        let mut first_base = None;
        for lane in &row.lanes {
            let base = self.lane(lane);
            first_base.get_or_insert(base);
        }
        let base = first_base.unwrap_or(top + self.line());
        let room = self.left - MARGIN - 4.0;
        for (at, (text, face)) in [(&row.name, Face::Bold), (&row.note, Face::Plain)].into_iter().enumerate() {
            let text = cut(text, |text| width(text, face) * self.size <= room, "…");
            self.layers.text((MARGIN, base + at as f64 * self.line()), self.size, face, &text, false);
        }
        self.height = self.height.max(base + self.line() + self.size * 0.4);
        let fits = |text: &str| width(text, Face::Plain) * self.size <= self.right - self.left;
        for line in wrap(&row.people, ", ", fits, "…") {
            self.height += self.line();
            self.layers.text((self.left, self.height - self.size * 0.35), self.size, Face::Plain, &line, true);
        }
        self.height += 2.0;
    }
}
