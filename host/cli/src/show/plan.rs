//! A plan, as a coach wants to read it.

use std::collections::BTreeMap;
use std::fmt::Write;

use classwright_app::document::{PlanDoc, clock};

use super::{cards, floor};

/// Names by athlete id.
pub(super) type Names<'a> = BTreeMap<&'a str, &'a str>;

/// The whole plan as text.
pub(crate) fn plan(doc: &PlanDoc) -> String {
    let names: Names<'_> = doc.cards.iter().map(|card| (card.athlete.as_str(), card.name.as_str())).collect();
    let mut out = String::new();
    head(&mut out, doc);
    times(&mut out, doc, &names);
    needs_coach(&mut out, doc);
    floor::plan(&mut out, doc, &names);
    floor::bar_sheet(&mut out, doc, &names);
    cards::cards(&mut out, doc);
    cards::changes(&mut out, doc);
    cautions(&mut out, doc);
    components(&mut out, doc);
    out
}

/// A heading with a line under it.
pub(super) fn heading(out: &mut String, text: &str) {
    line(out, "");
    line(out, text);
    line(out, &"-".repeat(text.chars().count()));
}

/// A line. Writing to a string cannot fail.
pub(super) fn line(out: &mut String, text: &str) {
    let _ = writeln!(out, "{}", text.trim_end());
}

fn head(out: &mut String, doc: &PlanDoc) {
    let session = &doc.session;
    let date = session.date.as_ref().map_or_else(String::new, |date| format!(", {date}"));
    line(out, &format!("{} ({}{date})", session.title, session.gym));
    if let Some(intent) = &session.intent {
        line(out, intent);
    }
}

fn times(out: &mut String, doc: &PlanDoc, names: &Names<'_>) {
    let session = &doc.session;
    heading(out, "Times");
    for part in &session.parts {
        let name = |id: &str| names.get(id).map_or_else(|| id.to_owned(), |name| (*name).to_owned());
        let needed = match (&part.quickest, &part.slowest) {
            (Some(quick), Some(slow)) if quick.seconds != slow.seconds => format!(
                "needs {} ({}) to {} ({})",
                clock(quick.seconds),
                name(&quick.athlete),
                clock(slow.seconds),
                name(&slow.athlete)
            ),
            (Some(quick), _) => format!("needs {}", clock(quick.seconds)),
            _ => String::new(),
        };
        line(out, &format!("{:>5} - {:>5}  {}", clock(part.start_s), clock(part.end_s), part.heading));
        if !needed.is_empty() {
            line(out, &format!("               {needed}"));
        }
        for note in &part.notes {
            line(out, &format!("               \"{note}\""));
        }
    }
    let end = clock(session.finish_s);
    let length = clock(session.length_s);
    let verdict = if doc.floor.heats.is_empty() {
        "No floor plan: see what is said about this class.".to_owned()
    } else if session.fits {
        format!("Floor done at {end} of {length}.")
    } else {
        format!("Floor done at {end}: {} over the {length}.", clock(session.finish_s - session.length_s))
    };
    line(out, &verdict);
}

fn needs_coach(out: &mut String, doc: &PlanDoc) {
    let mut by_reason: Vec<(&str, Vec<&str>)> = Vec::new();
    for card in &doc.cards {
        for why in &card.needs_coach {
            match by_reason.iter_mut().find(|(reason, _)| reason == why) {
                Some((_, who)) => who.push(&card.name),
                None => by_reason.push((why, vec![&card.name])),
            }
        }
    }
    if by_reason.is_empty() {
        return;
    }
    heading(out, "Needs the coach");
    for (why, who) in by_reason {
        let who = if who.len() == doc.cards.len() { "Everybody".to_owned() } else { who.join(", ") };
        line(out, &format!("{who}: {why}"));
    }
}

fn cautions(out: &mut String, doc: &PlanDoc) {
    let about = |about: &'static str| doc.cautions.iter().filter(move |caution| caution.about == about);
    if about("class").next().is_some() {
        heading(out, "About this class");
        about("class").for_each(|caution| line(out, &caution.text));
    }
    heading(out, "Cautions");
    about("safety").for_each(|caution| line(out, &caution.text));
}

fn components(out: &mut String, doc: &PlanDoc) {
    if doc.components.is_empty() {
        return;
    }
    heading(out, "Policies asked");
    for component in &doc.components {
        let digest = component.digest.get(..12).unwrap_or(&component.digest);
        line(out, &format!("{} {} ({digest}), {}", component.policy, component.version, component.call));
    }
}
