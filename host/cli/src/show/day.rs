//! A day of one room: a block a class, in order of start.

use classwright_app::document::{DayClassDoc, DayDoc, clock};

use super::plan::{heading, line};

/// The day as text.
pub(crate) fn day(doc: &DayDoc) -> String {
    let mut out = String::new();
    line(&mut out, &format!("{}, {}", doc.gym, doc.date));
    for class in &doc.classes {
        block(&mut out, class);
    }
    out
}

fn block(out: &mut String, class: &DayClassDoc) {
    let session = &class.plan.session;
    heading(out, &format!("{} - {}  {}: {}", class.starts, class.time_up, class.class, session.title));
    let coach = session.coach.as_ref().map_or_else(String::new, |coach| format!("{coach}, "));
    line(out, &format!("{coach}{}", people(class.plan.cards.len())));
    let done = match &class.floor_done {
        None => "No floor plan: see what is said about this class.".to_owned(),
        Some(done) if session.fits => format!("Floor done at {done}."),
        Some(done) => format!("Floor done at {done}: {} over.", clock(session.finish_s - session.length_s)),
    };
    line(out, &done);
    line(out, &waits(class));
    for caution in class.plan.cautions.iter().filter(|caution| caution.about == "class") {
        line(out, &format!("- {}", caution.text));
    }
}

/// What the class has to wait for.
fn waits(class: &DayClassDoc) -> String {
    let finish = class.plan.session.finish_s;
    match class.alone_finish_s {
        Some(alone) if alone < finish => {
            let each: Vec<String> =
                class.waits.iter().map(|wait| format!("{} {}", wait.kit, clock(wait.seconds))).collect();
            let what = match each.as_slice() {
                [] => "no kind of it alone would gain anything".to_owned(),
                [only] => format!("given back, it would gain: {only}"),
                _ => format!("given back alone, each would gain: {}", each.join(", ")),
            };
            format!("Waits {} for kit of the others; {what}.", clock(finish - alone))
        }
        Some(_) => "Waits for nothing that others hold.".into(),
        None if class.floor_done.is_some() => "Nobody else holds any kit.".into(),
        None => String::new(),
    }
}

fn people(many: usize) -> String {
    if many == 1 { "1 person".into() } else { format!("{many} people") }
}
