//! Shapes and texts, in layers one over another, and how wide a text is.

use super::super::labels::columns;

/// What the boxes are filled with. Ids are prefixed, since an SVG may stand in a page with others.
pub(super) const PATTERNS: &str = r##"<defs>
<pattern id="cw-hatch" width="3" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="3" height="3" fill="#fff"/><path d="M0 0V3" stroke="#000" stroke-width="1.6"/></pattern>
<pattern id="cw-dots" width="3" height="3" patternUnits="userSpaceOnUse"><rect width="3" height="3" fill="#fff"/><circle cx="1.5" cy="1.5" r="0.6"/></pattern>
<pattern id="cw-across" width="4" height="3" patternUnits="userSpaceOnUse"><rect width="4" height="3" fill="#fff"/><path d="M0 1.5H4" stroke="#000" stroke-width="0.5"/></pattern>
<pattern id="cw-upright" width="3" height="4" patternUnits="userSpaceOnUse"><rect width="3" height="4" fill="#fff"/><path d="M1.5 0V4" stroke="#000" stroke-width="0.5"/></pattern>
<pattern id="cw-grid" width="4" height="4" patternUnits="userSpaceOnUse"><rect width="4" height="4" fill="#fff"/><path d="M0 2H4M2 0V4" stroke="#000" stroke-width="0.5"/></pattern>
<pattern id="cw-cross" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" fill="#fff"/><path d="M0 2.5H5M2.5 0V5" stroke="#000" stroke-width="0.5"/></pattern>
<pattern id="cw-rings" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#fff"/><circle cx="2.5" cy="2.5" r="1.5" fill="#fff" stroke="#000" stroke-width="0.5"/></pattern>
<pattern id="cw-dashes" width="6" height="4" patternUnits="userSpaceOnUse"><rect width="6" height="4" fill="#fff"/><path d="M0 1H3.5M3 3H6.5" stroke="#000" stroke-width="0.7"/></pattern>
<pattern id="cw-plus" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#fff"/><path d="M1 3H5M3 1V5" stroke="#000" stroke-width="0.7"/></pattern>
</defs>
"##;

/// The two faces of letters.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    /// All signs equally wide, for labels.
    Even,
    /// For everything that is read as a sentence or a list.
    Plain,
    /// The same, bold.
    Bold,
}

impl Face {
    fn attributes(self) -> &'static str {
        match self {
            Face::Even => "font-family=\"monospace\"",
            Face::Plain => "font-family=\"sans-serif\"",
            Face::Bold => "font-family=\"sans-serif\" font-weight=\"bold\"",
        }
    }
}

/// The end of a text that is given.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    /// Its left end.
    Start,
    /// Its right end.
    End,
}

/// Width of a text, in units of the size of its letters. Never less than what it takes in a usual font.
pub(super) fn width(text: &str, face: Face) -> f64 {
    let even = columns(text) as f64;
    if face == Face::Even && text.is_ascii() {
        return even * 0.61;
    }
    let sign = |c: char| match c {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | ' ' => 0.36,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 1.0,
        '#' | '+' | '<' | '=' | '>' | '^' | '~' => 0.84,
        'A'..='Z' | '&' => 0.80,
        c if c.is_ascii() => 0.65,
        c => match unicode_width::UnicodeWidthChar::width(c).unwrap_or(0) {
            0 => 0.0,
            1 => 1.0,
            _ => 1.4,
        },
    };
    let wide: f64 = text.chars().map(sign).sum();
    if face == Face::Bold { wide * 1.12 } else { wide }
}

/// A text as it stands in XML, in an element or in an attribute.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            c => out.push(c),
        }
    }
    out
}

/// What is drawn first lies lowest.
#[derive(Default)]
pub(super) struct Layers {
    lines: String,
    boxes: String,
    texts: String,
}

impl Layers {
    /// A straight line with the attributes of its stroke.
    pub(super) fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: &str) {
        self.lines += &format!("<path d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\" {stroke}/>\n");
    }

    /// A box with a fill, told in words to those who point at it.
    pub(super) fn filled(&mut self, (x, y): (f64, f64), (wide, high): (f64, f64), fill: &str, told: &str) {
        let rect = format!(
            "<rect x=\"{x:.2}\" y=\"{y:.1}\" width=\"{wide:.2}\" height=\"{high:.1}\" fill=\"{fill}\" stroke=\"#000\" \
             stroke-width=\"0.7\"/>"
        );
        self.boxes += &match told {
            "" => rect + "\n",
            told => format!("<g><title>{}</title>{rect}</g>\n", escape(told)),
        };
    }

    /// A text with its left end on the base line. What lies below it is covered where `clear`.
    pub(super) fn text(&mut self, (x, y): (f64, f64), size: f64, face: Face, text: &str, clear: bool) {
        if text.is_empty() {
            return;
        }
        if clear {
            self.texts += &format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#fff\"/>\n",
                x - 0.5,
                y - size * 0.8,
                width(text, face) * size + 1.0,
                size
            );
        }
        self.anchored((x, y), Anchor::Start, size, face, text);
    }

    /// A text of its own at one end, where nothing lies below it.
    pub(super) fn anchored(&mut self, (x, y): (f64, f64), anchor: Anchor, size: f64, face: Face, text: &str) {
        let anchor = if anchor == Anchor::End { " text-anchor=\"end\"" } else { "" };
        self.texts += &format!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size}\" {}{anchor}>{}</text>\n",
            face.attributes(),
            escape(text)
        );
    }

    /// Everything, lowest first.
    pub(super) fn drawn(&self) -> String {
        format!("{}{}{}", self.lines, self.boxes, self.texts)
    }
}
