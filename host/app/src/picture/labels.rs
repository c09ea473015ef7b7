//! Where labels go, for any way of drawing: lanes in which they do not touch, widths, round minutes.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use super::Picture;

/// Minutes between two labels of the axis.
const ROUND_MIN: [u32; 10] = [1, 2, 5, 10, 15, 20, 30, 60, 120, 240];

/// A label that has found its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placed {
    /// Left edge.
    pub(super) at: f64,
    /// Nearest to the span first.
    pub(super) lane: usize,
}

/// Puts labels, each with the left edge and the width it would like, in lanes so that none comes nearer than `gap` to
/// another; a label that would run over the right end is moved left as far as it must, yet never over the left end.
pub(super) fn place(labels: &[(f64, f64)], gap: f64, left: f64, right: f64) -> Vec<Placed> {
    let mut order: Vec<usize> = (0..labels.len()).collect();
    let at = |label: usize| labels[label].0.min(right - labels[label].1).max(left);
    order.sort_by(|a, b| at(*a).total_cmp(&at(*b)).then(a.cmp(b)));
    let mut ends: Vec<f64> = Vec::new();
    let mut placed = vec![Placed { at: left, lane: 0 }; labels.len()];
    for label in order {
        let from = at(label);
        let free = ends.iter().position(|end| *end + gap <= from + 1e-9).unwrap_or(ends.len());
        if free == ends.len() {
            ends.push(f64::NEG_INFINITY);
        }
        ends[free] = from + labels[label].1;
        placed[label] = Placed { at: from, lane: free };
    }
    placed
}

/// How many lanes are taken.
pub(super) fn lanes<'a>(placed: impl IntoIterator<Item = &'a Placed>) -> usize {
    placed.into_iter().map(|label| label.lane + 1).max().unwrap_or(0)
}

/// Seconds between two labels of the axis, each of which needs the room of so many seconds.
pub(super) fn tick_s(room_s: f64) -> u32 {
    let fits = |minutes: &u32| f64::from(minutes * 60) >= room_s;
    ROUND_MIN.into_iter().find(fits).unwrap_or_else(|| (room_s / 14_400.0).ceil() as u32 * 240) * 60
}

/// The times that the axis of a picture is labelled at.
pub(super) fn ticks(picture: &Picture, tick_s: u32) -> impl Iterator<Item = u32> {
    (picture.from_s.div_ceil(tick_s)..=picture.to_s / tick_s).map(move |tick| tick * tick_s)
}

/// Columns of a text in a font in which all signs are equally wide.
pub(super) fn columns(text: &str) -> usize {
    text.graphemes(true).map(UnicodeWidthStr::width).sum()
}

/// The text, or as much of its beginning as fits with an ellipsis.
pub(super) fn cut(text: &str, fits: impl Fn(&str) -> bool, ellipsis: &str) -> String {
    if fits(text) {
        return text.to_owned();
    }
    let signs: Vec<&str> = text.graphemes(true).collect();
    let shorter = (0..signs.len()).rev().map(|many| signs[..many].concat().trim_end().to_owned() + ellipsis);
    shorter.into_iter().find(|text| fits(text)).unwrap_or_default()
}

/// Words in lines, none longer than fits; a word that is too long for a line of its own is cut.
pub(super) fn wrap(words: &[String], between: &str, fits: impl Fn(&str) -> bool, ellipsis: &str) -> Vec<String> {
    // A line that is not the last ends in what stands between words.
    let fits = |text: &str| fits(&format!("{text}{}", between.trim_end()));
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if fits(&format!("{line}{between}{word}")) => *line = format!("{line}{between}{word}"),
            last => {
                if let Some(line) = last {
                    *line = format!("{line}{}", between.trim_end());
                }
                lines.push(cut(word, fits, ellipsis));
            }
        }
    }
    lines
}
