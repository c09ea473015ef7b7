//! The same floor told in the same order, whoever is named first: athletes by what they do, so that relabelling them
//! changes nothing but names.

use classwright_sdk::heats::{Answer, Layout, Pair, Question};

/// The question with its athletes in order, and where each of them stood before.
#[derive(Debug)]
pub(crate) struct Canonical {
    pub(crate) question: Question,
    /// For each athlete of the ordered question, the athlete of the one that was asked.
    athletes: Vec<usize>,
    /// The same for bouts.
    bouts: Vec<usize>,
}

/// Puts athletes in order.
pub(crate) fn order(question: &Question) -> Canonical {
    let keys: Vec<Vec<u32>> = (0..question.athletes.len()).map(|athlete| key(question, athlete)).collect();
    let mut athletes: Vec<usize> = (0..keys.len()).collect();
    // Those who do the same are told apart by whom they are with, and whom not.
    let company = |athlete: usize| {
        let of = |pairs: &[Pair]| {
            let other = |pair: &Pair| match (pair.first as usize, pair.second as usize) {
                (one, other) if one == athlete => Some(keys[other].clone()),
                (other, one) if one == athlete => Some(keys[other].clone()),
                _ => None,
            };
            let mut others: Vec<Vec<u32>> = pairs.iter().filter_map(other).collect();
            others.sort_unstable();
            others
        };
        (of(&question.together), of(&question.apart))
    };
    let companies: Vec<_> = (0..keys.len()).map(company).collect();
    athletes.sort_by(|a, b| (&keys[*a], &companies[*a]).cmp(&(&keys[*b], &companies[*b])));
    let mut ordered = Question {
        athletes: Vec::with_capacity(question.athletes.len()),
        bouts: Vec::with_capacity(question.bouts.len()),
        claims: Vec::with_capacity(question.claims.len()),
        ..question.clone()
    };
    let mut bouts = Vec::with_capacity(question.bouts.len());
    for (number, &athlete) in athletes.iter().enumerate() {
        let mut it = question.athletes[athlete];
        let mine = it.first_bout as usize..(it.first_bout + it.bout_count) as usize;
        it.first_bout = bouts.len() as u32;
        ordered.athletes.push(it);
        for bout in mine {
            let mut its = question.bouts[bout];
            its.athlete = number as u32;
            for claim in claims(question, bout) {
                let mut claim = *claim;
                claim.bout = bouts.len() as u32;
                ordered.claims.push(claim);
            }
            ordered.bouts.push(its);
            bouts.push(bout);
        }
    }
    let mut place = vec![0; athletes.len()];
    athletes.iter().enumerate().for_each(|(number, athlete)| place[*athlete] = number as u32);
    for pair in ordered.together.iter_mut().chain(&mut ordered.apart) {
        (pair.first, pair.second) = (place[pair.first as usize], place[pair.second as usize]);
    }
    if let (Some(now), Some(was)) = (&mut ordered.present, &question.present) {
        now.heat_of = athletes.iter().map(|athlete| was.heat_of[*athlete]).collect();
        now.bar_of = bouts.iter().map(|bout| was.bar_of[*bout]).collect();
    }
    Canonical { question: ordered, athletes, bouts }
}

impl Canonical {
    /// An answer to the ordered question as one to the question that was asked.
    pub(crate) fn back(&self, answer: Answer) -> Answer {
        let plan = answer.plan;
        let mut heat_of = vec![0; plan.heat_of.len()];
        self.athletes.iter().zip(&plan.heat_of).for_each(|(athlete, heat)| heat_of[*athlete] = *heat);
        let mut bar_of = vec![0; plan.bar_of.len()];
        self.bouts.iter().zip(&plan.bar_of).for_each(|(bout, bar)| bar_of[*bout] = *bar);
        Answer { plan: Layout { heat_of, bar_of, ..plan }, ..answer }
    }
}

fn claims(question: &Question, bout: usize) -> &[classwright_sdk::heats::Claim] {
    let first = question.claims.partition_point(|claim| (claim.bout as usize) < bout);
    let last = question.claims.partition_point(|claim| claim.bout as usize <= bout);
    &question.claims[first..last]
}

/// All that is asked of an athlete, and how they stand in the present plan.
fn key(question: &Question, athlete: usize) -> Vec<u32> {
    let it = &question.athletes[athlete];
    let mut key = vec![it.ready_s, it.bout_count];
    if let Some(present) = &question.present {
        key.push(present.heat_of[athlete]);
    }
    for number in it.first_bout as usize..(it.first_bout + it.bout_count) as usize {
        let bout = &question.bouts[number];
        let rests = [bout.rest_least_s, bout.rest_most_s];
        key.extend([bout.stage, bout.duration_s, bout.watch, bout.bar_type, bout.loading]);
        key.extend(rests);
        for claim in claims(question, number) {
            key.extend([claim.kit, claim.count]);
        }
        if let Some(present) = &question.present {
            key.push(present.bar_of[number]);
        }
    }
    key
}
