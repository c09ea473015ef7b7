//! A plan as `plan --json` printed it, read back and believed in nothing.
//!
//! Refused, with file and place: what is no JSON, no plan, a plan of another version, a plan whose numbers do not agree
//! with each other, one that breaks the rules of the floor it was asked for, and texts that would steer a terminal.

use std::io::Read;
use std::path::Path;

use classwright_planning::floor::check;
use classwright_training::floor::{Floor, Layout};

use crate::AppError;
use crate::document::{FloorDoc, NamedFloor, PlanDoc};
use crate::replan::{Words, with_names};

/// No plan of a class is longer.
const MAX_BYTES: u64 = 64 << 20;

/// A plan that could be run as it stands.
#[derive(Clone, Debug)]
pub(crate) struct StoodPlan {
    /// The document.
    pub(crate) doc: PlanDoc,
    /// The floor that was asked for.
    pub(crate) named: NamedFloor,
    /// Its plan; none where there was none to be had.
    pub(crate) layout: Option<Layout>,
}

/// Reads a plan from a file, or from standard input where that is called `-`.
pub(crate) fn read_plan(path: &Path) -> Result<StoodPlan, AppError> {
    let failed = |error: std::io::Error| AppError::File { path: path.into(), problem: error.to_string() };
    let mut bytes = Vec::new();
    let read = match path == Path::new("-") {
        true => std::io::stdin().lock().take(MAX_BYTES + 1).read_to_end(&mut bytes),
        false => std::fs::File::open(path).and_then(|file| file.take(MAX_BYTES + 1).read_to_end(&mut bytes)),
    };
    read.map_err(failed)?;
    let wrong = |problem: String| AppError::PlanFile { path: path.into(), problem };
    if bytes.len() as u64 > MAX_BYTES {
        return Err(wrong(format!("is longer than any plan ({} MiB)", MAX_BYTES >> 20)));
    }
    from_file(&bytes).map_err(wrong)
}

/// A plan from outside: nobody knows who wrote it.
pub(crate) fn from_file(bytes: &[u8]) -> Result<StoodPlan, String> {
    let stood = stood(bytes)?;
    let whole = serde_json::from_slice(bytes).map_err(|error| error.to_string())?;
    match steering(&whole) {
        None => Ok(stood),
        Some((place, sign)) => {
            let (place, sign) = (place.trim_start_matches('.'), u32::from(sign));
            Err(format!("{place}: has the control sign U+{sign:04X} in it, which no plan has; take it out"))
        }
    }
}

/// The first text with a sign that a terminal would obey, and where it stands. Lines may break and be set in.
fn steering(value: &serde_json::Value) -> Option<(String, char)> {
    use serde_json::Value;
    let sign = |text: &str| text.chars().find(|sign| sign.is_control() && !matches!(sign, '\n' | '\t'));
    let under = |name: String, value: &Value| steering(value).map(|(place, sign)| (name + &place, sign));
    match value {
        Value::String(text) => sign(text).map(|sign| (String::new(), sign)),
        Value::Array(list) => list.iter().enumerate().find_map(|(at, value)| under(format!("[{at}]"), value)),
        Value::Object(fields) => fields.iter().find_map(|(name, value)| under(format!(".{name}"), value)),
        _ => None,
    }
}

/// A plan in a document's bytes, or what is wrong with it.
pub(crate) fn stood(bytes: &[u8]) -> Result<StoodPlan, String> {
    let doc: PlanDoc = match serde_json::from_slice(bytes) {
        Ok(doc) => doc,
        Err(error) => return Err(no_plan(bytes, &error)),
    };
    parts(&doc)?;
    let named = doc.floor.asked.floor().map_err(|error| error.to_string())?;
    let layout = doc.floor.layout(&named).map_err(|error| error.to_string())?;
    if let Some(layout) = &layout {
        // People in turn may take more heats than the gym's rules have.
        let told = Floor { max_heats: u32::MAX, present: Some(layout.clone()), ..named.floor.clone() };
        if let Some(fault) = check(&told, layout).first() {
            let fault = with_names(&fault.to_string(), &named, &Words::new(&doc, &named));
            return Err(format!("floor: this plan cannot be run ({fault}); plan the class again"));
        }
        let FloorDoc { lower_bound_s, optimal, laid_out_by, .. } = &doc.floor;
        let again = FloorDoc::laid_out(&named, layout, *lower_bound_s, *optimal, laid_out_by == "host");
        if again != doc.floor {
            return Err(
                "floor: heats, bars and what was asked do not agree; take the file as `plan --json` wrote it".into()
            );
        }
    }
    Ok(StoodPlan { doc, named, layout })
}

/// Parts are counted from 1, and everything is of one of them.
fn parts(doc: &PlanDoc) -> Result<(), String> {
    let parts = &doc.session.parts;
    if let Some((at, part)) = (1..).zip(parts).find(|(at, part)| part.part != *at) {
        return Err(format!("session.parts[{}].part: is {}; parts are counted from 1 in order", at - 1, part.part));
    }
    let there = |part: u32| (1..=parts.len() as u32).contains(&part);
    let items = doc.cards.iter().flat_map(|card| card.items.iter().map(move |item| (item.part, &card.athlete)));
    let bouts = doc.floor.asked.bouts.iter().map(|bout| (bout.part, &bout.athlete));
    match items.chain(bouts).find(|(part, _)| !there(*part)) {
        Some((part, athlete)) => {
            Err(format!("`{athlete}` has something in part {part}; the session has {}", parts.len()))
        }
        None => Ok(()),
    }
}

/// What the file is instead, as far as that can be told.
fn no_plan(bytes: &[u8], error: &serde_json::Error) -> String {
    let how = "PLAN is what `classwright plan --json` prints";
    match serde_json::from_slice::<serde_json::Value>(bytes) {
        Err(error) => format!("line {}, column {}: no JSON ({error}); {how}", error.line(), error.column()),
        Ok(value) if ["session", "cards", "floor"].iter().all(|key| value.get(key).is_some()) => format!(
            "line {}, column {}: a plan of another version, or a damaged one ({error}); plan the class again",
            error.line(),
            error.column()
        ),
        Ok(_) => format!("JSON, and no plan ({error}); {how}"),
    }
}
