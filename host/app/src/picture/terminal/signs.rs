//! What is drawn with, and lines that are drawn in.

use unicode_segmentation::UnicodeSegmentation;

use super::super::labels::columns;

/// What the blocks are drawn with.
pub(super) struct Signs {
    pub(super) work: &'static str,
    pub(super) work_begins: &'static str,
    pub(super) set_up: &'static str,
    pub(super) not_free: &'static str,
    pub(super) free: &'static str,
    pub(super) several: &'static str,
    pub(super) finish: [&'static str; 2],
    pub(super) class_ends: [&'static str; 2],
    pub(super) axis: &'static str,
    pub(super) tick: &'static str,
    pub(super) ellipsis: &'static str,
}

/// Blocks and shades.
pub(super) const BLOCKS: Signs = Signs {
    work: "█",
    work_begins: "▐",
    set_up: "░",
    not_free: "╳",
    free: "·",
    several: "*",
    finish: ["▼", "│"],
    class_ends: ["◆", "┊"],
    axis: "─",
    tick: "┬",
    ellipsis: "…",
};

/// For a terminal that cannot show them.
pub(super) const ASCII: Signs = Signs {
    work: "#",
    work_begins: "[",
    set_up: "/",
    not_free: "x",
    free: ".",
    several: "*",
    finish: ["v", "|"],
    class_ends: ["X", "!"],
    axis: "-",
    tick: "+",
    ellipsis: "~",
};

/// A line of columns. A sign that is two columns wide leaves the second empty.
pub(super) struct Cells(Vec<String>);

impl Cells {
    pub(super) fn new(columns: usize) -> Self {
        Cells::filled(columns, " ")
    }

    pub(super) fn filled(columns: usize, sign: &str) -> Self {
        Cells(vec![sign.to_owned(); columns])
    }

    pub(super) fn put(&mut self, at: usize, text: &str) {
        let mut column = at;
        for sign in text.graphemes(true) {
            let wide = columns(sign);
            if wide == 0 {
                continue;
            }
            for (more, cell) in self.0.iter_mut().skip(column).take(wide).enumerate() {
                *cell = if more == 0 { sign.to_owned() } else { String::new() };
            }
            column += wide;
        }
    }

    pub(super) fn text(&self) -> String {
        self.0.concat()
    }
}
