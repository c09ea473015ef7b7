//! Cards as text: equal ones together, then what was changed and why.

use classwright_app::document::{CardDoc, ItemDoc, LoadDoc, PlanDoc, TraceDoc, clock};

use super::plan::{heading, line};

/// Every card, those with the same work under one heading.
pub(super) fn cards(out: &mut String, doc: &PlanDoc) {
    let mut groups: Vec<Vec<&CardDoc>> = Vec::new();
    for card in &doc.cards {
        match groups.iter_mut().find(|group| group[0].items == card.items && group[0].place == card.place) {
            Some(group) => group.push(card),
            None => groups.push(vec![card]),
        }
    }
    heading(out, &format!("Cards ({} athletes, {} different)", doc.cards.len(), groups.len()));
    for group in groups {
        let names: Vec<&str> = group.iter().map(|card| card.name.as_str()).collect();
        let place = if group[0].place == "home" { " (at home)" } else { "" };
        line(out, &format!("{}{place}", names.join(", ")));
        let mut part = 0;
        let mut only_in = None;
        for item in &group[0].items {
            if item.part != part {
                part = item.part;
                only_in = None;
                line(out, &format!("  {}", doc.session.parts[part as usize - 1].heading));
            }
            if item.only_in != only_in {
                only_in.clone_from(&item.only_in);
                if let Some(words) = &only_in {
                    line(out, &format!("      {words}:"));
                }
            }
            line(out, &format!("    {:>2}. {}", item.item, item_text(item)));
            for cue in &item.cues {
                line(out, &format!("        {cue}"));
            }
            if let Some(seconds) = item.rest_after_s {
                line(out, &format!("        rest {}", clock(seconds)));
            }
        }
        line(out, "");
    }
}

/// One athlete's card by itself, with why it differs from what is written.
pub(crate) fn card(card: &CardDoc) -> String {
    let mut out = String::new();
    line(&mut out, &format!("{}{}", card.name, if card.place == "home" { " (at home)" } else { "" }));
    let mut part = 0;
    for item in &card.items {
        if item.part != part {
            part = item.part;
            line(&mut out, &format!("  Part {part}"));
        }
        let only_in = item.only_in.as_ref().map_or_else(String::new, |words| format!("{words}: "));
        line(&mut out, &format!("    {:>2}. {only_in}{}", item.item, item_text(item)));
        item.cues.iter().for_each(|cue| line(&mut out, &format!("        {cue}")));
        if let Some(seconds) = item.rest_after_s {
            line(&mut out, &format!("        rest {}", clock(seconds)));
        }
        for change in card.trace.iter().filter(|change| change.item == item.item && change.by != "host") {
            line(&mut out, &format!("        * {} -> {}: {}", change.from, change.to, change.why));
        }
    }
    card.needs_coach.iter().for_each(|why| line(&mut out, &format!("  needs the coach: {why}")));
    out
}

fn item_text(item: &ItemDoc) -> String {
    let mut text = item.text.clone();
    if item.loads.is_empty() {
        if let Some(load) = &item.load {
            text += &format!(" @ {}", load_text(load));
        }
    } else {
        let each: Vec<String> = item.loads.iter().map(|load| load.total_kg.to_string()).collect();
        text += &format!(" @ {} kg", each.join(", "));
    }
    if let Some(most) = item.up_to_kg {
        text += &format!(", up to {most} kg");
    }
    if let Some(ask) = &item.ask {
        text += &format!(" (ask: {ask})");
    }
    if !item.or_choose.is_empty() {
        text += &format!(", or {} if they like", item.or_choose.join(" or "));
    }
    match item.state.as_str() {
        "kept" => text,
        "changed" => format!("{text} *"),
        _ => "left out *".into(),
    }
}

fn load_text(load: &LoadDoc) -> String {
    match (load.bar_kg, &load.side_kg) {
        (Some(bar), Some(side)) if side.is_empty() => format!("{} kg (bar {bar} alone)", load.total_kg),
        (Some(bar), Some(side)) => {
            let plates: Vec<String> = side.iter().map(f64::to_string).collect();
            format!("{} kg (bar {bar}, a side {})", load.total_kg, plates.join(" + "))
        }
        _ => format!("{} kg", load.total_kg),
    }
}

/// What the coach's lines and the policies changed, and why. Equal changes together.
pub(super) fn changes(out: &mut String, doc: &PlanDoc) {
    let mut groups: Vec<(&TraceDoc, Vec<&str>)> = Vec::new();
    for card in &doc.cards {
        // Rounding to what can be made shows on the card itself.
        let mut own: Vec<&TraceDoc> = card.trace.iter().filter(|change| change.by != "host").collect();
        own.sort_by_key(|change| change.item);
        for change in own {
            match groups.iter_mut().find(|(seen, _)| *seen == change) {
                Some((_, who)) => who.push(&card.name),
                None => groups.push((change, vec![&card.name])),
            }
        }
    }
    if groups.is_empty() {
        return;
    }
    heading(out, "Changed, and why (*)");
    for (change, who) in groups {
        let by = match (&change.policy, &change.version) {
            (Some(policy), Some(version)) => format!("{policy} {version}, {}", change.rule),
            _ => "the coach's line".to_owned(),
        };
        line(out, &format!("{}: item {}, {} -> {}", who.join(", "), change.item, change.from, change.to));
        line(out, &format!("    {} [{by}]", change.why));
    }
}
