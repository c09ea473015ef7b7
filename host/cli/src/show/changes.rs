//! What a new plan changes, what holds a class up, and what more would give.

use classwright_app::document::{PlanDoc, WhyDoc, clock};

use super::plan::{heading, line, plan};

/// Changes first, then why, then the plan.
pub(crate) fn replan(doc: &PlanDoc) -> String {
    let mut out = String::new();
    line(&mut out, "Changes");
    line(&mut out, "-------");
    doc.changes.iter().for_each(|change| line(&mut out, &change.text));
    if let Some(why) = &doc.why {
        binds(&mut out, why);
        gives(&mut out, why, doc.session.finish_s);
    }
    line(&mut out, "");
    out + &plan(doc)
}

fn binds(out: &mut String, why: &WhyDoc) {
    heading(out, "What holds the class up");
    if why.binds.is_empty() {
        line(out, "Nothing there is is used up at any time: the work and its rests take as long as that.");
    }
    for binds in &why.binds {
        let spans: Vec<String> =
            binds.spans_s.iter().take(4).map(|[from, to]| format!("{}-{}", clock(*from), clock(*to))).collect();
        let more = binds.spans_s.len().saturating_sub(spans.len());
        let more = match more {
            0 => String::new(),
            1 => " and once more".to_owned(),
            more => format!(" and {more} times more"),
        };
        line(
            out,
            &format!(
                "{} (all {}): {} in all, {}{more}",
                binds.what,
                binds.there,
                clock(binds.total_s),
                spans.join(", ")
            ),
        );
    }
}

fn gives(out: &mut String, why: &WhyDoc, finish_s: u32) {
    heading(out, "What more would give");
    if why.from_s < finish_s {
        let from = clock(why.from_s);
        line(out, &format!("As things are {from} can be had, by moving more people than that is worth; from there:"));
    }
    for gives in &why.gives {
        let bound =
            gives.lower_bound_s.map_or_else(String::new, |bound| format!("; not before {} at best", clock(bound)));
        let text = match gives.finish_s {
            None => "no better plan was found".to_owned(),
            Some(_) if gives.gives_s == 0 => format!("nothing{bound}"),
            Some(finish) => format!("{} earlier, done at {}{bound}", clock(gives.gives_s), clock(finish)),
        };
        line(out, &format!("{}: {text}", gives.change));
    }
}
