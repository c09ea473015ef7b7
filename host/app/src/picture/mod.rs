//! The floor plan as a timeline, by heat or by bar.
//!
//! [`Picture`] is the picture before it is drawn: rows, spans of time, labels, marks. [`terminal()`] and [`svg()`] draw it;
//! both are pure, and the same plan gives the same bytes. Nothing is told by colour, and no two texts overlap: what
//! does not fit is shortened in a fixed way (part numbers and initials, with a key) or goes to a line of its own.
//!
//! Everything a plan names is cleaned before it is drawn: control signs and signs that turn the direction of reading
//! never reach a terminal or a file.

mod labels;
mod list;
mod names;
mod rows;
mod svg;
mod terminal;
#[cfg(test)]
mod tests;

use crate::document::{PlanDoc, clock};
use crate::hour::read_minute;

pub use list::{Group, Initials, Lane, Mark, MarkKind, PartKey, Picture, Row, RowsBy, Span, SpanKind};
pub use svg::svg;
pub use terminal::{outline, terminal};

/// Longest time that is drawn: two days.
const MOST_S: u32 = 48 * 3600;
/// A picture begins at a multiple of this.
const ROUND_S: u32 = 300;

/// Why there is no picture of a plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPicture {
    /// There is no floor plan.
    #[error("the plan has no floor plan to draw; its cautions about the class say why")]
    NoFloorPlan,
    /// A floor plan without bars, asked for by bar.
    #[error("nobody uses a bar in this plan; draw it with --by heat")]
    NoBarUsed,
    /// The text is no plan, or none that could be run.
    #[error("{0}")]
    NotRead(String),
    /// The document is no plan that could have been printed.
    #[error("{place}: {problem}; give it what `classwright plan --json` printed")]
    NotAPlan {
        /// Where in the document.
        place: String,
        /// What is wrong there.
        problem: &'static str,
    },
}

impl NoPicture {
    /// Exit code of the command line; the table is in DEVELOPERS.md.
    pub fn exit_code(&self) -> u8 {
        match self {
            NoPicture::NotRead(_) | NoPicture::NotAPlan { .. } => 2,
            NoPicture::NoFloorPlan | NoPicture::NoBarUsed => 6,
        }
    }
}

impl Picture {
    /// The picture of a plan's JSON: of one that could be run, as whoever re-plans it reads it.
    pub fn read(json: &[u8], by: RowsBy) -> Result<Self, NoPicture> {
        let plan = crate::plan_file::from_file(json).map_err(NoPicture::NotRead)?;
        Picture::new(&plan.doc, by)
    }

    /// The picture of a plan.
    pub fn new(plan: &PlanDoc, by: RowsBy) -> Result<Self, NoPicture> {
        rows::check(plan)?;
        if plan.floor.heats.is_empty() {
            return Err(NoPicture::NoFloorPlan);
        }
        let people = names::People::new(plan);
        let rows = match by {
            RowsBy::Heat => rows::by_heat(plan, &people),
            RowsBy::Bar => rows::by_bar(plan, &people),
        };
        let spans = || rows.iter().flat_map(|row| &row.lanes).flat_map(|lane| &lane.spans);
        let nothing = if by == RowsBy::Bar { NoPicture::NoBarUsed } else { NoPicture::NoFloorPlan };
        let last_s = spans().map(|span| span.to_s).max().ok_or(nothing)?;
        let from_s = spans().map(|span| span.from_s).min().unwrap_or(0) / ROUND_S * ROUND_S;
        let session = &plan.session;
        let marks = marks(plan);
        // A mark long after everything else would press the rest together: it is told at the edge instead.
        let near = marks.iter().map(|mark| mark.at_s).filter(|at_s| *at_s <= last_s + last_s / 2);
        let drawn = |part: u32| spans().any(|span| span.part == part);
        Ok(Picture {
            by,
            title: names::clean(&session.title),
            occasion: occasion(plan),
            verdict: verdict(session.finish_s, session.length_s),
            from_s,
            to_s: near.chain([last_s, from_s + 60]).max().unwrap_or(last_s).div_ceil(60) * 60,
            wall_min: session.starts.as_deref().and_then(read_minute).map(u32::from),
            marks,
            parts: rows::parts(plan).into_iter().filter(|part| drawn(part.part)).collect(),
            initials: if by == RowsBy::Bar { people.initials() } else { Vec::new() },
            resting: if by == RowsBy::Bar { rows::resting(plan) } else { Vec::new() },
            rows,
        })
    }

    /// True where there is a span of this kind.
    fn has(&self, what: SpanKind) -> bool {
        let lanes = self.rows.iter().flat_map(|row| &row.lanes);
        lanes.flat_map(|lane| &lane.spans).any(|span| span.what == what)
    }
}

/// JSON Schema (draft 2020-12) of a picture.
pub fn picture_schema() -> serde_json::Value {
    crate::plan_class::schema::<Picture>()
}

fn marks(plan: &PlanDoc) -> Vec<Mark> {
    let (finish_s, length_s) = (plan.session.finish_s, plan.session.length_s);
    let mut marks = vec![
        Mark { what: MarkKind::Finish, at_s: finish_s, text: format!("floor done {}", clock(finish_s)) },
        Mark { what: MarkKind::ClassEnds, at_s: length_s, text: format!("class ends {}", clock(length_s)) },
    ];
    marks.sort_by_key(|mark| mark.at_s);
    marks
}

fn verdict(finish_s: u32, length_s: u32) -> String {
    let (end, length) = (clock(finish_s), clock(length_s));
    match finish_s.checked_sub(length_s) {
        None | Some(0) => format!("Floor done at {end} of {length}."),
        Some(over) => format!("Floor done at {end}: {} over the {length}.", clock(over)),
    }
}

fn occasion(plan: &PlanDoc) -> String {
    let session = &plan.session;
    let class = session.class.as_ref().map(|class| format!("class {class}"));
    let coach = session.coach.as_ref().map(|coach| format!("coach {coach}"));
    let day = match (&session.date, &session.starts) {
        (Some(date), Some(starts)) => Some(format!("{date} {starts}")),
        (date, starts) => date.clone().or_else(|| starts.clone()),
    };
    let all = [Some(session.gym.clone()), class, day, coach];
    let all: Vec<String> = all.into_iter().flatten().map(|text| names::clean(&text)).collect();
    all.join(", ")
}
