//! The picture as an SVG file for a landscape A4 page: black on white, patterns instead of colours, no text under 8 pt.
//!
//! A unit is a point. The largest letters with which everything fits on the page are taken; a picture that does not fit
//! even with the smallest gets a longer page. Chart labels are set in a font in which all signs are equally wide, so
//! that their room is known whatever the machine; the rest is measured by a table that errs on the wide side.

mod keys;
mod lane;
mod layers;
mod page;

use super::Picture;
use layers::escape;
use page::Page;

/// Sizes of letters that are tried, in points.
const SIZES: [f64; 7] = [12.0, 11.0, 10.0, 9.5, 9.0, 8.5, SMALLEST];
/// The smallest letters, in points.
const SMALLEST: f64 = 8.0;

/// Width of a landscape A4 page.
const WIDTH: f64 = 842.0;
/// Height of a landscape A4 page.
const HEIGHT: f64 = 595.0;

/// Draws a picture as an SVG 1.1 file.
pub fn svg(picture: &Picture) -> String {
    let fits = |page: &Page| page.height <= HEIGHT;
    let page = SIZES.iter().map(|size| Page::new(picture, *size)).find(fits);
    let page = page.unwrap_or_else(|| Page::new(picture, SMALLEST));
    let height = page.height.max(HEIGHT).ceil();
    let rows: Vec<String> = picture
        .rows
        .iter()
        .map(|row| {
            let spans = row.lanes.iter().flat_map(|lane| &lane.spans).map(|span| span.told.as_str());
            format!("{} ({}): {}.", row.name, row.note, spans.collect::<Vec<_>>().join("; "))
        })
        .collect();
    let (title, told) = (escape(&picture.title), escape(&format!("{} {}", picture.verdict, rows.join(" "))));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"297mm\" height=\"{:.1}mm\" \
         viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" aria-labelledby=\"cw-title cw-desc\">\n\
         <title id=\"cw-title\">{title}</title>\n<desc id=\"cw-desc\">{told}</desc>\n{}{}</svg>\n",
        height * 297.0 / WIDTH,
        layers::PATTERNS,
        page.drawn(height),
    )
}
