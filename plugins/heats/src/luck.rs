//! Which kind of change is tried next: the more often, the more of it came to something of late.

use crate::dice::Dice;

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

impl Default for Luck {
    fn default() -> Self {
        Luck { weights: [20, 25, 45, 5, 5, 20, 20], tried: [0; KINDS.len()], taken: [0; KINDS.len()] }
    }
}

impl Luck {
    pub(crate) fn draw(&mut self, dice: &mut Dice) -> Kind {
        if self.tried.iter().sum::<usize>() >= LATELY {
            for kind in 0..KINDS.len() {
                let rate = 400 * self.taken[kind] / self.tried[kind].max(1);
                self.weights[kind] = (3 * self.weights[kind] + rate).div_ceil(4).clamp(10, 100);
                (self.tried[kind], self.taken[kind]) = (0, 0);
            }
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
