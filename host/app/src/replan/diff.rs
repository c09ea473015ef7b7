//! What is different between two plans of one floor, in sentences that a coach can read out.
//!
//! Pure. People come first, then starts, then bars, then the end; what shifts alike is said once. Heats are told apart
//! by who is in them: where some are left out, those behind them keep their order and are said to have a new number.
//!
//! Counted as moved: whoever is in another heat, has any other bar for work that is still to come, or is new. Another
//! start alone moves nobody.

use std::collections::{BTreeMap, BTreeSet};

use classwright_training::floor::Layout;
use classwright_training::time::clock;

use super::words::{Words, and};
use crate::document::{ChangeDoc, NamedFloor};

/// A floor and a plan of it.
#[derive(Clone, Copy)]
pub(crate) struct Side<'a> {
    /// The floor.
    pub(crate) named: &'a NamedFloor,
    /// The plan.
    pub(crate) layout: &'a Layout,
}

/// Part and set.
type Stage = (u32, u32);

impl<'a> Side<'a> {
    fn heat(&self, id: &str) -> Option<usize> {
        let at = self.named.athletes.iter().position(|own| own == id)?;
        self.layout.heat_of.get(at).map(|heat| *heat as usize)
    }

    /// Start and bar of each of an athlete's bouts.
    fn bouts(&self, id: &str) -> BTreeMap<Stage, (u32, Option<&'a str>)> {
        let floor = &self.named.floor;
        let own = |athlete: u32| self.named.athletes[athlete as usize] == id;
        let bouts = floor.bouts.iter().enumerate().filter(|(_, bout)| own(bout.athlete));
        bouts
            .filter_map(|(at, bout)| {
                let heat = *self.layout.heat_of.get(bout.athlete as usize)?;
                let start = self.layout.starts[heat as usize][bout.stage as usize]?;
                let bar = self.layout.bar_of[at].map(|bar| floor.bars[bar as usize].id.as_str());
                Some((self.named.stages[bout.stage as usize], (start, bar)))
            })
            .collect()
    }

    fn starts(&self, heat: usize) -> BTreeMap<Stage, u32> {
        let row = self.layout.starts[heat].iter().enumerate();
        row.filter_map(|(at, start)| Some((self.named.stages[at], (*start)?))).collect()
    }

    fn members(&self, heat: usize) -> BTreeSet<&'a str> {
        let of_heat = self.layout.heat_of.iter().zip(&self.named.athletes).filter(|(own, _)| **own as usize == heat);
        of_heat.map(|(_, id)| id.as_str()).collect()
    }
}

/// For each heat of the plan after, the heat of the plan before that it is.
fn same_heats(before: Side<'_>, after: Side<'_>) -> Vec<Option<usize>> {
    let there: BTreeSet<&str> = after.named.athletes.iter().map(String::as_str).collect();
    let old: Vec<(usize, BTreeSet<&str>)> = (0..before.layout.starts.len())
        .map(|heat| (heat, before.members(heat).intersection(&there).copied().collect::<BTreeSet<_>>()))
        .filter(|(_, members)| !members.is_empty())
        .collect();
    let new: Vec<BTreeSet<&str>> = (0..after.layout.starts.len()).map(|heat| after.members(heat)).collect();
    if old.len() == new.len() {
        return old.into_iter().map(|(heat, _)| Some(heat)).collect();
    }
    // The pairing in order that keeps the most people in their heat, and then the most starts.
    let kept = |o: usize, n: usize| {
        let people = old[o].1.intersection(&new[n]).count();
        let (was, is) = (before.starts(old[o].0), after.starts(n));
        let starts = is.iter().filter(|(stage, start)| was.get(stage) == Some(start)).count();
        if people == 0 { 0 } else { people * (after.named.stages.len() + 1) + starts }
    };
    let mut most = vec![vec![0; new.len() + 1]; old.len() + 1];
    let paired = |most: &[Vec<usize>], o: usize, n: usize| match kept(o, n) {
        0 => 0,
        kept => kept + most[o + 1][n + 1],
    };
    for o in (0..old.len()).rev() {
        for n in (0..new.len()).rev() {
            most[o][n] = paired(&most, o, n).max(most[o + 1][n]).max(most[o][n + 1]);
        }
    }
    let (mut o, mut n, mut same) = (0, 0, vec![None; new.len()]);
    while o < old.len() && n < new.len() {
        let best = most[o][n];
        if best > 0 && paired(&most, o, n) == best {
            same[n] = Some(old[o].0);
            (o, n) = (o + 1, n + 1);
        } else if most[o + 1][n] == best {
            o += 1;
        } else {
            n += 1;
        }
    }
    same
}

/// Ids of those who are moved.
pub(crate) fn moved(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let same = same_heats(before, after);
    let is_moved = |id: &&String| {
        let heat = after.heat(id).and_then(|heat| same[heat]);
        before.heat(id).is_none() || heat != before.heat(id) || !other_bars(before, after, id).is_empty()
    };
    after.named.athletes.iter().filter(is_moved).cloned().collect()
}

/// The work to come for which somebody has another bar: before, and after.
fn other_bars<'a>(before: Side<'a>, after: Side<'a>, id: &str) -> Vec<(Stage, &'a str, &'a str)> {
    let old = before.bouts(id);
    let now = after.named.floor.now_s;
    let to_come = after.bouts(id).into_iter().filter(|(_, (start, _))| *start >= now);
    let other = to_come.filter_map(|(stage, (_, bar))| Some((stage, old.get(&stage)?.1?, bar?)));
    other.filter(|(_, old, new)| old != new).collect()
}

/// All changes, in the order in which they are read out.
pub(crate) fn changes(before: Side<'_>, after: Side<'_>, gone: &[&str], words: &Words) -> Vec<ChangeDoc> {
    let same = same_heats(before, after);
    let mut told = Told { words, changes: Vec::new() };
    people(before, after, &same, &mut told);
    for id in gone.iter().filter(|id| before.bouts(id).len() == after.bouts(id).len()) {
        let who = words.person(id);
        told.say("people", &[id], format!("{who} has started the last of their work: nothing is left to take off"));
    }
    starts(before, after, &same, &mut told);
    bars(before, after, &mut told);
    end(before, after, &mut told);
    told.changes
}

struct Told<'a> {
    words: &'a Words,
    changes: Vec<ChangeDoc>,
}

impl Told<'_> {
    fn say(&mut self, about: &str, athletes: &[&str], text: String) {
        let athletes = athletes.iter().map(|id| (*id).to_owned()).collect();
        self.changes.push(ChangeDoc { about: about.into(), athletes, text: text + "." });
    }
}

fn people(before: Side<'_>, after: Side<'_>, same: &[Option<usize>], told: &mut Told<'_>) {
    let words = told.words;
    for heat in 0..before.layout.starts.len() {
        let lost: Vec<&str> = before.members(heat).into_iter().filter(|id| after.heat(id).is_none()).collect();
        if !lost.is_empty() {
            told.say("people", &lost, format!("Heat {} loses {}", heat + 1, words.people(&lost)));
        }
    }
    for id in &after.named.athletes {
        let (old, new) = (before.bouts(id), after.bouts(id));
        if let (true, Some((last, _))) = (new.len() < old.len(), new.last_key_value()) {
            told.say("people", &[id], format!("{} stops after {}", words.person(id), words.stage(*last)));
        }
    }
    let mut ways: BTreeMap<(Option<usize>, usize), Vec<&str>> = BTreeMap::new();
    for id in &after.named.athletes {
        let (from, Some(to)) = (before.heat(id), after.heat(id)) else { continue };
        if from.is_none() || same[to] != from {
            ways.entry((from, to)).or_default().push(id);
        }
    }
    for ((from, to), who) in ways {
        let there = match same[to] {
            None => format!("the new heat {}", to + 1),
            Some(old) if old != to => format!("heat {}, now heat {}", old + 1, to + 1),
            Some(_) => format!("heat {}", to + 1),
        };
        let people = words.people(&who);
        match from {
            Some(from) => {
                let go = if who.len() == 1 { "goes" } else { "go" };
                told.say("people", &who, format!("{people} {go} from heat {} to {there}", from + 1));
            }
            None if before.layout.starts.is_empty() => {}
            None => {
                let join = if who.len() == 1 { "joins" } else { "join" };
                told.say("people", &who, format!("{people} {join} {there}"));
            }
        }
    }
    let left_out: Vec<String> =
        (0..before.layout.starts.len()).filter(|h| !same.contains(&Some(*h))).map(|h| (h + 1).to_string()).collect();
    if let Some(numbers) = and(&left_out) {
        let (heats, are) = if left_out.len() == 1 { ("Heat", "is") } else { ("Heats", "are") };
        told.say("heats", &[], format!("{heats} {numbers} {are} left out"));
    }
    for (new, old) in same.iter().enumerate() {
        if let Some(old) = old.filter(|old| *old != new) {
            told.say("heats", &[], format!("Heat {} is called heat {} from now on", old + 1, new + 1));
        }
    }
}

/// A stage, and by how many seconds its start is later from there on.
type Shift = (Stage, i64);

fn starts(before: Side<'_>, after: Side<'_>, same: &[Option<usize>], told: &mut Told<'_>) {
    let now = after.named.floor.now_s;
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for (heat, old) in same.iter().enumerate() {
        let new_starts = after.starts(heat);
        let Some(old) = old else {
            let first = new_starts.values().min().copied().unwrap_or(0);
            told.say("starts", &[], format!("Heat {} starts at {}", heat + 1, clock(first)));
            continue;
        };
        let old_starts = before.starts(*old);
        let to_come = new_starts.iter().filter(|(_, start)| **start >= now);
        let shifts: Vec<Shift> = to_come
            .filter_map(|(stage, start)| Some((*stage, i64::from(*start) - i64::from(*old_starts.get(stage)?))))
            .collect();
        let begun = new_starts.values().any(|start| *start < now);
        if let Some(shift) = shifted(told.words, &shifts, begun) {
            let number = (heat + 1).to_string();
            match alike.iter_mut().find(|(known, _)| *known == shift) {
                Some((_, heats)) => heats.push(number),
                None => alike.push((shift, vec![number])),
            }
        }
    }
    for (shift, heats) in alike {
        let (one, many) = shift.split_once('|').unwrap_or((&shift, &shift));
        let numbers = and(&heats).unwrap_or_default();
        let text = if heats.len() == 1 { format!("Heat {numbers}{one}") } else { format!("Heats {numbers}{many}") };
        told.say("starts", &[], text);
    }
}

/// How a heat is shifted, for one heat and, after a bar, for several; none where it is not.
fn shifted(words: &Words, shifts: &[Shift], begun: bool) -> Option<String> {
    let mut runs: Vec<Shift> = Vec::new();
    for shift in shifts {
        if runs.last().is_none_or(|last| last.1 != shift.1) {
            runs.push(*shift);
        }
    }
    match runs.as_slice() {
        [] | [(_, 0)] => None,
        [(_, by)] => {
            let by = later(*by);
            Some(if begun { format!(" goes on {by}| go on {by}") } else { format!(" starts {by}| start {by}") })
        }
        few if few.len() <= 4 => {
            let moving = few.iter().enumerate().skip_while(|(_, (_, by))| *by == 0);
            let told: Vec<String> = moving
                .map(|(at, (stage, by))| {
                    let by = if *by == 0 { "as planned".to_owned() } else { later(*by) };
                    if at == 0 && !begun {
                        format!("starts {by}")
                    } else {
                        format!("{by} from {}", words.stage(*stage))
                    }
                })
                .collect();
            Some(format!(": {}", told.join(", ")))
        }
        _ => {
            let (first, _) = shifts.iter().find(|(_, by)| *by != 0)?;
            let (least, most) = (shifts.iter().map(|s| s.1).min()?, shifts.iter().map(|s| s.1).max()?);
            let span = match (least, most) {
                (least, most) if least >= 0 => format!("up to {}", later(most)),
                (least, most) if most <= 0 => format!("up to {}", later(least)),
                (least, most) => format!("{} to {}", later(least), later(most)),
            };
            Some(format!(": new times from {} on, {span}", words.stage(*first)))
        }
    }
}

fn later(seconds: i64) -> String {
    let by = clock(u32::try_from(seconds.unsigned_abs()).unwrap_or(u32::MAX));
    if seconds < 0 { format!("{by} earlier") } else { format!("{by} later") }
}

fn bars(before: Side<'_>, after: Side<'_>, told: &mut Told<'_>) {
    let now = after.named.floor.now_s;
    let mut alike: Vec<(String, Vec<&str>)> = Vec::new();
    for id in &after.named.athletes {
        let others = other_bars(before, after, id);
        let to_come: Vec<Stage> = after
            .bouts(id)
            .into_iter()
            .filter(|(_, (start, bar))| *start >= now && bar.is_some())
            .map(|(stage, _)| stage)
            .collect();
        let mut runs: Vec<(usize, usize, &str, &str)> = Vec::new();
        for (stage, old, new) in others {
            let at = to_come.iter().position(|own| *own == stage).unwrap_or(0);
            match runs.last_mut() {
                Some((_, last, o, n)) if (*o, *n) == (old, new) && *last + 1 == at => *last = at,
                _ => runs.push((at, at, old, new)),
            }
        }
        let has_done = after.bouts(id).values().any(|(start, bar)| *start < now && bar.is_some());
        let words = told.words;
        let said: Vec<String> = match runs.as_slice() {
            [(first, ..), _, _, ..] => {
                vec![format!("other bars from {} on: see the bar sheet", words.stage(to_come[*first]))]
            }
            few => few
                .iter()
                .map(|&(first, last, old, new)| {
                    let whole = first == 0 && last + 1 == to_come.len() && !has_done;
                    let (from, to) = (to_come[first], to_come[last]);
                    let when = match (first == last, last + 1 == to_come.len()) {
                        _ if whole => String::new(),
                        (true, _) => format!(" for {}", words.stage(from)),
                        (false, true) => format!(" from {}", words.stage(from)),
                        (false, false) if from.0 == to.0 => format!(" for {}", words.stages(from, to.1)),
                        (false, false) => format!(" from {} to {}", words.stage(from), words.stage(to)),
                    };
                    format!("bar {new} instead of {old}{when}")
                })
                .collect(),
        };
        let Some(said) = and(&said) else { continue };
        match alike.iter_mut().find(|(known, _)| *known == said) {
            Some((_, who)) => who.push(id),
            None => alike.push((said, vec![id])),
        }
    }
    for (said, who) in alike {
        let take = if who.len() == 1 { "takes" } else { "take" };
        let text = format!("{} {take} {said}", told.words.people(&who));
        told.say("bars", &who, text);
    }
}

fn end(before: Side<'_>, after: Side<'_>, told: &mut Told<'_>) {
    let finish = after.named.floor.finish_s(after.layout);
    let text = match before.layout.starts.is_empty() {
        true => format!("Ends at {}", clock(finish)),
        false => match i64::from(finish) - i64::from(before.named.floor.finish_s(before.layout)) {
            0 => format!("Ends at {}, as before", clock(finish)),
            by => format!("Ends at {}, {}", clock(finish), later(by)),
        },
    };
    told.say("end", &[], text);
}
