//! Rows, spans and labels of a plan, by heat and by bar.

use std::collections::BTreeMap;

use super::names::{People, clean};
use super::{Group, Lane, MOST_S, NoPicture, PartKey, ROUND_S, Row, Span, SpanKind};
use crate::document::{AskedBarDoc, BarUseDoc, PlanDoc, clock};

/// A document may have been changed by hand since it was printed. What could not be drawn is refused, with its place.
pub(super) fn check(plan: &PlanDoc) -> Result<(), NoPicture> {
    let wrong = |place: String, problem| Err(NoPicture::NotAPlan { place, problem });
    let ordered = |times: &[u32]| times.is_sorted() && times.iter().all(|at_s| *at_s <= MOST_S);
    if !ordered(&[plan.session.finish_s]) || !ordered(&[plan.session.length_s]) {
        return wrong("session".into(), "longer than two days");
    }
    for (heat, doc) in plan.floor.heats.iter().enumerate() {
        for (at, start) in doc.starts.iter().enumerate() {
            if !ordered(&[start.start_s, start.end_s]) {
                return wrong(format!("floor.heats[{heat}].starts[{at}]"), "ends before it starts, or after two days");
            }
        }
    }
    for (bar, doc) in plan.floor.bars.iter().enumerate() {
        for (at, used) in doc.uses.iter().enumerate() {
            if !ordered(&[used.setup_from_s, used.start_s, used.end_s]) {
                return wrong(format!("floor.bars[{bar}].uses[{at}]"), "ends before it starts, or after two days");
            }
        }
    }
    Ok(())
}

/// The parts of the session.
pub(super) fn parts(plan: &PlanDoc) -> Vec<PartKey> {
    let key = |part: &crate::document::PartDoc| PartKey {
        part: part.part,
        kind: clean(&part.kind),
        heading: clean(&part.heading),
    };
    plan.session.parts.iter().map(key).collect()
}

/// A row a heat, with everybody in it.
pub(super) fn by_heat(plan: &PlanDoc, people: &People) -> Vec<Row> {
    let names = PartNames::new(plan);
    let rows = plan.floor.heats.iter().map(|heat| {
        let mut by_part: BTreeMap<u32, Vec<Span>> = BTreeMap::new();
        for start in &heat.starts {
            let (from, to) = (clock(start.start_s), clock(start.end_s));
            let set = if names.many(start.part) { start.set.to_string() } else { String::new() };
            let work = names.work(start.part, start.set);
            by_part.entry(start.part).or_default().push(Span {
                what: SpanKind::Work,
                part: start.part,
                from_s: start.start_s,
                to_s: start.end_s,
                above: set,
                inside: Vec::new(),
                below: from.clone(),
                told: format!("Heat {}, {work}: {from} to {to}", heat.heat),
            });
        }
        let unit = |(part, spans): (u32, Vec<Span>)| {
            let from_s = spans.iter().map(|span| span.from_s).min().unwrap_or(0);
            let to_s = spans.iter().map(|span| span.to_s).max().unwrap_or(0);
            Lane { spans, groups: vec![Group { from_s, to_s, names: names.all(part) }] }
        };
        let many = heat.athletes.len();
        Row {
            name: format!("Heat {}", heat.heat),
            note: if many == 1 { "1 person".into() } else { format!("{many} people") },
            people: heat.athletes.iter().map(|id| people.name(id).to_owned()).collect(),
            lanes: stacked(by_part.into_iter().map(unit).collect()),
        }
    });
    rows.collect()
}

/// A row a bar that is used, with its changes of plates and the time before it is free.
pub(super) fn by_bar(plan: &PlanDoc, people: &People) -> Vec<Row> {
    let names = PartNames::new(plan);
    let uses = || plan.floor.bars.iter().flat_map(|bar| &bar.uses);
    let first_s = uses().map(|used| used.setup_from_s).min().unwrap_or(0) / ROUND_S * ROUND_S;
    let last_s = uses().map(|used| used.end_s).max().unwrap_or(0);
    let used = plan.floor.bars.iter().filter(|bar| !bar.uses.is_empty());
    let rows = used.map(|bar| {
        let unit = |used: &BarUseDoc| Lane { spans: bar_spans(used, &names, people), groups: Vec::new() };
        let not_free = (first_s..last_s).contains(&free_from_s(plan, &bar.bar)).then(|| {
            let free = clock(free_from_s(plan, &bar.bar));
            let span = Span {
                what: SpanKind::NotFree,
                part: 0,
                from_s: first_s,
                to_s: free_from_s(plan, &bar.bar),
                above: String::new(),
                inside: vec![format!("not free before {free}"), "not free".into()],
                below: String::new(),
                told: format!("Not free before {free}"),
            };
            Lane { spans: vec![span], groups: Vec::new() }
        });
        let not_free = not_free.into_iter().filter(|lane| lane.spans[0].from_s < lane.spans[0].to_s);
        Row {
            name: clean(&bar.bar),
            note: clean(&bar.kind),
            people: Vec::new(),
            lanes: stacked(not_free.chain(bar.uses.iter().map(unit)).collect()),
        }
    });
    rows.collect()
}

/// Nobody has the bar before.
fn free_from_s(plan: &PlanDoc, bar: &str) -> u32 {
    asked(plan, bar).map_or(0, |asked| asked.free_from_s)
}

fn asked<'a>(plan: &'a PlanDoc, bar: &str) -> Option<&'a AskedBarDoc> {
    plan.floor.asked.bars.iter().find(|asked| asked.bar == bar)
}

/// Names of the bars that nobody uses.
pub(super) fn resting(plan: &PlanDoc) -> Vec<String> {
    let unused = plan.floor.bars.iter().filter(|bar| bar.uses.is_empty());
    let told = unused.map(|bar| match free_from_s(plan, &bar.bar) {
        _ if asked(plan, &bar.bar).is_some_and(|asked| asked.out_of_service) => {
            format!("{} (out of service)", clean(&bar.bar))
        }
        0 => clean(&bar.bar),
        free => format!("{} (not free before {})", clean(&bar.bar), clock(free)),
    });
    told.collect()
}

/// The work, and the change of plates before it if there is one.
fn bar_spans(used: &BarUseDoc, names: &PartNames, people: &People) -> Vec<Span> {
    let name = people.name(&used.athlete);
    let pairs = if used.pairs_moved == 1 { "1 pair".to_owned() } else { format!("{} pairs", used.pairs_moved) };
    let set_up = (used.setup_from_s < used.start_s).then(|| Span {
        what: SpanKind::SetUp,
        part: used.part,
        from_s: used.setup_from_s,
        to_s: used.start_s,
        above: String::new(),
        inside: vec![pairs.clone(), used.pairs_moved.to_string()],
        below: String::new(),
        told: format!("{pairs} of plates for {name}: {} to {}", clock(used.setup_from_s), clock(used.start_s)),
    });
    let work = names.work(used.part, used.set);
    let side: Vec<String> = used.side_kg.iter().map(f64::to_string).collect();
    let side = if side.is_empty() { "nothing".to_owned() } else { side.join(" + ") };
    let inside =
        if names.many(used.part) { vec![work.clone(), format!("set {}", used.set)] } else { vec![work.clone()] };
    let load = used.total_kg;
    let (from, to) = (clock(used.start_s), clock(used.end_s));
    let told = format!("{name}, {load} kg, a side {side}, {work}: {from} to {to}");
    let bout = Span {
        what: SpanKind::Work,
        part: used.part,
        from_s: used.start_s,
        to_s: used.end_s,
        above: people.short(&used.athlete).into(),
        inside,
        below: load.to_string(),
        told,
    };
    set_up.into_iter().chain([bout]).collect()
}

/// Puts each unit into the first lane where the time from its first to its last second is free; spans of a unit that
/// overlap by themselves get lanes of their own.
fn stacked(units: Vec<Lane>) -> Vec<Lane> {
    let apart = |mut unit: Lane| {
        unit.spans.sort_by_key(|span| (span.from_s, span.to_s));
        if unit.spans.is_sorted_by(|before, after| before.to_s <= after.from_s) {
            return vec![unit];
        }
        let groups = unit.groups;
        let alone = unit.spans.into_iter().map(|span| {
            let own = groups.iter().map(|group| Group { from_s: span.from_s, to_s: span.to_s, ..group.clone() });
            Lane { groups: own.collect(), spans: vec![span] }
        });
        alone.collect()
    };
    let ends = |lane: &Lane| {
        let from_s = lane.spans.first().map_or(0, |span| span.from_s);
        (from_s, lane.spans.last().map_or(0, |span| span.to_s))
    };
    let mut units: Vec<Lane> = units.into_iter().flat_map(apart).collect();
    units.sort_by_key(ends);
    let mut lanes: Vec<Lane> = Vec::new();
    for unit in units {
        let (from_s, _) = ends(&unit);
        match lanes.iter_mut().find(|lane| ends(lane).1 <= from_s) {
            Some(lane) => {
                lane.spans.extend(unit.spans);
                lane.groups.extend(unit.groups);
            }
            None => lanes.push(unit),
        }
    }
    lanes
}

/// A kind of part in a few letters.
fn short(kind: &str) -> &'static str {
    match kind {
        "preparation" => "Prep.",
        "skill" => "Skill",
        "strength" => "Str.",
        "conditioning" => "Cond.",
        "cool-down" => "Cool",
        _ => "",
    }
}

/// How parts are called, and which are done set by set.
struct PartNames {
    names: BTreeMap<u32, Vec<String>>,
    many: Vec<u32>,
}

impl PartNames {
    fn new(plan: &PlanDoc) -> Self {
        let names = parts(plan).into_iter().map(|part| {
            let number = part.part;
            let heading = part.heading.split(':').next().unwrap_or_default().to_owned();
            let kind = heading.split(',').next().unwrap_or_default().to_owned();
            let short = short(&part.kind);
            let mut all = vec![heading, kind, short.to_owned()];
            all.iter_mut().for_each(|name| *name = format!("{number} {name}").trim_end().to_owned());
            all.push(number.to_string());
            all.dedup();
            (number, all)
        });
        let starts = plan.floor.heats.iter().flat_map(|heat| &heat.starts).map(|start| (start.part, start.set));
        let uses = plan.floor.bars.iter().flat_map(|bar| &bar.uses).map(|used| (used.part, used.set));
        let many = starts.chain(uses).filter(|(_, set)| *set > 1).map(|(part, _)| part);
        PartNames { names: names.collect(), many: many.collect() }
    }

    /// True where the part has more than one set.
    fn many(&self, part: u32) -> bool {
        self.many.contains(&part)
    }

    /// The longest name first, the number last.
    fn all(&self, part: u32) -> Vec<String> {
        self.names.get(&part).cloned().unwrap_or_else(|| vec![part.to_string()])
    }

    /// A bout of a part in words.
    fn work(&self, part: u32, set: u32) -> String {
        let name = self.all(part).remove(0);
        if self.many(part) { format!("{name}, set {set}") } else { name }
    }
}
