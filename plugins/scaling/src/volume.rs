//! How much of a piece is left when its volume is cut.
//!
//! A cut never ends above the share asked for, unless that would be nothing: then one is left.

use classwright_sdk::{Measure, Piece};

/// What a cut may take sets away from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sets {
    /// Rounds are shared by all items of a part: only the amount is cut.
    Shared,
    /// Sets of one movement: sets or amount, whichever takes away less.
    Own,
    /// Sets of a complex belong to all its movements: only sets are cut, where there are several.
    OfAComplex,
}

/// Sets (or rounds) and amount of a piece at a percent of its volume. Where the athlete does as many as they can once,
/// nothing is cut.
pub(crate) fn cut(piece: &Piece, percent: u32, sets: Sets) -> (u32, u32, u32) {
    let stays = (piece.times, piece.amount_low, piece.amount_high);
    if percent >= 100 {
        return stays;
    }
    let high = share(piece.amount_high, percent);
    let by_amount = (piece.times, share(piece.amount_low, percent).min(high), high);
    if sets == Sets::Shared || piece.times < 2 {
        return by_amount;
    }
    let by_sets = (share(piece.times, percent), piece.amount_low, piece.amount_high);
    if sets == Sets::OfAComplex || piece.amount_high == 0 {
        return by_sets;
    }
    let total = |(times, _, high): (u32, u32, u32)| u64::from(times) * u64::from(high);
    let enough = |cut| total(cut) * 100 <= total(stays) * u64::from(percent);
    // Fewer sets where both are alike: the effort of a set stays what was written.
    let amount_is_better = enough(by_amount) && (!enough(by_sets) || total(by_amount) > total(by_sets));
    if amount_is_better { by_amount } else { by_sets }
}

/// Rounded down to a number that a coach would say.
pub(crate) fn friendly(amount: u32, measure: Measure) -> u32 {
    let step = match measure {
        Measure::Seconds if amount >= 10 => 5,
        Measure::Metres if amount >= 20 => 10,
        _ => 1,
    };
    amount / step * step
}

/// A percent of a number, rounded down, and at least one of what there was.
pub(crate) fn share(number: u32, percent: u32) -> u32 {
    let share = u64::from(number) * u64::from(percent) / 100;
    (share as u32).max(number.min(1))
}

#[cfg(test)]
mod tests {
    use classwright_sdk::{Measure, Sides};

    use super::*;

    fn sets_of(times: u32, amount: u32) -> Piece {
        Piece {
            athlete: 0,
            part: 0,
            item: 0,
            step: 0,
            movement: 0,
            times,
            measure: Measure::Repetitions,
            sides: Sides::Both,
            amount_low: amount,
            amount_high: amount,
            load_first_g: 0,
            load_top_g: 0,
            best_permille: 0,
            effort_tenths: 0,
            range_percent: 100,
            rep_ms: 0,
        }
    }

    #[test]
    fn a_cut_takes_enough_and_no_more_than_it_must() {
        assert_eq!(cut(&sets_of(5, 5), 90, Sets::Own), (4, 5, 5));
        assert_eq!(cut(&sets_of(3, 10), 80, Sets::Own), (3, 8, 8));
        assert_eq!(cut(&sets_of(3, 10), 80, Sets::Shared), (3, 8, 8));
        assert_eq!(cut(&sets_of(5, 2), 80, Sets::OfAComplex), (4, 2, 2));
    }

    #[test]
    fn something_is_left_and_nothing_is_made() {
        assert_eq!(cut(&sets_of(1, 1), 50, Sets::Own), (1, 1, 1));
        assert_eq!(cut(&sets_of(0, 10), 50, Sets::Own), (0, 5, 5));
        assert_eq!(cut(&sets_of(1, 0), 50, Sets::Own), (1, 0, 0));
        assert_eq!(cut(&sets_of(4, 0), 50, Sets::Own), (2, 0, 0));
    }
}
