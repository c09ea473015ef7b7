//! Which kind of change is tried next: the more often, the more of it came to something of late.

use crate::dice::Dice;
use crate::model::Model;

/// The kinds of change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Move,
    Swap,
    Shift,
    Exchange,
    Carry,
    Wish,
    Retime,
}

const KINDS: [Kind; 7] = [Kind::Move, Kind::Swap, Kind::Shift, Kind::Exchange, Kind::Carry, Kind::Wish, Kind::Retime];

/// How often each kind of change is tried: the more often, the more of them came to something of late.
#[derive(Clone, Debug)]
pub(crate) struct Luck {
    weights: [usize; KINDS.len()],
    tried: [usize; KINDS.len()],
    taken: [usize; KINDS.len()],
}

/// Tries after which the weights are looked at anew.
const LATELY: usize = 512;

impl Luck {
    pub(crate) fn new(model: &Model) -> Self {
        let bars = if model.any_bars { 20 } else { 0 };
        let rests = if model.limited_rests { 20 } else { 0 };
        Luck { weights: [20, 25, 45, 5, 5, bars, rests], tried: [0; KINDS.len()], taken: [0; KINDS.len()] }
    }

    pub(crate) fn draw(&mut self, dice: &mut Dice) -> Kind {
        if self.tried.iter().sum::<usize>() >= LATELY {
            // What can come to nothing at all keeps its weight of 0.
            for (kind, weight) in self.weights.iter_mut().enumerate().filter(|(_, weight)| **weight > 0) {
                let rate = 400 * self.taken[kind] / self.tried[kind].max(1);
                *weight = (3 * *weight + rate).div_ceil(4).clamp(10, 100);
            }
            (self.tried, self.taken) = ([0; KINDS.len()], [0; KINDS.len()]);
        }
        let mut drawn = dice.below(self.weights.iter().sum());
        let kind = self.weights.iter().position(|weight| {
            let here = drawn < *weight;
            drawn = drawn.saturating_sub(*weight);
            here
        });
        let kind = kind.unwrap_or(0);
        self.tried[kind] += 1;
        KINDS[kind]
    }

    /// A change of this kind was taken, and made a difference or not.
    pub(crate) fn note(&mut self, kind: Kind, made_a_difference: bool) {
        self.taken[kind as usize] += usize::from(made_a_difference);
    }
}
