//! A lane: boxes in the course of time, names of parts and labels over and under them.

use super::super::labels::{Placed, lanes, place};
use super::super::{Lane, Span, SpanKind};
use super::SMALLEST;
use super::keys::{NOT_FREE, PLAIN, SET_UP};
use super::layers::{Face, width};
use super::page::{Page, THIN};

impl Page<'_> {
    /// Draws a lane and gives the base line of texts in its boxes.
    pub(super) fn lane(&mut self, lane: &Lane) -> f64 {
        let groups = self.group_labels(lane);
        let above = self.span_labels(lane, |span| &span.above);
        let below = self.span_labels(lane, |span| &span.below);
        let high = self.size * 1.25;
        let top = self.height + (groups.lanes() + above.lanes()) as f64 * self.line() + 1.5;
        self.height = top + high;
        self.layers.line((self.left, top + high / 2.0), (self.right, top + high / 2.0), THIN);
        for group in &lane.groups {
            let y = top - above.lanes() as f64 * self.line() - 0.8;
            self.layers.line(
                (self.x(group.from_s), y),
                (self.x(group.to_s), y),
                "stroke=\"#000\" stroke-width=\"0.8\"",
            );
        }
        for span in &lane.spans {
            self.span(span, top, high);
        }
        for label in groups.0 {
            let y = top - (above.lanes() + label.place.lane) as f64 * self.line() - self.size * 0.35;
            self.layers.text((label.place.at, y - 0.5), self.size, Face::Plain, &label.text, true);
        }
        for label in &above.0 {
            let y = top - label.place.lane as f64 * self.line();
            self.layers.line((label.x, y), (label.x, top), THIN);
            self.layers.text((label.place.at, y - self.size * 0.25), self.size, Face::Even, &label.text, true);
        }
        for label in &below.0 {
            let y = self.height + (label.place.lane + 1) as f64 * self.line();
            self.layers.line((label.x, self.height), (label.x, y - self.size * 0.8), THIN);
            self.layers.text((label.place.at, y - self.size * 0.2), self.size, Face::Even, &label.text, true);
        }
        self.height += below.lanes() as f64 * self.line() + 2.0;
        top + high * 0.5 + self.size * 0.35
    }

    /// The box of a span, and what there is room for in it.
    fn span(&mut self, span: &Span, top: f64, high: f64) {
        let (x, wide) = (self.x(span.from_s), self.x(span.to_s) - self.x(span.from_s));
        let fill = match span.what {
            SpanKind::Work => self.fills.get(&span.part).copied().unwrap_or(PLAIN),
            SpanKind::SetUp => SET_UP,
            SpanKind::NotFree => NOT_FREE,
        };
        self.layers.filled((x, top), (wide, high), fill, &span.told);
        if let Some((text, size)) = self.inside(span) {
            let at = x + (wide - width(text, Face::Even) * size) / 2.0;
            self.layers.text((at, top + high * 0.5 + size * 0.35), size, Face::Even, text, true);
        }
    }

    /// What there is room for in the box of a span, and how large it is written. A word may be smaller than those
    /// around it, rather than be left out.
    pub(super) fn inside<'s>(&self, span: &'s Span) -> Option<(&'s String, f64)> {
        let wide = self.x(span.to_s) - self.x(span.from_s);
        let texts = span.inside.iter().flat_map(|text| [self.size, SMALLEST].map(|size| (text, size)));
        texts.into_iter().find(|(text, size)| width(text, Face::Even) * size + 1.6 <= wide)
    }

    /// Labels of spans, over their middle.
    fn span_labels(&self, lane: &Lane, text: impl Fn(&Span) -> &String) -> Labels {
        let spans = lane.spans.iter().filter(|span| !text(span).is_empty());
        let labels: Vec<(f64, f64, String)> = spans
            .map(|span| {
                let (from, to) = (self.x(span.from_s), self.x(span.to_s));
                let wide = width(text(span), Face::Even) * self.size;
                // Over a long box the label stands where the box begins.
                let x = if wide > to - from { (from + to - wide) / 2.0 } else { from };
                (x, wide, text(span).clone())
            })
            .collect();
        let xs = lane.spans.iter().filter(|span| !text(span).is_empty());
        let xs = xs.map(|span| self.x(span.from_s) + (self.x(span.to_s) - self.x(span.from_s)).min(4.0) / 2.0);
        self.placed(labels, xs.collect())
    }

    /// Names of parts, each as long as there is room for up to the next.
    fn group_labels(&self, lane: &Lane) -> Labels {
        let labels = lane.groups.iter().enumerate().map(|(at, group)| {
            let from = self.x(group.from_s);
            let next = lane.groups.get(at + 1).map_or(self.right, |next| self.x(next.from_s) - 4.0);
            let wide = |name: &String| width(name, Face::Plain) * self.size;
            let name = group.names.iter().find(|name| from + wide(name) <= next).or(group.names.last());
            let name = name.cloned().unwrap_or_default();
            (from, wide(&name), name)
        });
        let xs = lane.groups.iter().map(|group| self.x(group.from_s)).collect();
        self.placed(labels.collect(), xs)
    }

    fn placed(&self, labels: Vec<(f64, f64, String)>, xs: Vec<f64>) -> Labels {
        let wanted: Vec<(f64, f64)> = labels.iter().map(|(x, wide, _)| (*x, *wide)).collect();
        let placed = place(&wanted, self.size * 0.3, self.left - 4.0, self.right + 10.0);
        let all = labels.into_iter().zip(placed).zip(xs);
        Labels(all.map(|(((_, _, text), place), x)| Label { place, x, text }).collect())
    }
}

/// A label that has found its place, and the edge of what it belongs to.
struct Label {
    place: Placed,
    x: f64,
    text: String,
}

struct Labels(Vec<Label>);

impl Labels {
    fn lanes(&self) -> usize {
        lanes(self.0.iter().map(|label| &label.place))
    }
}
