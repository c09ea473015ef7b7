//! A heats case in the host's types, and the host's answer in the case's.

use classwright_sdk::{NONE, heats};
use classwright_training::Mass;
use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorBar, FloorStock, HeatsAnswer, Layout, Taken};

/// The floor of a question.
pub(super) fn floor(question: &heats::Question) -> Floor {
    let text = |position: u32| question.texts[position as usize].clone();
    let pairs = |list: &[heats::Pair]| list.iter().map(|pair| (pair.first, pair.second)).collect();
    let plates = |row: &heats::Loading| question.plates[row.first as usize..(row.first + row.count) as usize].to_vec();
    Floor {
        window_s: question.window_s,
        now_s: question.now_s,
        start_step_s: question.start_step_s,
        coach_span: question.coach_span,
        max_heats: question.max_heats,
        setup_fixed_s: question.setup_fixed_s,
        setup_pair_s: question.setup_pair_s,
        stage_count: question.stage_count,
        athletes: question
            .athletes
            .iter()
            .map(|a| FloorAthlete { ready_s: a.ready_s, first_bout: a.first_bout, bout_count: a.bout_count })
            .collect(),
        bouts: (0..).zip(&question.bouts).map(|(number, row)| bout(question, number, row)).collect(),
        stock: question.stock.iter().map(|row| FloorStock { name: text(row.kit), count: row.count }).collect(),
        bar_types: question.bar_types.iter().map(|row| (text(row.name), Mass::from_grams(row.mass_g))).collect(),
        bars: (0..)
            .zip(&question.bars)
            .map(|(number, row): (u32, &heats::Bar)| FloorBar {
                id: format!("bar-{number}"),
                bar_type: row.bar_type,
                free_from_s: row.free_from_s,
                loading: row.loading,
            })
            .collect(),
        loadings: question.loadings.iter().map(plates).collect(),
        plates: question.plate_stock.iter().map(|row| (Mass::from_grams(row.mass_g), row.pairs)).collect(),
        taken: question
            .taken
            .iter()
            .map(|row| Taken {
                stock: known(row.kit),
                plate: known(row.plate),
                count: row.count,
                from_s: row.from_s,
                to_s: row.to_s,
            })
            .collect(),
        together: pairs(&question.together),
        apart: pairs(&question.apart),
        present: question.present.as_ref().map(|layout| present(question, layout)),
    }
}

/// The host's answer, in the contract's records.
pub(super) fn answer(question: &heats::Question, answer: HeatsAnswer) -> heats::Answer {
    let Layout { heat_of, starts, bar_of } = answer.plan;
    let mut rows = Vec::with_capacity(starts.len() * question.stage_count as usize);
    rows.extend(starts.iter().flatten().map(|start| start.unwrap_or(NONE)));
    heats::Answer {
        plan: heats::Layout {
            heat_count: starts.len() as u32,
            heat_of,
            starts: rows,
            bar_of: bar_of.into_iter().map(|bar| bar.unwrap_or(NONE)).collect(),
        },
        lower_bound_s: answer.lower_bound_s,
        optimal: u32::from(answer.optimal),
    }
}

fn known(number: u32) -> Option<u32> {
    (number != NONE).then_some(number)
}

fn bout(question: &heats::Question, number: u32, row: &heats::Bout) -> Bout {
    Bout {
        athlete: row.athlete,
        stage: row.stage,
        duration_s: row.duration_s,
        shortest_s: row.shortest_s,
        longest_s: row.longest_s,
        rest_least_s: row.rest_least_s,
        rest_most_s: known(row.rest_most_s),
        watch: row.watch,
        bar: known(row.bar_type).zip(known(row.loading)),
        claims: question.claims.iter().filter(|claim| claim.bout == number).map(|c| (c.kit, c.count)).collect(),
    }
}

fn present(question: &heats::Question, layout: &heats::Layout) -> Layout {
    let stages = question.stage_count.max(1) as usize;
    Layout {
        heat_of: layout.heat_of.clone(),
        starts: layout.starts.chunks(stages).map(|row| row.iter().map(|start| known(*start)).collect()).collect(),
        bar_of: layout.bar_of.iter().map(|bar| known(*bar)).collect(),
    }
}
