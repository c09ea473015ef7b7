//! What has happened, put on the floor of a plan.
//!
//! Promises: what started before that second stays as it was. Bars that go are those that nobody has in hand; which of
//! them, several ways are offered. More kit than the class had is allowed: somebody brings it from the store, empty, at
//! that second.

use std::collections::BTreeSet;

use classwright_training::floor::{Floor, FloorAthlete, FloorBar, Layout};
use classwright_training::time::clock;

use super::request::Event;
use super::words::{self, Words, and};
use crate::document::{NamedFloor, OUT_OF_SERVICE_S};

/// The floor from now on, with the plan as it stands in it, once for each choice of bars to go without.
pub(super) fn floors(
    named: &NamedFloor,
    layout: Option<&Layout>,
    events: &[Event],
    words: &Words,
    shared: &dyn Fn(&str, &str, u32) -> bool,
) -> Result<Vec<NamedFloor>, String> {
    let mut now = named.clone();
    now.floor.present = layout.cloned();
    let gone: Vec<u32> = events
        .iter()
        .filter_map(|event| match event {
            Event::Gone(id) => named.athletes.iter().position(|own| own == id).map(|at| at as u32),
            _ => None,
        })
        .collect();
    if !gone.is_empty() {
        now = without(now, &gone, shared);
    }
    if now.floor.bouts.is_empty() {
        return Err("nobody is left on the floor, so there is nothing to plan".into());
    }
    for event in events {
        if let Event::Late(id, ready_s) = event
            && let Some(at) = now.athletes.iter().position(|own| own == id)
        {
            now.floor.athletes[at].ready_s = *ready_s;
        }
    }
    let mut choices = vec![now];
    for event in events {
        match *event {
            Event::Bars(kind, count) => choices = bars(&choices, kind, count, words)?,
            Event::Plates(plate, pairs) => {
                for choice in &mut choices {
                    let used = in_use(&choice.floor, |bout| {
                        let on_bar = choice.floor.bouts[bout]
                            .bar
                            .map_or(&[][..], |(_, loading)| &choice.floor.loadings[loading as usize]);
                        on_bar.iter().filter(|own| **own == plate).count() as u32
                    });
                    let pair = if used == 1 { "pair" } else { "pairs" };
                    enough(
                        &format!("{pair} of {} plates", choice.floor.plates[plate as usize].0),
                        used,
                        pairs,
                        choice,
                    )?;
                    choice.floor.plates[plate as usize].1 = pairs;
                }
            }
            Event::Stock(row, count) => {
                for choice in &mut choices {
                    let claimed = |bout: usize| {
                        let own = choice.floor.bouts[bout].claims.iter().filter(|claim| claim.0 == row);
                        own.map(|claim| claim.1).sum()
                    };
                    let used = in_use(&choice.floor, claimed);
                    let kit = words::kit(&choice.floor.stock[row as usize].name);
                    enough(&if used == 1 { kit } else { format!("of {kit}") }, used, count, choice)?;
                    choice.floor.stock[row as usize].count = count;
                }
            }
            Event::Gone(_) | Event::Late(..) => {}
        }
    }
    for choice in &mut choices {
        let heats = choice.floor.present.as_ref().map_or(0, |present| present.starts.len() as u32);
        choice.floor.max_heats = choice.floor.max_heats.max(heats);
    }
    Ok(choices)
}

fn enough(what: &str, used: u32, there: u32, named: &NamedFloor) -> Result<(), String> {
    let now = clock(named.floor.now_s);
    if used <= there {
        return Ok(());
    }
    let (are, left) = (if used == 1 { "is" } else { "are" }, remain(there));
    Err(format!("{used} {what} {are} in use at {now}, and {left}: leave at least {used}, or say a later time"))
}

fn remain(there: u32) -> String {
    if there == 0 { "none would remain".to_owned() } else { format!("only {there} would remain") }
}

/// When a bout starts and ends in the plan as it stands.
fn span(floor: &Floor, bout: usize) -> Option<(u32, u32)> {
    let present = floor.present.as_ref()?;
    let it = &floor.bouts[bout];
    let start = present.starts[present.heat_of[it.athlete as usize] as usize][it.stage as usize]?;
    Some((start, start + it.duration_s))
}

/// True where the bout has started.
pub(super) fn started(floor: &Floor, bout: usize) -> bool {
    span(floor, bout).is_some_and(|(start, _)| start < floor.now_s)
}

fn runs(floor: &Floor, bout: usize) -> bool {
    span(floor, bout).is_some_and(|(start, end)| start < floor.now_s && floor.now_s < end)
}

/// Those who have begun, and are not there again before the most rest that is written has passed.
pub(super) fn away_too_long(named: &NamedFloor, words: &Words) -> Vec<String> {
    let floor = &named.floor;
    let late = |bout: usize| {
        let it = &floor.bouts[bout];
        let next = floor.bouts.get(bout + 1).filter(|next| next.athlete == it.athlete)?;
        let (_, end) = span(floor, bout).filter(|(start, _)| *start < floor.now_s)?;
        let by = end + it.rest_most_s?;
        let ready = floor.athletes[it.athlete as usize].ready_s;
        let (who, what) = (words.person(&named.athletes[it.athlete as usize]), named.stages[next.stage as usize]);
        let away = !started(floor, bout + 1) && ready > by;
        away.then(|| {
            let (what, by, ready) = (words.stage(what), clock(by), clock(ready));
            format!("{who} has to start {what} by {by}, as the rests are written, and is not there before {ready}")
        })
    };
    (0..floor.bouts.len()).filter_map(late).collect()
}

fn in_use(floor: &Floor, each: impl Fn(usize) -> u32) -> u32 {
    (0..floor.bouts.len()).filter(|bout| runs(floor, *bout)).map(each).fold(0, u32::saturating_add)
}

/// Takes from those who are gone what has not started. Who has done nothing yet leaves the floor; kit that a team
/// shared goes to the first of the others.
fn without(mut named: NamedFloor, gone: &[u32], shared: &dyn Fn(&str, &str, u32) -> bool) -> NamedFloor {
    let dropped: Vec<bool> = (0..named.floor.bouts.len())
        .map(|bout| gone.contains(&named.floor.bouts[bout].athlete) && !started(&named.floor, bout))
        .collect();
    for bout in (0..dropped.len()).filter(|bout| dropped[*bout]) {
        hand_on(&mut named, &dropped, bout, shared);
    }
    let stays = |athlete: u32| {
        !gone.contains(&athlete) || (0..dropped.len()).any(|b| named.floor.bouts[b].athlete == athlete && !dropped[b])
    };
    let athletes: Vec<u32> = (0..named.athletes.len() as u32).filter(|athlete| stays(*athlete)).collect();
    let kept: Vec<usize> = (0..dropped.len()).filter(|bout| !dropped[*bout]).collect();
    only(&named, &athletes, &kept)
}

fn hand_on(named: &mut NamedFloor, dropped: &[bool], bout: usize, shared: &dyn Fn(&str, &str, u32) -> bool) {
    let it = named.floor.bouts[bout].clone();
    let (part, _) = named.stages[it.stage as usize];
    let heir = (0..dropped.len()).find(|other| {
        let theirs = &named.floor.bouts[*other];
        let id = |athlete: u32| named.athletes[athlete as usize].as_str();
        !dropped[*other]
            && theirs.stage == it.stage
            && theirs.athlete != it.athlete
            && shared(id(it.athlete), id(theirs.athlete), part)
    });
    let Some(heir) = heir.filter(|heir| !started(&named.floor, *heir)) else { return };
    let bar = named.floor.present.as_ref().and_then(|present| present.bar_of[bout]);
    let theirs = &mut named.floor.bouts[heir];
    if theirs.bar.is_none() && it.bar.is_some() {
        theirs.bar = it.bar;
        if let Some(present) = &mut named.floor.present {
            present.bar_of[heir] = bar;
        }
    }
    let theirs = &mut named.floor.bouts[heir];
    let lacks: Vec<(u32, u32)> =
        it.claims.into_iter().filter(|claim| theirs.claims.iter().all(|own| own.0 != claim.0)).collect();
    theirs.claims.extend(lacks);
    theirs.claims.sort_unstable();
}

/// The floor with these athletes and bouts only; heats and stages without any are left out.
fn only(named: &NamedFloor, athletes: &[u32], bouts: &[usize]) -> NamedFloor {
    let floor = &named.floor;
    let mut stages: Vec<u32> = bouts.iter().map(|bout| floor.bouts[*bout].stage).collect();
    stages.sort_unstable();
    stages.dedup();
    let place = |list: &[u32], own: u32| list.binary_search(&own).map(|at| at as u32);
    let mut new = Floor { athletes: Vec::new(), bouts: Vec::new(), stage_count: stages.len() as u32, ..floor.clone() };
    for (at, athlete) in (0..).zip(athletes) {
        let first_bout = new.bouts.len() as u32;
        for bout in bouts.iter().map(|bout| &floor.bouts[*bout]).filter(|bout| bout.athlete == *athlete) {
            let stage = place(&stages, bout.stage).unwrap_or(0);
            new.bouts.push(classwright_training::floor::Bout { athlete: at, stage, ..bout.clone() });
        }
        let bout_count = new.bouts.len() as u32 - first_bout;
        new.athletes.push(FloorAthlete { first_bout, bout_count, ..floor.athletes[*athlete as usize] });
    }
    let pair = |&(a, b): &(u32, u32)| Some((place(athletes, a).ok()?, place(athletes, b).ok()?));
    new.together = floor.together.iter().filter_map(pair).collect();
    new.apart = floor.apart.iter().filter_map(pair).collect();
    new.present = floor.present.as_ref().map(|present| {
        let mut heats: Vec<u32> = athletes.iter().map(|athlete| present.heat_of[*athlete as usize]).collect();
        heats.sort_unstable();
        heats.dedup();
        let of = |athlete: &u32| place(&heats, present.heat_of[*athlete as usize]).unwrap_or(0);
        let heat_of: Vec<u32> = athletes.iter().map(of).collect();
        let works = |heat: usize, stage: usize| {
            new.bouts.iter().any(|b| b.stage as usize == stage && heat_of[b.athlete as usize] as usize == heat)
        };
        let row = |(heat, old): (usize, &u32)| {
            let stages = stages.iter().enumerate();
            let starts =
                stages.map(|(at, stage)| present.starts[*old as usize][*stage as usize].filter(|_| works(heat, at)));
            starts.collect()
        };
        let starts = heats.iter().enumerate().map(row).collect();
        Layout { starts, bar_of: bouts.iter().map(|bout| present.bar_of[*bout]).collect(), heat_of }
    });
    NamedFloor {
        floor: new,
        athletes: athletes.iter().map(|athlete| named.athletes[*athlete as usize].clone()).collect(),
        stages: stages.iter().map(|stage| named.stages[*stage as usize]).collect(),
        ..named.clone()
    }
}

/// Ways to go on with so many bars of a kind; of each way offered so far.
fn bars(choices: &[NamedFloor], kind: u32, count: u32, words: &Words) -> Result<Vec<NamedFloor>, String> {
    let mut ways = Vec::new();
    for (number, choice) in choices.iter().enumerate() {
        let floor = &choice.floor;
        let there: Vec<usize> = in_service(floor, kind).collect();
        let Some(fewer) = there.len().checked_sub(count as usize) else {
            ways.push(with_more_bars(choice, kind, count as usize - there.len()));
            continue;
        };
        let users = |bar: usize, of: &dyn Fn(usize) -> bool| {
            let has = |bout: usize| floor.present.as_ref().is_some_and(|p| p.bar_of[bout] == Some(bar as u32));
            let bouts = (0..floor.bouts.len()).filter(|bout| has(*bout) && of(*bout));
            let mut users: Vec<u32> = bouts.map(|bout| floor.bouts[bout].athlete).collect();
            users.sort_unstable();
            users.dedup();
            users
        };
        let (idle, busy): (Vec<usize>, Vec<usize>) =
            there.iter().partition(|bar| users(**bar, &|bout| runs(floor, bout)).is_empty());
        if idle.len() < fewer {
            let who = busy.iter().flat_map(|bar| {
                let id = &floor.bars[*bar].id;
                let users = users(*bar, &|bout| runs(floor, bout));
                users.into_iter().map(move |user| (id.clone(), user))
            });
            let who: Vec<String> =
                who.map(|(bar, user)| format!("{} on {bar}", words.person(&choice.athletes[user as usize]))).collect();
            let (many, kind) = (busy.len(), &floor.bar_types[kind as usize].0);
            let in_use = if many == 1 { format!("a {kind} is in use") } else { format!("{many} of {kind} are in use") };
            let (now, who, left) = (clock(floor.now_s), and(&who).unwrap_or_default(), remain(count));
            return Err(format!("{in_use} at {now} ({who}), and {left}: leave at least {many}, or say a later time"));
        }
        let mut idle = idle;
        idle.sort_by_key(|bar| (users(*bar, &|bout| !started(floor, bout)).len(), std::cmp::Reverse(*bar)));
        let mut goes: Vec<Vec<usize>> = vec![idle[..fewer].to_vec()];
        // The first choice parts from the fewest people; another may all the same leave a better plan.
        if fewer > 0 && number == 0 {
            goes.extend(idle[fewer..].iter().take(2).map(|other| [&idle[..fewer - 1], &[*other]].concat()));
        }
        ways.extend(goes.iter().map(|bars| without_bars(choice, bars)));
    }
    Ok(ways)
}

/// Bars of a kind that are in service.
pub(super) fn in_service(floor: &Floor, kind: u32) -> impl Iterator<Item = usize> {
    let own = move |bar: &FloorBar| bar.bar_type == kind && bar.free_from_s < OUT_OF_SERVICE_S;
    (0..floor.bars.len()).filter(move |bar| own(&floor.bars[*bar]))
}

fn without_bars(named: &NamedFloor, bars: &[usize]) -> NamedFloor {
    let mut named = named.clone();
    for bar in bars {
        named.floor.bars[*bar].free_from_s = OUT_OF_SERVICE_S;
    }
    named
}

/// With more empty bars of a kind, free from now on.
pub(super) fn with_more_bars(named: &NamedFloor, kind: u32, more: usize) -> NamedFloor {
    let known: BTreeSet<&str> = named.floor.bars.iter().map(|bar| bar.id.as_str()).collect();
    let ids = (1..).map(|n| format!("spare {n}")).filter(|id| !known.contains(id.as_str())).take(more);
    let free_from_s = named.floor.now_s;
    let bars: Vec<FloorBar> = ids.map(|id| FloorBar { id, bar_type: kind, free_from_s, loading: 0 }).collect();
    let mut named = named.clone();
    named.floor.bars.extend(bars);
    named
}
