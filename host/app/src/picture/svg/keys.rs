//! What the boxes are filled with, and what it means.

use std::collections::BTreeMap;

use super::super::labels::{cut, wrap};
use super::super::{PartKey, RowsBy, SpanKind};
use super::WIDTH;
use super::layers::{Face, width};
use super::page::{MARGIN, Page};
use crate::document::clock;

/// Nothing but paper.
pub(super) const PLAIN: &str = "#fff";
/// While plates are changed.
pub(super) const SET_UP: &str = "url(#cw-hatch)";
/// While a bar is not to be had.
pub(super) const NOT_FREE: &str = "url(#cw-cross)";
/// For parts; the last three where a part's own is taken.
const FILLS: [&str; 8] = [
    "url(#cw-across)",
    "url(#cw-upright)",
    PLAIN,
    "url(#cw-dots)",
    "url(#cw-grid)",
    "url(#cw-rings)",
    "url(#cw-dashes)",
    "url(#cw-plus)",
];

/// Each part's fill: that of its kind, or the next that is free where an earlier part has it. With more parts than
/// fills a part has that of its kind again; its number tells it then.
pub(super) fn fills(parts: &[PartKey]) -> BTreeMap<u32, &'static str> {
    let mut fills: BTreeMap<u32, &'static str> = BTreeMap::new();
    for part in parts {
        let own = match part.kind.as_str() {
            "preparation" => FILLS[0],
            "skill" => FILLS[1],
            "conditioning" => FILLS[3],
            "cool-down" => FILLS[4],
            _ => PLAIN,
        };
        let taken = |fill: &&&str| fills.values().any(|other| other == *fill);
        let free = std::iter::once(&own).chain(FILLS[5..].iter()).chain(&FILLS).find(|fill| !taken(fill));
        let fill = free.copied().unwrap_or(own);
        fills.insert(part.part, fill);
    }
    fills
}

impl Page<'_> {
    pub(super) fn keys(&mut self) {
        self.height += 2.0;
        self.boxes_key();
        let initials: Vec<String> =
            self.picture.initials.iter().map(|who| format!("{} {}", who.initials, who.name)).collect();
        self.list("Who", &initials, ", ");
        self.list("Stay on the rack", &self.picture.resting.clone(), ", ");
    }

    fn list(&mut self, name: &str, words: &[String], between: &str) {
        let size = self.size;
        let mut words = words.to_vec();
        if let Some(first) = words.first_mut() {
            *first = format!("{name}: {first}");
        }
        for line in wrap(&words, between, |text| width(text, Face::Plain) * size <= WIDTH - 2.0 * MARGIN, "…") {
            self.write(MARGIN, &line, size, Face::Plain);
        }
    }

    /// What a change of plates tells. A short one has no room for the pairs: then it is said from when on they are there.
    fn change_key(&self) -> String {
        let spans = self.picture.rows.iter().flat_map(|row| &row.lanes).flat_map(|lane| &lane.spans);
        let bare = spans.filter(|span| span.what == SpanKind::SetUp && self.inside(span).is_none());
        match bare.map(|span| span.to_s - span.from_s).max() {
            None => "change of plates, with the pairs moved".into(),
            Some(longest) => format!("change of plates; longer than {} with the pairs moved", clock(longest)),
        }
    }

    /// What the fills mean, beside one another as long as there is room.
    fn boxes_key(&mut self) {
        let parts = self.picture.parts.iter();
        let mut keys: Vec<(&str, String)> = parts
            .map(|part| {
                let fill = self.fills.get(&part.part).copied().unwrap_or(PLAIN);
                (fill, format!("{} {}", part.part, part.heading))
            })
            .collect();
        if self.picture.by == RowsBy::Bar {
            keys.push((SET_UP, self.change_key()));
            if self.picture.has(SpanKind::NotFree) {
                keys.push((NOT_FREE, "not to be had".into()));
            }
            keys.push(("", "above: who; below: kg".into()));
        } else {
            keys.push(("", "above: set; below: start".into()));
        }
        let mut x = MARGIN;
        self.height += self.line() + 2.0;
        for (fill, text) in keys {
            let box_wide = if fill.is_empty() { 0.0 } else { 20.0 };
            let size = self.size;
            let room = self.right - MARGIN - box_wide;
            let text = cut(&text, |text| width(text, Face::Plain) * size <= room, "…");
            let wide = width(&text, Face::Plain) * size;
            if x > MARGIN && x + box_wide + wide > self.right {
                x = MARGIN;
                self.height += self.line() + 2.0;
            }
            let base = self.height - size * 0.3;
            if !fill.is_empty() {
                self.layers.filled((x, base - size * 0.8), (16.0, size), fill, "");
            }
            self.layers.text((x + box_wide, base), size, Face::Plain, &text, false);
            x += box_wide + wide + 14.0;
        }
        self.height += 2.0;
    }
}
