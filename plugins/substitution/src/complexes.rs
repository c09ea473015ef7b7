//! A complex is done without letting go of the implement: what stands in for its movements shares one.
//!
//! Promises the same kind of load and the same kit for all steps whose kit is missing, at the lightest of their loads,
//! wherever such a choice exists; else each step has its own nearest movement. A fixed addition of repetitions is for
//! a movement by itself, so that it is not made here.

use crate::excerpt::{Carrier, Excerpt};
use crate::loads::Loads;
use crate::rules::Instead;

/// One choice for each step, out of the choices for it, nearest first.
pub(crate) fn shared<'a>(excerpt: &Excerpt, choices: &[Vec<Instead<'a>>]) -> Vec<Option<Instead<'a>>> {
    let nearest = || choices.iter().map(|choices| choices.first().copied()).collect();
    let Some((first, _)) = choices.split_first() else {
        return nearest();
    };
    let with_the_same = |wanted: &Instead| -> Option<Vec<Instead<'a>>> {
        let wanted = implement(excerpt, wanted);
        let of_step =
            |choices: &Vec<Instead<'a>>| choices.iter().find(|one| implement(excerpt, one) == wanted).copied();
        choices.iter().map(of_step).collect()
    };
    match first.iter().find_map(with_the_same) {
        Some(steps) => at_one_load(steps).into_iter().map(Some).collect(),
        None => nearest(),
    }
}

/// What is held: the kind of load and the kit.
fn implement<'e>(excerpt: &'e Excerpt, instead: &Instead) -> (Carrier, &'e [(u32, u32)]) {
    let movement = excerpt.movement(instead.stand_in.movement);
    (movement.carrier, &movement.needs)
}

/// A load that is not known stays so.
fn at_one_load(mut steps: Vec<Instead>) -> Vec<Instead> {
    let lightest = |of: fn(Loads) -> u32| steps.iter().map(|step| of(step.loads)).filter(|&grams| grams > 0).min();
    let (first, top) = (lightest(|loads| loads.first), lightest(|loads| loads.top));
    for step in &mut steps {
        step.loads.first = step.loads.first.min(first.unwrap_or(0));
        step.loads.top = step.loads.top.min(top.unwrap_or(0));
    }
    steps
}
