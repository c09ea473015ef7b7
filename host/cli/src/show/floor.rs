//! The floor plan and the bar sheet as text.

use classwright_app::document::{BarUseDoc, HeatDoc, PlanDoc, StartDoc, clock};
use classwright_app::picture::{Picture, RowsBy, outline};

use super::plan::{Names, heading, line};

/// Columns of the small timeline; with what it is set in, those of the narrowest usual terminal.
const OUTLINE_COLUMNS: usize = 78;

/// Heats with their starts.
pub(super) fn plan(out: &mut String, doc: &PlanDoc, names: &Names<'_>) {
    let floor = &doc.floor;
    if floor.heats.is_empty() {
        return;
    }
    heading(out, "Floor plan");
    let bound = floor.lower_bound_s.filter(|_| !floor.optimal);
    let best = match bound {
        _ if floor.optimal => "; no plan is better".to_owned(),
        Some(bound) => format!("; no plan ends before {}", clock(bound)),
        None => String::new(),
    };
    let heats = if floor.heats.len() == 1 { "1 heat".to_owned() } else { format!("{} heats", floor.heats.len()) };
    let pairs = if floor.plate_pairs_moved == 1 { "pair" } else { "pairs" };
    line(out, &format!("{heats}, {} {pairs} of plates to move{best}.", floor.plate_pairs_moved));
    for heat in &floor.heats {
        let who = heat.athletes.iter().map(|id| {
            let name = names.get(id.as_str()).copied().unwrap_or(id);
            until(doc, heat, id).map_or_else(|| name.to_owned(), |end| format!("{name} (until {})", clock(end)))
        });
        line(out, &format!("Heat {}: {}", heat.heat, who.collect::<Vec<_>>().join(", ")));
    }
    if let Ok(picture) = Picture::new(doc, RowsBy::Heat) {
        outline(&picture, OUTLINE_COLUMNS).lines().for_each(|text| line(out, &format!("  {text}")));
    }
    for part in &doc.session.parts {
        line(out, &format!("  {}", part.heading));
        for heat in &floor.heats {
            line(out, &format!("    heat {}: {}", heat.heat, starts(heat, part.part)));
        }
        if !part.teams.is_empty() {
            let name = |id: &String| names.get(id.as_str()).map_or_else(|| id.clone(), |name| (*name).to_owned());
            let team = |ids: &Vec<String>| ids.iter().map(name).collect::<Vec<_>>().join(" + ");
            let teams: Vec<String> = part.teams.iter().map(team).collect();
            line(out, &format!("    together: {}", teams.join("; ")));
        }
    }
}

/// When somebody was done who has nothing to come, in a class that is under way and in a heat that goes on.
fn until(doc: &PlanDoc, heat: &HeatDoc, id: &str) -> Option<u32> {
    let asked = &doc.floor.asked;
    let own = asked.bouts.iter().filter(|bout| bout.athlete == id);
    let start = |part, set| heat.starts.iter().find(|start| (start.part, start.set) == (part, set));
    let last = own.filter_map(|bout| Some((start(bout.part, bout.set)?.start_s, bout.duration_s))).max()?;
    let goes_on = heat.starts.iter().any(|start| start.start_s >= asked.now_s);
    (last.0 < asked.now_s && goes_on).then_some(last.0.saturating_add(last.1))
}

fn starts(heat: &HeatDoc, part: u32) -> String {
    let own: Vec<&StartDoc> = heat.starts.iter().filter(|start| start.part == part).collect();
    match own.as_slice() {
        [] => "nothing to do".into(),
        [only] => format!("start {}, done {}", clock(only.start_s), clock(only.end_s)),
        [.., last] => {
            let calls: Vec<String> = own.iter().map(|start| clock(start.start_s)).collect();
            format!("start {}, done {}", calls.join(" "), clock(last.end_s))
        }
    }
}

/// Every bar with who has it when, loaded how.
pub(super) fn bar_sheet(out: &mut String, doc: &PlanDoc, names: &Names<'_>) {
    if doc.floor.bars.iter().all(|bar| bar.uses.is_empty()) {
        return;
    }
    heading(out, "Bar sheet");
    for bar in &doc.floor.bars {
        let out_of_service = doc.floor.asked.bars.iter().any(|asked| asked.bar == bar.bar && asked.out_of_service);
        let stays = match (out_of_service, bar.uses.is_empty()) {
            (true, true) => ": out of service",
            (true, false) => ": out of service after this",
            (false, true) => ": stays on the rack",
            (false, false) => "",
        };
        line(out, &format!("{} ({}){stays}", bar.bar, bar.kind));
        for turn in turns(&bar.uses) {
            let name = names.get(turn.athlete).copied().unwrap_or(turn.athlete);
            let side = plates(&turn.side_kg);
            let sets = match (turn.first_set, turn.last_set) {
                (first, last) if first == last => String::new(),
                (first, last) => format!(", sets {first}-{last}"),
            };
            let part = &doc.session.parts[turn.part as usize - 1].kind;
            line(
                out,
                &format!("  {:>5}  {name}: {} kg, a side {side} ({part}{sets})", clock(turn.start_s), turn.total_kg),
            );
        }
    }
}

/// Uses of a bar by one athlete with one loading in one part, from the first to the last set.
struct Turn<'a> {
    athlete: &'a str,
    part: u32,
    total_kg: f64,
    side_kg: Vec<f64>,
    first_set: u32,
    last_set: u32,
    start_s: u32,
}

fn turns(uses: &[BarUseDoc]) -> Vec<Turn<'_>> {
    let mut turns: Vec<Turn<'_>> = Vec::new();
    for used in uses {
        let own =
            |turn: &Turn<'_>| turn.athlete == used.athlete && turn.part == used.part && turn.last_set + 1 == used.set;
        // A turn goes on over another athlete's sets as long as the bar stays loaded as it is.
        let since = turns.iter().rev().take_while(|turn| turn.side_kg == used.side_kg).count();
        let from = turns.len() - since;
        match turns[from..].iter_mut().find(|turn| own(turn)) {
            Some(turn) => turn.last_set = used.set,
            None => turns.push(Turn {
                athlete: &used.athlete,
                part: used.part,
                total_kg: used.total_kg,
                side_kg: used.side_kg.clone(),
                first_set: used.set,
                last_set: used.set,
                start_s: used.start_s,
            }),
        }
    }
    turns
}

fn plates(side: &[f64]) -> String {
    match side {
        [] => "nothing".into(),
        plates => plates.iter().map(f64::to_string).collect::<Vec<_>>().join(" + "),
    }
}
