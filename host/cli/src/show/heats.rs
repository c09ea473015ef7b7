//! The plan of a floor from a file, as a short table.

use std::collections::BTreeMap;

use classwright_app::Solved;
use classwright_app::document::clock;
use classwright_app::floor_file::SolutionDoc;

use super::plan::{heading, line};

/// When it is done, how sure that is, the heats and the bars.
pub(crate) fn solution(solved: &Solved) -> String {
    let doc = &solved.solution;
    let mut out = String::new();
    line(&mut out, &doc.instance);
    line(&mut out, &verdict(doc));
    let pairs = if doc.plate_moves == 1 { "pair" } else { "pairs" };
    let mut figures = format!("{}, {} {pairs} of plates to move", counted(doc.heats.len(), "heat"), doc.plate_moves);
    if let Some(changed) = doc.changed {
        let who = if changed == 0 { "nobody".to_owned() } else { counted(changed as usize, "athlete") };
        figures.push_str(&format!(", {who} otherwise than before"));
    }
    line(&mut out, &(figures + "."));
    heading(&mut out, "Heats");
    for (number, heat) in doc.heats.iter().enumerate() {
        let starts: Vec<String> = heat.starts.iter().map(|start| clock(*start)).collect();
        line(&mut out, &format!("{:>3}  {}", number + 1, heat.athletes.join(", ")));
        line(&mut out, &format!("     starts {}", starts.join(" ")));
    }
    bars(&mut out, solved);
    out
}

fn verdict(doc: &SolutionDoc) -> String {
    let done = format!("Done at {} ({} s)", clock(doc.finish), doc.finish);
    match (doc.optimal, doc.lower_bound == doc.finish) {
        (true, _) => format!("{done}: proven, no plan is better."),
        (false, true) => format!("{done}: proven, no plan ends earlier."),
        (false, false) => {
            let bound = format!("{} ({} s)", clock(doc.lower_bound), doc.lower_bound);
            // Rounded up: a gap is never told smaller than it is.
            let gap = (doc.gap() * 1000.0).ceil() / 10.0;
            format!("{done}; no plan ends before {bound}, a gap of {gap:.1} %.")
        }
    }
}

/// Each bar with who has it from when.
fn bars(out: &mut String, solved: &Solved) {
    let doc = &solved.solution;
    let mut uses: BTreeMap<&str, Vec<(u32, &str)>> = BTreeMap::new();
    for heat in &doc.heats {
        for athlete in &heat.athletes {
            let own = doc.bars.get(athlete).map_or(&[][..], Vec::as_slice);
            for (start, bar) in heat.starts.iter().zip(own) {
                let Some(bar) = bar else { continue };
                uses.entry(bar).or_default().push((*start, athlete));
            }
        }
    }
    if uses.is_empty() {
        return;
    }
    heading(out, "Bars");
    let floor = &solved.floor.floor;
    for bar in &floor.bars {
        let kind = &floor.bar_types[bar.bar_type as usize].0;
        let Some(own) = uses.get_mut(bar.id.as_str()) else {
            line(out, &format!("{} ({kind}): stays on the rack", bar.id));
            continue;
        };
        own.sort_unstable();
        let own: Vec<String> = own.iter().map(|(start, athlete)| format!("{} {athlete}", clock(*start))).collect();
        line(out, &format!("{} ({kind}): {}", bar.id, own.join(", ")));
    }
}

fn counted(many: usize, what: &str) -> String {
    if many == 1 { format!("1 {what}") } else { format!("{many} {what}s") }
}
