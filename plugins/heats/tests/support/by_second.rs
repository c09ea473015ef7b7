//! The contract's rules second by second: slow, plain, and written without a look at how the policy does it.

use std::collections::BTreeMap;

use classwright_sdk::NONE;
use classwright_sdk::heats::{Layout, Question};

/// What is wrong with a plan, and what it is worth: finish, heats, pairs moved.
pub(crate) fn judge(question: &Question, plan: &Layout) -> (Vec<String>, (u32, u32, u32)) {
    let mut wrong = Vec::new();
    let stages = question.stage_count as usize;
    let start = |bout: usize| {
        let it = &question.bouts[bout];
        plan.starts[plan.heat_of[it.athlete as usize] as usize * stages + it.stage as usize]
    };
    let happened = |bout: usize| {
        let present = question.present.as_ref()?;
        let it = &question.bouts[bout];
        let heat = present.heat_of[it.athlete as usize];
        let start = *present.starts.get((heat as usize).checked_mul(stages)? + it.stage as usize)?;
        (heat < present.heat_count && start < question.now_s).then_some((start, present.bar_of[bout]))
    };
    if plan.heat_of.len() != question.athletes.len() || plan.starts.len() != plan.heat_count as usize * stages {
        return (vec!["lists of the wrong length".into()], (0, 0, 0));
    }
    if plan.heat_count > question.max_heats {
        wrong.push(format!("{} heats", plan.heat_count));
    }
    for heat in 0..plan.heat_count {
        if !plan.heat_of.contains(&heat) {
            wrong.push(format!("heat {heat} is empty"));
        }
        for stage in 0..stages {
            let works = |b: &classwright_sdk::heats::Bout| {
                b.stage as usize == stage && plan.heat_of[b.athlete as usize] == heat
            };
            let starts = plan.starts[heat as usize * stages + stage] != NONE;
            if starts != question.bouts.iter().any(works) {
                wrong.push(format!("heat {heat} stage {stage}: start without work or work without start"));
            }
        }
    }
    if !wrong.is_empty() {
        return (wrong, (0, 0, 0));
    }
    for pair in &question.together {
        if plan.heat_of[pair.first as usize] != plan.heat_of[pair.second as usize] {
            wrong.push("partners apart".into());
        }
    }
    for pair in &question.apart {
        if plan.heat_of[pair.first as usize] == plan.heat_of[pair.second as usize] {
            wrong.push("together though kept apart".into());
        }
    }
    let end = |bout: usize| start(bout) + question.bouts[bout].duration_s;
    let finish = (0..question.bouts.len()).map(end).max().unwrap_or(0);
    for (bout, it) in question.bouts.iter().enumerate() {
        match happened(bout) {
            Some((second, bar)) if (start(bout), plan.bar_of[bout]) != (second, bar) => {
                wrong.push(format!("bout {bout} rewritten"))
            }
            None if start(bout) < question.now_s => wrong.push(format!("bout {bout} in the past")),
            None if start(bout) % question.start_step_s != 0 => wrong.push(format!("bout {bout} off the step")),
            None if start(bout) < question.athletes[it.athlete as usize].ready_s => {
                wrong.push(format!("bout {bout} too early"))
            }
            _ => {}
        }
        let next = bout + 1;
        if question.bouts.get(next).is_some_and(|n| n.athlete == it.athlete) && happened(next).is_none() {
            let rest = i64::from(start(next)) - i64::from(end(bout));
            let most = if it.rest_most_s == NONE { i64::MAX } else { i64::from(it.rest_most_s) };
            if rest < i64::from(it.rest_least_s) || rest > most {
                wrong.push(format!("bout {bout}: rest of {rest}"));
            }
        }
    }
    let moves = bars(question, plan, &start, &end, finish, &mut wrong);
    for second in question.now_s..finish {
        let at_work: Vec<usize> =
            (0..question.bouts.len()).filter(|b| start(*b) <= second && second < end(*b)).collect();
        if at_work.iter().map(|b| question.bouts[*b].watch).sum::<u32>() > question.coach_span {
            wrong.push(format!("second {second}: the coach cannot watch that"));
        }
        for (kit, row) in question.stock.iter().enumerate() {
            let ours = question.claims.iter().filter(|c| c.kit as usize == kit && at_work.contains(&(c.bout as usize)));
            let ours: u32 = ours.map(|c| c.count).sum();
            let others =
                question.taken.iter().filter(|t| t.kit as usize == kit && t.from_s <= second && second < t.to_s);
            if ours > 0 && ours + others.map(|t| t.count).sum::<u32>() > row.count {
                wrong.push(format!("second {second}: kit {kit}"));
            }
        }
    }
    (wrong, (finish, plan.heat_count, moves))
}

/// Walks along each bar; then looks at the plates on all of them at each second.
fn bars(
    question: &Question,
    plan: &Layout,
    start: &impl Fn(usize) -> u32,
    end: &impl Fn(usize) -> u32,
    finish: u32,
    wrong: &mut Vec<String>,
) -> u32 {
    let on = |loading: u32| {
        let it = &question.loadings[loading as usize];
        &question.plates[it.first as usize..][..it.count as usize]
    };
    let mut uses: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (bout, it) in question.bouts.iter().enumerate() {
        let bar = plan.bar_of[bout];
        let right = if it.loading == NONE {
            bar == NONE
        } else {
            question.bars.get(bar as usize).is_some_and(|b| b.bar_type == it.bar_type)
        };
        if !right {
            wrong.push(format!("bout {bout}: bar {bar}"));
        } else if bar != NONE {
            uses.entry(bar).or_default().push(bout);
        }
    }
    let mut held: Vec<(u32, u32, u32)> = Vec::new();
    let mut moves = 0;
    for (bar, mut bouts) in uses {
        bouts.sort_by_key(|b| start(*b));
        let (mut free, mut loading) = (question.bars[bar as usize].free_from_s, question.bars[bar as usize].loading);
        for &bout in &bouts {
            let want = question.bouts[bout].loading;
            let same = on(loading).iter().zip(on(want)).take_while(|(a, b)| a == b).count() as u32;
            let moved = on(loading).len() as u32 + on(want).len() as u32 - 2 * same;
            let change = if moved == 0 { 0 } else { question.setup_fixed_s + moved * question.setup_pair_s };
            if start(bout) < free + change {
                wrong.push(format!("bar {bar}: bout {bout} at {} before {free} + {change}", start(bout)));
                continue;
            }
            // What was on it stays until this change.
            let since = held.last().filter(|_| bout != bouts[0]).map_or(free, |h: &(u32, u32, u32)| h.0);
            if bout != bouts[0] {
                held.pop();
            }
            held.push((since, start(bout) - change, loading));
            held.push((start(bout) - change, end(bout), want));
            (free, loading, moves) = (end(bout), want, moves + moved);
        }
    }
    for (size, row) in question.plate_stock.iter().enumerate() {
        for second in question.now_s..finish {
            let count = |loading: u32| on(loading).iter().filter(|p| **p as usize == size).count() as u32;
            let ours: u32 = held.iter().filter(|h| h.0 <= second && second < h.1).map(|h| count(h.2)).sum();
            let others =
                question.taken.iter().filter(|t| t.plate as usize == size && t.from_s <= second && second < t.to_s);
            if ours > 0 && ours + others.map(|t| t.count).sum::<u32>() > row.pairs {
                wrong.push(format!("second {second}: plates {size}"));
            }
        }
    }
    moves
}
