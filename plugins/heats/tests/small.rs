//! Small floors at random: plans keep every rule, and on tiny ones every plan there is has been looked at.

mod support;

use classwright_heats::Settings;
use classwright_sdk::NONE;
use classwright_sdk::heats::{Layout, Question};
use support::by_second::judge;
use support::random::{Dice, floor};

#[test]
fn plans_of_random_floors_keep_every_rule() {
    let mut dice = Dice(7);
    let (mut planned, mut replanned) = (0, 0);
    for number in 0..200 {
        let mut question = floor(&mut dice, 6, 3);
        let Ok(answer) = classwright_heats::plan(&question, &Settings::default()) else {
            continue;
        };
        planned += 1;
        let (wrong, worth) = judge(&question, &answer.plan);
        assert_eq!(wrong, Vec::<String>::new(), "floor {number}: {question:?}");
        assert!(answer.lower_bound_s <= worth.0, "floor {number}: {} > {}", answer.lower_bound_s, worth.0);
        // Somebody is later than thought: what has happened stays, and the rest is planned anew.
        question.now_s = 100;
        let late = dice.below(question.athletes.len() as u32) as usize;
        question.athletes[late].ready_s += 100;
        question.present = Some(answer.plan);
        let Ok(answer) = classwright_heats::plan(&question, &Settings::default()) else {
            continue;
        };
        replanned += 1;
        let (wrong, worth) = judge(&question, &answer.plan);
        assert_eq!(wrong, Vec::<String>::new(), "floor {number} anew: {question:?}");
        assert!(answer.lower_bound_s <= worth.0, "floor {number} anew: {} > {}", answer.lower_bound_s, worth.0);
    }
    assert!(planned > 150 && replanned > 100, "{planned} planned, {replanned} anew");
}

#[test]
fn no_plan_of_a_tiny_floor_beats_the_bound_and_few_beat_the_policy() {
    let mut dice = Dice(3);
    let (mut looked_at, mut beaten) = (0, 0);
    for number in 0..40 {
        let mut question = floor(&mut dice, 3, 2);
        // All times are tens of seconds, so the earliest end is on the step of ten.
        (question.setup_fixed_s, question.setup_pair_s, question.start_step_s) = (10, 10, 10);
        let answer = classwright_heats::plan(&question, &Settings::default());
        let horizon = answer.as_ref().map_or(300, |answer| judge(&question, &answer.plan).1.0);
        let Some(best) = exhausted(&question, horizon) else {
            assert!(answer.is_err(), "floor {number}: a plan that the full search does not know");
            continue;
        };
        looked_at += 1;
        match answer {
            Ok(answer) => {
                assert!(answer.lower_bound_s <= best.0, "floor {number}: bound {} > {best:?}", answer.lower_bound_s);
                let (wrong, worth) = judge(&question, &answer.plan);
                assert_eq!(wrong, Vec::<String>::new(), "floor {number}");
                assert!(
                    answer.optimal == 0 || worth == best,
                    "floor {number}: {worth:?} is said to be the best of {best:?}"
                );
                beaten += u32::from(worth.0 > best.0);
            }
            Err(_) => beaten += 1,
        }
    }
    assert!(looked_at > 30, "{looked_at}");
    assert!(beaten * 20 <= looked_at, "{beaten} of {looked_at} end later than they could");
}

/// The best of all plans that end by `horizon`, by finish, heats, plates moved.
fn exhausted(question: &Question, horizon: u32) -> Option<(u32, u32, u32)> {
    let mut best = None;
    let mut heat_of = vec![0; question.athletes.len()];
    groupings(question, horizon, &mut heat_of, 0, 0, &mut best);
    best
}

type Best = Option<(u32, u32, u32)>;

fn groupings(question: &Question, horizon: u32, heat_of: &mut Vec<u32>, at: usize, heats: u32, best: &mut Best) {
    if at == heat_of.len() {
        let rows: Vec<Vec<Vec<u32>>> = (0..heats).map(|heat| rows(question, horizon, heat_of, heat)).collect();
        let mut plan = Layout {
            heat_count: heats,
            heat_of: heat_of.clone(),
            starts: vec![],
            bar_of: vec![NONE; question.bouts.len()],
        };
        starts(question, &rows, &mut plan, best);
        return;
    }
    for heat in 0..=heats.min(question.max_heats - 1) {
        heat_of[at] = heat;
        groupings(question, horizon, heat_of, at + 1, heats.max(heat + 1), best);
    }
}

/// All rows of starts of a heat that keep its athletes' rests and the horizon.
fn rows(question: &Question, horizon: u32, heat_of: &[u32], heat: u32) -> Vec<Vec<u32>> {
    let mut rows = vec![vec![]];
    for stage in 0..question.stage_count {
        let mine = |b: &&classwright_sdk::heats::Bout| heat_of[b.athlete as usize] == heat;
        let works = question.bouts.iter().filter(mine).any(|b| b.stage == stage);
        let choices: Vec<u32> = if works { (0..horizon / 10).map(|s| 10 * s).collect() } else { vec![NONE] };
        rows = rows.iter().flat_map(|row: &Vec<u32>| choices.iter().map(move |c| [&row[..], &[*c]].concat())).collect();
        rows.retain(|row| {
            question.bouts.iter().enumerate().filter(|(_, b)| mine(b) && b.stage == stage).all(|(index, bout)| {
                let start = row[stage as usize];
                let before = index.checked_sub(1).map(|i| &question.bouts[i]).filter(|b| b.athlete == bout.athlete);
                let rested = before.is_none_or(|b| {
                    let end = row[b.stage as usize] + b.duration_s;
                    start >= end + b.rest_least_s && start <= end.saturating_add(b.rest_most_s)
                });
                start >= question.athletes[bout.athlete as usize].ready_s
                    && start + bout.duration_s <= horizon
                    && rested
            })
        });
    }
    rows
}

fn starts(question: &Question, rows: &[Vec<Vec<u32>>], plan: &mut Layout, best: &mut Best) {
    let Some((mine, others)) = rows.split_first() else {
        bars(question, plan, 0, best);
        return;
    };
    for row in mine {
        let length = plan.starts.len();
        plan.starts.extend(row);
        if may_still_work(question, plan) {
            starts(question, others, plan, best);
        }
        plan.starts.truncate(length);
    }
}

/// The coach and the kit at the starts so far, so that hopeless plans are left early.
fn may_still_work(question: &Question, plan: &Layout) -> bool {
    let stages = question.stage_count as usize;
    let start = |b: &classwright_sdk::heats::Bout| {
        let at = plan.heat_of[b.athlete as usize] as usize * stages + b.stage as usize;
        plan.starts.get(at).copied()
    };
    let times: Vec<(u32, usize)> =
        question.bouts.iter().enumerate().filter_map(|(i, b)| Some((start(b)?, i))).collect();
    times.iter().all(|&(second, _)| {
        let working = || times.iter().filter(|(s, i)| *s <= second && second < *s + question.bouts[*i].duration_s);
        let watched: u32 = working().map(|(_, i)| question.bouts[*i].watch).sum();
        let kinds = (0..question.bar_types.len() as u32).all(|kind| {
            let needed = working().filter(|(_, i)| question.bouts[*i].bar_type == kind).count();
            needed <= question.bars.iter().filter(|b| b.bar_type == kind).count()
        });
        let claims = question.claims.iter().filter(|c| working().any(|(_, i)| *i == c.bout as usize));
        watched <= question.coach_span && kinds && claims.map(|c| c.count).sum::<u32>() <= question.stock[0].count
    })
}

fn bars(question: &Question, plan: &mut Layout, at: usize, best: &mut Best) {
    let Some(bout) = question.bouts.get(at) else {
        let (wrong, worth) = judge(question, plan);
        if wrong.is_empty() && best.is_none_or(|best| worth < best) {
            *best = Some(worth);
        }
        return;
    };
    if bout.loading == NONE {
        return bars(question, plan, at + 1, best);
    }
    for bar in (0..question.bars.len()).filter(|b| question.bars[*b].bar_type == bout.bar_type) {
        plan.bar_of[at] = bar as u32;
        bars(question, plan, at + 1, best);
    }
    plan.bar_of[at] = NONE;
}
