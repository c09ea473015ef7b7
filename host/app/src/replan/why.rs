//! What holds a class up, and what one more would give: counted second by second, and planned again; never guessed.
//!
//! Of all kit that work to come needs and that is used up entirely at some time there is one more, each by itself;
//! then one more heat, one more in the coach's span, and shorter least rests where a rest may be of several lengths. The same question is asked with the same effort, around the same present
//! plan; what is gained is counted from the earliest end found as things are. A plan that holds with less holds with
//! more, so that nothing ever gives less than nothing.

use classwright_planning::floor::bar_uses;
use classwright_training::floor::Floor;

use super::answer::{Asking, Found};
use super::happened::{in_service, started, with_more_bars};
use super::words;
use crate::document::{BindsDoc, GivesDoc, NamedFloor, OUT_OF_SERVICE_S, WhyDoc};

/// What is taken off every least rest.
const LESS_REST_S: u32 = 120;

/// Something there is so many of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    Coach,
    Stock(usize),
    Bars(u32),
    Plates(usize),
}

/// What binds in a plan, and what more would give.
pub(super) fn why(asking: &Asking<'_>, found: &Found) -> WhyDoc {
    let binding = binding(found);
    let from_s = found.earliest_s;
    let mut gives: Vec<GivesDoc> = relaxed(&found.named, &binding)
        .into_iter()
        .map(|(change, named)| match asking.plan(&named) {
            Ok(then) if !then.by_host => {
                let finish_s = from_s.min(then.named.floor.finish_s(&then.layout));
                let lower_bound_s = then.lower_bound_s.filter(|bound| !then.optimal && *bound < finish_s);
                GivesDoc { change, finish_s: Some(finish_s), gives_s: from_s - finish_s, lower_bound_s }
            }
            _ => GivesDoc { change, finish_s: None, gives_s: 0, lower_bound_s: None },
        })
        .collect();
    gives.sort_by_key(|gives| std::cmp::Reverse(gives.gives_s));
    let mut binds: Vec<BindsDoc> = binding.into_iter().map(|(_, binds)| binds).collect();
    binds.sort_by_key(|binds| std::cmp::Reverse(binds.total_s));
    WhyDoc { binds, from_s, gives }
}

/// So many in use from one second until before another.
type Use = (u32, u32, u32);

fn binding(found: &Found) -> Vec<(What, BindsDoc)> {
    let (floor, layout) = (&found.named.floor, &found.layout);
    let start = |bout: usize| {
        let it = &floor.bouts[bout];
        let start = layout.starts[layout.heat_of[it.athlete as usize] as usize][it.stage as usize].unwrap_or(0);
        (start, start + it.duration_s)
    };
    let each = |count: &dyn Fn(usize) -> u32| -> Vec<Use> {
        (0..floor.bouts.len()).map(|bout| (start(bout).0, start(bout).1, count(bout))).collect()
    };
    let finish = floor.finish_s(layout);
    let mut binding = Vec::new();
    let mut put = |what: What, name: String, there: u32, uses: Vec<Use>| {
        // What nobody needs any more keeps nobody waiting.
        if !(0..floor.bouts.len()).any(|bout| !started(floor, bout) && needs(floor, bout, what)) {
            return;
        }
        let spans_s = used_up(&uses, there, floor.now_s, finish);
        let total_s = spans_s.iter().map(|[from, to]| to - from).sum();
        if total_s > 0 {
            binding.push((what, BindsDoc { what: name, there, total_s, spans_s }));
        }
    };
    put(What::Coach, "the coach's eye".into(), floor.coach_span, each(&|bout| floor.bouts[bout].watch));
    for (row, stock) in floor.stock.iter().enumerate() {
        let claimed = |bout: usize| {
            floor.bouts[bout].claims.iter().filter(|claim| claim.0 as usize == row).map(|claim| claim.1).sum()
        };
        let mut uses = each(&claimed);
        let others = floor.taken.iter().filter(|taken| taken.stock == Some(row as u32));
        uses.extend(others.map(|taken| (taken.from_s, taken.to_s, taken.count)));
        put(What::Stock(row), words::kit(&stock.name), stock.count, uses);
    }
    let turns = bar_uses(floor, layout);
    for (kind, (name, _)) in (0..).zip(&floor.bar_types) {
        let own: Vec<usize> = in_service(floor, kind).collect();
        let busy = turns.iter().filter(|turn| own.contains(&(turn.bar as usize)));
        let mut uses: Vec<Use> = busy.map(|turn| (turn.setup_from_s, turn.end_s, 1)).collect();
        uses.extend(own.iter().map(|bar| (0, floor.bars[*bar].free_from_s, 1)));
        put(What::Bars(kind), name.clone(), own.len() as u32, uses);
    }
    for (plate, (mass, pairs)) in floor.plates.iter().enumerate() {
        let mut uses = plate_uses(floor, &turns, plate as u32);
        let others = floor.taken.iter().filter(|taken| taken.plate == Some(plate as u32));
        uses.extend(others.map(|taken| (taken.from_s, taken.to_s, taken.count)));
        put(What::Plates(plate), format!("{mass} plate"), *pairs, uses);
    }
    binding
}

/// Whether a bout takes any of something.
fn needs(floor: &Floor, bout: usize, what: What) -> bool {
    let it = &floor.bouts[bout];
    match what {
        What::Coach => it.watch > 0,
        What::Stock(row) => it.claims.iter().any(|claim| claim.0 as usize == row && claim.1 > 0),
        What::Bars(kind) => it.bar.is_some_and(|(own, _)| own == kind),
        What::Plates(plate) => {
            it.bar.is_some_and(|(_, loading)| floor.loadings[loading as usize].iter().any(|own| *own as usize == plate))
        }
    }
}

fn plate_uses(floor: &Floor, turns: &[classwright_planning::floor::BarUse], plate: u32) -> Vec<Use> {
    let on = |loading: u32| floor.loadings[loading as usize].iter().filter(|own| **own == plate).count() as u32;
    let mut uses = Vec::new();
    for (at, turn) in turns.iter().enumerate() {
        let free_from_s = floor.bars[turn.bar as usize].free_from_s;
        if (at == 0 || turns[at - 1].bar != turn.bar) && free_from_s < OUT_OF_SERVICE_S {
            uses.push((free_from_s, turn.setup_from_s, on(turn.from_loading)));
        }
        uses.push((turn.setup_from_s, turn.held_until_s, on(turn.to_loading)));
    }
    uses
}

/// When all there are are in use, from now to the end of the plan.
fn used_up(uses: &[Use], there: u32, now: u32, finish: u32) -> Vec<[u32; 2]> {
    let mut steps: Vec<(u32, i64)> = Vec::new();
    for &(from, to, count) in uses.iter().filter(|(from, to, count)| from < to && *count > 0) {
        steps.push((from.clamp(now, finish), i64::from(count)));
        steps.push((to.clamp(now, finish), -i64::from(count)));
    }
    steps.sort_unstable();
    let (mut used, mut spans): (i64, Vec<[u32; 2]>) = (0, Vec::new());
    for (at, (second, step)) in steps.iter().enumerate() {
        used += step;
        let Some((next, _)) = steps.get(at + 1).filter(|(next, _)| next > second) else { continue };
        if there > 0 && used >= i64::from(there) {
            match spans.last_mut() {
                Some(last) if last[1] == *second => last[1] = *next,
                _ => spans.push([*second, *next]),
            }
        }
    }
    spans
}

/// The floor with one more of each thing that binds, and with shorter rests.
fn relaxed(named: &NamedFloor, binding: &[(What, BindsDoc)]) -> Vec<(String, NamedFloor)> {
    let with = |change: &dyn Fn(&mut Floor)| {
        let mut named = named.clone();
        change(&mut named.floor);
        named
    };
    let mut all: Vec<(String, NamedFloor)> = binding
        .iter()
        .filter_map(|(what, binds)| match *what {
            What::Stock(row) => Some((words::one_more(&binds.what), with(&|floor| floor.stock[row].count += 1))),
            What::Bars(kind) => Some((format!("one more {}", binds.what), with_more_bars(named, kind, 1))),
            What::Plates(plate) => {
                Some((format!("one more pair of {}s", binds.what), with(&|floor| floor.plates[plate].1 += 1)))
            }
            What::Coach => None,
        })
        .collect();
    all.push(("one more heat".into(), with(&|floor| floor.max_heats += 1)));
    all.push(("one more in the coach's span".into(), with(&|floor| floor.coach_span += 1)));
    let shorter = with(&|floor| shorter_rests(floor));
    if shorter.floor != named.floor {
        all.push(("two minutes less of every least rest".into(), shorter));
    }
    all
}

/// Takes two minutes off every least rest that is still to come. A rest of one length is the clock of the work, as in
/// a set every so many minutes: that is no matter of less rest, and stays.
fn shorter_rests(floor: &mut Floor) {
    for bout in 0..floor.bouts.len().saturating_sub(1) {
        let it = &floor.bouts[bout];
        if !started(floor, bout + 1) && it.rest_most_s != Some(it.rest_least_s) {
            let it = &mut floor.bouts[bout];
            it.rest_least_s = it.rest_least_s.saturating_sub(LESS_REST_S);
        }
    }
}

#[cfg(test)]
mod tests {
    use classwright_training::floor::{Bout, FloorAthlete, FloorStock};

    use super::*;

    fn floor() -> Floor {
        let bout = |stage, rest_least_s, rest_most_s| Bout {
            athlete: 0,
            stage,
            duration_s: 30,
            shortest_s: 30,
            longest_s: 30,
            rest_least_s,
            rest_most_s,
            watch: 1,
            bar: None,
            claims: vec![(1, 1)],
        };
        Floor {
            stage_count: 3,
            stock: ["chair", "mat"].map(|name| FloorStock { name: name.into(), count: 1 }).to_vec(),
            athletes: vec![FloorAthlete { ready_s: 0, first_bout: 0, bout_count: 3 }],
            bouts: vec![bout(0, 120, Some(120)), bout(1, 180, Some(240)), bout(2, 0, None)],
            ..Floor::default()
        }
    }

    #[test]
    fn a_rest_of_one_length_is_not_made_a_rest_of_many() {
        let mut shorter = floor();
        shorter_rests(&mut shorter);
        let rests: Vec<_> = shorter.bouts.iter().map(|bout| (bout.rest_least_s, bout.rest_most_s)).collect();
        assert_eq!(rests, [(120, Some(120)), (60, Some(240)), (0, None)]);
    }

    #[test]
    fn only_what_a_bout_claims_is_needed() {
        let floor = floor();
        let needed = |what| (0..floor.bouts.len()).any(|bout| needs(&floor, bout, what));
        assert!(needed(What::Coach) && needed(What::Stock(1)));
        assert!(!needed(What::Stock(0)) && !needed(What::Bars(0)) && !needed(What::Plates(0)));
    }

    #[test]
    fn what_is_used_up_is_told_to_the_second() {
        let uses = [(0, 100, 1), (50, 120, 1), (120, 130, 2), (200, u32::MAX, 3)];
        assert_eq!(used_up(&uses, 2, 0, 250), [[50, 100], [120, 130], [200, 250]]);
        assert_eq!(used_up(&uses, 2, 60, 210), [[60, 100], [120, 130], [200, 210]]);
        assert_eq!(used_up(&uses, 4, 0, 250), Vec::<[u32; 2]>::new());
        assert_eq!(used_up(&[(0, 10, 1), (10, 20, 1)], 1, 0, 50), [[0, 20]]);
        assert_eq!(used_up(&uses, 0, 0, 250), Vec::<[u32; 2]>::new(), "what is not there is not used up");
    }
}
