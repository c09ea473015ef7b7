//! An answer about cards, checked for shape and put back where the pieces came from.
//!
//! Whether a change keeps the trade's rules (no raised load, kit that exists) is the planning crate's check.

use classwright_training::{Amount, Mass, Measure, MovementIx, MovementLibrary, Sides};

use super::bindings::classwright::policy::cards;
use super::question::Sent;
use super::text;
use crate::{CardAnswer, CardChange, FailureKind, NewPiece, Reason};

/// Largest numbers that a card can carry; far above anything that is done. Common practice, no source.
const MOST_TIMES: u32 = 10_000;
const MOST_AMOUNT: u32 = 1_000_000;
const MOST_GRAMS: u32 = 10_000_000;

/// Reasons that an answer may have beside one for each change.
const SPARE_REASONS: usize = 64;

pub(crate) fn answer(
    answer: Result<cards::Answer, String>,
    sent: &Sent<'_>,
    library: &MovementLibrary,
) -> Result<CardAnswer, FailureKind> {
    let cards::Answer { changes, reasons } = answer.map_err(text::declined)?;
    let pieces = sent.places.len();
    let bounded = |what: &str, found: usize, most: usize| match found <= most {
        true => Ok(()),
        false => Err(FailureKind::AnswerTooLarge { found: format!("{found} {what}"), limit: format!("{most}") }),
    };
    bounded("changes", changes.len(), pieces)?;
    bounded("reasons", reasons.len(), changes.len() + SPARE_REASONS)?;
    let mut reasons_out = Vec::with_capacity(reasons.len());
    for (cards::Reason { rule, text }, number) in reasons.into_iter().zip(0..) {
        text::check(&format!("rule of reason {number}"), &rule, 64)?;
        text::check(&format!("text of reason {number}"), &text, 300)?;
        reasons_out.push(Reason { rule, text });
    }
    let mut seen = vec![false; pieces];
    let mut changes_out = Vec::with_capacity(changes.len());
    for (change, number) in changes.iter().zip(0..) {
        let malformed = |what: String| FailureKind::AnswerMalformed { what: format!("change {number}: {what}") };
        let Some(&(athlete, piece)) = sent.places.get(change.piece as usize) else {
            return Err(malformed(format!("there is no piece {}; the question has {pieces}", change.piece)));
        };
        if std::mem::replace(&mut seen[change.piece as usize], true) {
            return Err(malformed(format!("piece {} is changed twice", change.piece)));
        }
        if change.reason as usize >= reasons_out.len() {
            return Err(malformed(format!(
                "there is no reason {}; the answer has {}",
                change.reason,
                reasons_out.len()
            )));
        }
        let becomes = match change.off {
            0 => Some(new_piece(change, library).map_err(malformed)?),
            1 => None,
            other => return Err(malformed(format!("`off` is {other}, not 0 or 1"))),
        };
        changes_out.push(CardChange { athlete, piece, becomes, reason: change.reason });
    }
    Ok(CardAnswer { changes: changes_out, reasons: reasons_out })
}

fn new_piece(change: &cards::Change, library: &MovementLibrary) -> Result<NewPiece, String> {
    let &cards::Change { movement, times, amount_low, amount_high, load_first_g, load_top_g, .. } = change;
    let &cards::Change { effort_tenths, range_percent, .. } = change;
    let count = library.movements().len();
    let within = |what: &str, found: u32, most: u32| match found <= most {
        true => Ok(()),
        false => Err(format!("{what} is {found}, above {most}")),
    };
    if movement as usize >= count {
        return Err(format!("there is no movement {movement}; the library has {count}"));
    }
    within("times", times, MOST_TIMES)?;
    within("amount-high", amount_high, MOST_AMOUNT)?;
    within("load-top-g", load_top_g, MOST_GRAMS)?;
    within("effort-tenths", effort_tenths, 100)?;
    within("range-percent", range_percent, 100)?;
    if range_percent == 0 {
        return Err("range-percent is 0; `off` takes a piece off".into());
    }
    if amount_low > amount_high {
        return Err(format!("amount-low {amount_low} is above amount-high {amount_high}"));
    }
    if load_first_g > load_top_g {
        return Err(format!("load-first-g {load_first_g} is above load-top-g {load_top_g}, the heaviest"));
    }
    let measure = match change.measure {
        cards::Measure::Repetitions => Measure::Repetitions,
        cards::Measure::Seconds => Measure::Seconds,
        cards::Measure::Metres => Measure::Metres,
        cards::Measure::Calories => Measure::Calories,
    };
    let sides = match change.sides {
        cards::Sides::Both => Sides::Both,
        cards::Sides::Each => Sides::Each,
        cards::Sides::Alternating => Sides::Alternating,
    };
    Ok(NewPiece {
        movement: MovementIx(movement),
        times,
        amount: Amount { low: amount_low, high: amount_high, measure, sides },
        first: Mass::from_grams(load_first_g),
        top: Mass::from_grams(load_top_g),
        effort_tenths,
        range_percent,
    })
}
