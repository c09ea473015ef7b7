//! Whether a floor plan keeps the rules of its question, and what it is worth.
//!
//! Written from the contract alone and apart from the host's own check, which decides: an author sees here, without
//! the host, what the host would refuse. Lists every broken rule it finds, in the order of the rules.

use crate::NONE;
use crate::heats::{Layout, Question};

/// What a plan is worth, in the order in which plans are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Worth {
    pub(super) finish_s: u32,
    pub(super) moves: u32,
    pub(super) changed_athletes: u32,
}

/// One bout on one bar.
struct Use {
    start: u32,
    end: u32,
    bout: usize,
    loading: u32,
}

/// The rules that a plan breaks; empty where it keeps all.
pub fn faults(question: &Question, plan: &Layout) -> Vec<String> {
    let mut faults = shape(question, plan);
    if !faults.is_empty() {
        return faults;
    }
    heats(question, plan, &mut faults);
    times(question, plan, &mut faults);
    if !faults.is_empty() {
        return faults;
    }
    watch_and_stock(question, plan, &mut faults);
    bars_and_plates(question, plan, &mut faults);
    present(question, plan, &mut faults);
    faults
}

pub(super) fn worth(question: &Question, plan: &Layout) -> Worth {
    let ends = (0..question.bouts.len()).map(|bout| span(question, plan, bout).1);
    let moves = (0..question.bars.len()).map(|bar| {
        let mut present = question.bars[bar].loading;
        let moved = |used: &Use| {
            let moved = moves(question, present, used.loading);
            present = used.loading;
            moved
        };
        uses(question, plan, bar).iter().map(moved).sum::<u32>()
    });
    let changed = |athlete: &usize| {
        let Some(before) = &question.present else { return false };
        let theirs = &question.athletes[*athlete];
        let bouts = theirs.first_bout as usize..(theirs.first_bout + theirs.bout_count) as usize;
        before.heat_of.get(*athlete) != plan.heat_of.get(*athlete)
            || bouts.into_iter().any(|bout| before.bar_of.get(bout) != plan.bar_of.get(bout))
    };
    Worth {
        finish_s: ends.max().unwrap_or(0),
        moves: moves.sum(),
        changed_athletes: (0..question.athletes.len()).filter(changed).count() as u32,
    }
}

/// Lengths and positions; nothing else can be read where these are wrong.
fn shape(question: &Question, plan: &Layout) -> Vec<String> {
    let mut faults = Vec::new();
    let lengths = [
        ("heat-of", plan.heat_of.len(), question.athletes.len()),
        ("starts", plan.starts.len(), plan.heat_count as usize * question.stage_count as usize),
        ("bar-of", plan.bar_of.len(), question.bouts.len()),
    ];
    for (list, got, wanted) in lengths.into_iter().filter(|(_, got, wanted)| got != wanted) {
        faults.push(format!("{list} holds {got}, not {wanted}"));
    }
    if plan.heat_of.iter().any(|&heat| heat >= plan.heat_count) {
        faults.push("an athlete is in a heat that is not there".into());
    }
    if plan.bar_of.iter().any(|&bar| bar != NONE && bar as usize >= question.bars.len()) {
        faults.push("a bout has a bar that is not there".into());
    }
    faults
}

fn heats(question: &Question, plan: &Layout, faults: &mut Vec<String>) {
    if plan.heat_count > question.max_heats {
        faults.push(format!("{} heats, at most {}", plan.heat_count, question.max_heats));
    }
    for heat in (0..plan.heat_count).filter(|heat| !plan.heat_of.contains(heat)) {
        faults.push(format!("heat {heat} is empty"));
    }
    let heat = |athlete: u32| plan.heat_of[athlete as usize];
    for pair in question.together.iter().filter(|pair| heat(pair.first) != heat(pair.second)) {
        faults.push(format!("athletes {} and {} are not in one heat", pair.first, pair.second));
    }
    for pair in question.apart.iter().filter(|pair| heat(pair.first) == heat(pair.second)) {
        faults.push(format!("athletes {} and {} are in one heat", pair.first, pair.second));
    }
}

fn times(question: &Question, plan: &Layout, faults: &mut Vec<String>) {
    for (bout, asked) in question.bouts.iter().enumerate() {
        let start = start(question, plan, bout);
        if start == NONE {
            faults.push(format!("bout {bout} does not start"));
            continue;
        }
        if !start.is_multiple_of(question.start_step_s.max(1)) && start >= question.now_s {
            faults.push(format!("bout {bout} starts at {start} s, off the step"));
        }
        let athlete = &question.athletes[asked.athlete as usize];
        if bout as u32 == athlete.first_bout {
            // What has begun is told as it was.
            if start < athlete.ready_s && start >= question.now_s {
                faults.push(format!("bout {bout} starts at {start} s, ready at {} s", athlete.ready_s));
            }
            continue;
        }
        let (_, before_ended) = span(question, plan, bout - 1);
        let before = &question.bouts[bout - 1];
        let rest = i64::from(start) - i64::from(before_ended);
        if rest < i64::from(before.rest_least_s) || (before.rest_most_s != NONE && rest > before.rest_most_s.into()) {
            faults.push(format!("rest of {rest} s before bout {bout}"));
        }
    }
}

fn watch_and_stock(question: &Question, plan: &Layout, faults: &mut Vec<String>) {
    let all = || (0..question.bouts.len()).map(|bout| (span(question, plan, bout), bout));
    let watch = all().map(|((from, to), bout)| (from, to, question.bouts[bout].watch));
    peak(watch.collect(), question.coach_span, "the coach's span", faults);
    for (kit, row) in (0..).zip(&question.stock) {
        let claims = question.claims.iter().filter(|claim| claim.kit == kit).map(|claim| {
            let (from, to) = span(question, plan, claim.bout as usize);
            (from, to, claim.count)
        });
        let taken = question.taken.iter().filter(|taken| taken.kit == kit).map(|t| (t.from_s, t.to_s, t.count));
        peak(claims.chain(taken).collect(), row.count, &question.texts[row.kit as usize], faults);
    }
}

fn bars_and_plates(question: &Question, plan: &Layout, faults: &mut Vec<String>) {
    for (bout, (&got, asked)) in plan.bar_of.iter().zip(&question.bouts).enumerate() {
        let fits = match question.bars.get(got as usize) {
            Some(bar) => bar.bar_type == asked.bar_type,
            None => asked.bar_type == NONE,
        };
        if !fits {
            faults.push(format!("bout {bout} has no bar of its type, or one it does not need"));
        }
    }
    // Held plates of every bar, from the set-up for a use until the set-up for the next.
    let mut held: Vec<(u32, u32, u32)> = Vec::new();
    for (number, bar) in question.bars.iter().enumerate() {
        let (mut loading, mut free) = (bar.loading, bar.free_from_s);
        let mut since = 0;
        for used in uses(question, plan, number) {
            let setup = setup_s(question, loading, used.loading);
            let begins = used.start.saturating_sub(setup);
            if used.start < free + setup {
                faults.push(format!(
                    "bar {number} is not ready for bout {}: free at {free} s, set-up {setup} s",
                    used.bout
                ));
            }
            held.push((since, begins, loading));
            (loading, free, since) = (used.loading, used.end, begins);
        }
        // After its last bout a bar is put away; one that is never used keeps what is on it until it is free.
        held.push((since, free, loading));
    }
    for (plate, stock) in (0..).zip(&question.plate_stock) {
        let count = |loading: u32| plates(question, loading).iter().filter(|&&known| known == plate).count() as u32;
        let held = held.iter().map(|&(from, to, loading)| (from, to, count(loading)));
        let taken = question.taken.iter().filter(|taken| taken.plate == plate).map(|t| (t.from_s, t.to_s, t.count));
        peak(held.chain(taken).collect(), stock.pairs, &format!("pairs of {} g plates", stock.mass_g), faults);
    }
}

fn present(question: &Question, plan: &Layout, faults: &mut Vec<String>) {
    let Some(before) = &question.present else { return };
    for bout in 0..question.bouts.len() {
        let began = start(question, before, bout);
        if began != NONE && began < question.now_s {
            let same = began == start(question, plan, bout) && before.bar_of.get(bout) == plan.bar_of.get(bout);
            if !same {
                faults.push(format!("bout {bout} has begun and is moved"));
            }
        }
    }
}

fn start(question: &Question, plan: &Layout, bout: usize) -> u32 {
    let asked = &question.bouts[bout];
    let heat = plan.heat_of.get(asked.athlete as usize).copied().unwrap_or(NONE);
    let at = u64::from(heat) * u64::from(question.stage_count) + u64::from(asked.stage);
    usize::try_from(at).ok().and_then(|at| plan.starts.get(at)).copied().unwrap_or(NONE)
}

fn span(question: &Question, plan: &Layout, bout: usize) -> (u32, u32) {
    let start = start(question, plan, bout);
    (start, start.saturating_add(question.bouts[bout].duration_s))
}

/// The bouts on a bar, in the order of their starts.
fn uses(question: &Question, plan: &Layout, bar: usize) -> Vec<Use> {
    let on_it = plan.bar_of.iter().enumerate().filter(|(_, got)| **got as usize == bar);
    let mut uses: Vec<Use> = on_it
        .map(|(bout, _)| {
            let (start, end) = span(question, plan, bout);
            Use { start, end, bout, loading: question.bouts[bout].loading }
        })
        .collect();
    uses.sort_by_key(|used| (used.start, used.end));
    uses
}

fn plates(question: &Question, loading: u32) -> &[u32] {
    match question.loadings.get(loading as usize) {
        Some(row) => &question.plates[row.first as usize..(row.first + row.count) as usize],
        None => &[],
    }
}

/// Pairs put on or taken off: all but the common inner ones.
fn moves(question: &Question, from: u32, to: u32) -> u32 {
    let (from, to) = (plates(question, from), plates(question, to));
    let common = from.iter().zip(to).take_while(|(a, b)| a == b).count();
    (from.len() + to.len() - 2 * common) as u32
}

fn setup_s(question: &Question, from: u32, to: u32) -> u32 {
    match moves(question, from, to) {
        0 => 0,
        moved => question.setup_fixed_s + moved * question.setup_pair_s,
    }
}

/// A fault where claims together are ever above what there is.
fn peak(claims: Vec<(u32, u32, u32)>, most: u32, what: &str, faults: &mut Vec<String>) {
    let mut steps: Vec<(u32, i64)> = Vec::new();
    for (from, to, count) in claims.into_iter().filter(|(from, to, count)| from < to && *count > 0) {
        steps.extend([(from, i64::from(count)), (to, -i64::from(count))]);
    }
    // What ends at a second is back before what starts at it.
    steps.sort_unstable();
    let mut held = 0;
    for (second, step) in steps {
        held += step;
        if held > i64::from(most) {
            faults.push(format!("{what}: {held} at {second} s, there are {most}"));
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cases::FloorCase;

    /// Two people, one bar: the first with two pairs of plates, the second with the empty bar.
    const FLOOR: &str = r#"
        title = "one bar"
        [floor]
        window-s = 600
        coach-span = 1
        max-heats = 2
        setup-fixed-s = 10
        setup-pair-s = 5
        plates = [{ kg = 10, pairs = 1 }, { kg = 5, pairs = 1 }]
        bar-types = [{ name = "bar-20", kg = 20 }]
        bars = [{ type = "bar-20" }]
        stock = { lane = 1 }
        [[floor.athletes]]
        ready-s = 20
        bouts = [
          { seconds = 60, rest-s = [60, 90], bar = "bar-20", plates = [10, 5], claims = { lane = 1 } },
          { seconds = 30 },
        ]
        [[floor.athletes]]
        bouts = [{ seconds = 60, bar = "bar-20", claims = { lane = 1 } }]
        [expect]
        finish-s-at-most = 175
    "#;

    /// Breaks one rule.
    type Change = fn(&mut Layout);

    /// The second athlete's set-up of 20 s takes the plates off: 80 + 20 = 100 at the earliest, after the first's 20.
    fn plan() -> Layout {
        Layout { heat_count: 2, heat_of: vec![0, 1], starts: vec![20, 165, 100, NONE], bar_of: vec![0, NONE, 0] }
    }

    fn found(change: impl FnOnce(&mut Layout)) -> String {
        let question = FloorCase::parse(FLOOR).expect("the floor is well formed").question;
        let mut plan = plan();
        change(&mut plan);
        faults(&question, &plan).join("; ")
    }

    #[test]
    fn a_plan_that_keeps_the_rules_has_no_faults() {
        assert_eq!(found(|_| {}), "");
        let question = FloorCase::parse(FLOOR).expect("the floor is well formed").question;
        assert_eq!(worth(&question, &plan()), Worth { finish_s: 195, moves: 4, changed_athletes: 0 });
    }

    /// Running over is told to the coach, and no fault of the plan.
    #[test]
    fn a_plan_may_end_after_the_class() {
        assert_eq!(found(|plan| plan.starts[2] = 590), "");
    }

    #[test]
    fn every_rule_can_be_broken() {
        let broken: [(&str, Change); 9] = [
            ("starts holds 3, not 4", |plan| plan.starts.truncate(3)),
            ("a heat that is not there", |plan| plan.heat_of[1] = 2),
            ("a bar that is not there", |plan| plan.bar_of[0] = 1),
            ("heat 1 is empty", |plan| (plan.heat_of[1], plan.starts[2]) = (0, NONE)),
            ("ready at 20 s", |plan| plan.starts[0] = 10),
            ("rest of 50 s", |plan| plan.starts[1] = 130),
            ("rest of 100 s", |plan| plan.starts[1] = 180),
            ("not ready for bout 2", |plan| plan.starts[2] = 99),
            ("no bar of its type", |plan| plan.bar_of[1] = 0),
        ];
        for (words, change) in broken {
            let found = found(change);
            assert!(found.contains(words), "`{found}` does not say `{words}`");
        }
        assert!(found(|plan| plan.starts[2] = 70).contains("lane: 2 at 70 s"));
        assert!(found(|plan| plan.starts[2] = 70).contains("the coach's span: 2"));
    }
}
