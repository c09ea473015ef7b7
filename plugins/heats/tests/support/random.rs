//! Small floors at random, the same on every machine.

use classwright_sdk::NONE;
use classwright_sdk::heats::{Athlete, Bar, BarType, Bout, Claim, Pair, PlateStock, Question, StockRow, Taken};

use super::{empty, lay};

pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, most: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as u32) % most
    }
}

/// A floor of up to so many athletes with all that the contract knows, times in tens of seconds.
pub(crate) fn floor(dice: &mut Dice, most_athletes: u32, most_stages: u32) -> Question {
    let (athletes, stages) = (1 + dice.below(most_athletes), 1 + dice.below(most_stages));
    let mut question = Question {
        texts: ["rower", "heavy bar", "light bar"].map(String::from).to_vec(),
        effort: 20_000,
        start_step_s: [1, 5, 10][dice.below(3) as usize],
        coach_span: 1 + dice.below(3),
        max_heats: athletes,
        setup_fixed_s: 4,
        setup_pair_s: 6,
        stage_count: stages,
        stock: vec![StockRow { kit: 0, count: 1 + dice.below(2) }],
        bar_types: vec![BarType { name: 1, mass_g: 20_000 }, BarType { name: 2, mass_g: 15_000 }],
        plate_stock: [20_000, 5_000].map(|mass_g| PlateStock { mass_g, pairs: 2 + dice.below(2) }).to_vec(),
        ..empty()
    };
    lay(&mut question, &[vec![], vec![0], vec![0, 1], vec![1], vec![0, 0]]);
    question.bars = (0..2 + dice.below(2))
        .map(|bar| Bar {
            bar_type: bar % 2,
            free_from_s: 20 * dice.below(3),
            loading: [0, 0, 1][dice.below(3) as usize],
        })
        .collect();
    let exact = dice.below(3) == 0;
    for athlete in 0..athletes {
        let first_bout = question.bouts.len() as u32;
        let kind = dice.below(2);
        let at: Vec<u32> = (0..stages).filter(|_| dice.below(6) > 0).collect();
        for stage in at {
            let duration_s = 20 + 10 * dice.below(5);
            let rest_least_s = if exact { 120 - duration_s } else { 10 * dice.below(4) };
            let loose = if dice.below(2) == 0 { rest_least_s + 60 } else { NONE };
            let bar = dice.below(2) == 0;
            let number = question.bouts.len() as u32;
            question.bouts.push(Bout {
                athlete,
                stage,
                duration_s,
                shortest_s: duration_s,
                longest_s: duration_s,
                rest_least_s,
                rest_most_s: if exact { rest_least_s } else { loose },
                watch: u32::from(dice.below(4) > 0),
                bar_type: if bar { kind } else { NONE },
                loading: if bar { dice.below(5) } else { NONE },
            });
            if !bar {
                question.claims.push(Claim { bout: number, kit: 0, count: 1 });
            }
        }
        let bout_count = question.bouts.len() as u32 - first_bout;
        question.athletes.push(Athlete { ready_s: 30 * dice.below(3), first_bout, bout_count });
    }
    if athletes > 1 && dice.below(4) == 0 {
        question.together = vec![Pair { first: 0, second: 1 }];
    }
    if athletes > 2 && dice.below(4) == 0 {
        question.apart = vec![Pair { first: 1, second: 2 }];
    }
    if dice.below(3) == 0 {
        question.taken = vec![Taken { kit: 0, plate: NONE, count: 1, from_s: 50, to_s: 90 }];
    }
    if dice.below(4) == 0 {
        question.taken.push(Taken { kit: NONE, plate: 0, count: 1, from_s: 0, to_s: 100 });
    }
    question
}
