//! The coach's own lines: `no barbell: …`, `sore shoulder: …`, `ability: …`.

use winnow::Parser;
use winnow::combinator::opt;
use winnow::token::one_of;

use super::amount::{amount, sides_after};
use super::error::{Fault, Parsed};
use super::item::measurable;
use super::load::{Of, load};
use super::names;
use super::tokens::{Input, State, at, blank, end, left, number, number_next, sign, stop, words};
use crate::session::{Fallback, Item, Replacement, When};
use crate::{Measure, Region, Severity};

/// What stands before the colon of a bullet, and what after it, with where that starts in the text.
pub(super) fn keyed(text: &str) -> Option<(&str, usize)> {
    let text = &text[..text.find([';', '@']).unwrap_or(text.len())];
    if !text.starts_with(char::is_alphabetic) {
        return None;
    }
    let colon = text.match_indices(':').map(|(at, _)| at).find(|at| {
        let rest = &text[at + 1..];
        rest.is_empty() || rest.starts_with(char::is_whitespace)
    })?;
    Some((text[..colon].trim_end(), colon + 1))
}

/// When a line with this key holds; a fault where the key is none of the coach's.
pub(super) fn when(state: State<'_>, key: &str, at: usize) -> Option<When> {
    let lower = key.to_lowercase();
    let words: Vec<&str> = lower.split_whitespace().collect();
    let fault = |expected: &str, nearest| {
        state.note(Fault::new(at..at + key.len(), expected).near(nearest));
        None
    };
    let regions = || Region::ALL.into_iter().map(Region::id);
    match words.as_slice() {
        ["ability"] => Some(When::Ability),
        ["no", kit @ ..] if !kit.is_empty() => {
            let name = kit.join(" ");
            match names::kit(state.library, &name) {
                Some(kit) => Some(When::NoKit(kit)),
                None => {
                    let nearest = names::nearest_kit(state.library, &name).map(|kit| format!("no {kit}"));
                    fault("`no` and a kind of kit of the library", nearest)
                }
            }
        }
        [severity @ ("sore" | "mild" | "moderate" | "severe"), region @ ..] if !region.is_empty() => {
            let name = region.join(" ");
            let least = match *severity {
                "moderate" => Severity::Moderate,
                "severe" => Severity::Severe,
                _ => Severity::Mild,
            };
            match Region::from_id(&name) {
                Some(region) => Some(When::Limited(region, least)),
                None => {
                    let nearest = names::nearest(&name.replace(' ', "-"), regions());
                    let nearest = nearest.map(|region| format!("{severity} {}", region.replace('-', " ")));
                    fault(
                        "a body region: neck, shoulder, elbow, wrist, upper back, lower back, hip, knee or ankle",
                        nearest,
                    )
                }
            }
        }
        _ => match Region::from_id(&words.join(" ")) {
            Some(region) => Some(When::Limited(region, Severity::Mild)),
            None => {
                let known = regions().chain(["cue", "ability", "rest"]);
                fault("`no KIT:`, `sore REGION:`, `ability:` or, under an item, `cue:`", names::nearest(&lower, known))
            }
        },
    }
}

/// What is done instead, to the end of the line. `item` is the item it stands under.
pub(super) fn replacement(input: &mut Input<'_>, item: Option<&Item>) -> Parsed<Option<Replacement>> {
    const SHAPE: &str = "`leave out`, or an amount, a movement, `+10 reps` or `@` and a load";
    if opt(words("leave out")).parse_next(input)?.is_some() {
        end(input, "nothing after `leave out`")?;
        return Ok(None);
    }
    let library = input.state.library;
    let only = item.and_then(|item| if let [piece] = item.pieces[..] { Some(piece) } else { None });
    blank(input)?;
    let start = at(input);
    let mut add_reps = more(input)?;
    let mut amount = if add_reps == 0 { amount(input)? } else { None };
    blank(input)?;
    let name_at = at(input);
    let mut of = only.map_or(Of::Open, |piece| Of::Movement(piece.movement));
    let mut movement = None;
    if add_reps == 0 && left(input).starts_with(|c: char| c.is_alphanumeric()) {
        movement = names::movement(input)?;
        of = movement.map_or(Of::Unknown, Of::Movement);
    }
    let name = name_at..at(input);
    sides_after(input, amount.as_mut())?;
    if add_reps == 0 {
        let comma = opt(sign(',')).parse_next(input)?.is_some();
        add_reps = more(input)?;
        if comma && add_reps == 0 {
            return stop(input, "`+10 reps` or `-2 reps` after the comma");
        }
    }
    let measured = movement.or(only.map(|piece| piece.movement)).map(|ix| library.movement(ix));
    let written = amount.as_ref().map(|draft| draft.of(measured));
    if let Some(known) = measured.filter(|_| !matches!(of, Of::Unknown)) {
        let kept = only.and_then(|piece| piece.amount);
        let span = amount.as_ref().map_or(name.clone(), |draft| draft.span.clone());
        match written.or(kept) {
            Some(amount) if add_reps != 0 && amount.measure != Measure::Repetitions => {
                let expected = "an amount in repetitions where repetitions are added";
                input.state.note(Fault::new(start..at(input), expected));
            }
            Some(amount) => measurable(input, known, amount.measure, span),
            None => {}
        }
    }
    let mut written_load = None;
    if opt(sign('@')).parse_next(input)?.is_some() {
        blank(input)?;
        let from = at(input);
        let (load, effort) = load(input, of)?;
        if effort.is_some() {
            input.state.note(Fault::new(from..at(input), "a load without an effort: that stays as the item has it"));
        }
        written_load = load;
    }
    if start == at(input) {
        return stop(input, SHAPE);
    }
    end(input, "`+10 reps`, `@` and a load, or the end of the line")?;
    Ok(Some(Replacement { amount: written, add_reps, movement, load: written_load }))
}

/// `+10 reps` or `-2 reps`; 0 where neither stands.
fn more(input: &mut Input<'_>) -> Parsed<i32> {
    let Some(sign) = opt((blank, one_of(['+', '-', '−']))).parse_next(input)? else {
        return Ok(0);
    };
    const MORE: &str = "a whole number of repetitions from 1 to 1000 to add or take off, such as `+10 reps`";
    if !number_next(input) {
        return stop(input, MORE);
    }
    let count = number(input)?.within(input, 0, 1, &super::bounds::REPS, MORE);
    opt(super::tokens::one_word(&[("reps", ()), ("rep", ()), ("repetitions", ())])).parse_next(input)?;
    Ok(if sign.1 == '+' { count as i32 } else { -(count as i32) })
}

/// A whole line: when it holds is known, what to do stands in `text`.
pub(super) fn fallback<'i>(
    state: State<'i>,
    when: Option<When>,
    text: &'i str,
    base: usize,
    item: Option<&Item>,
) -> Option<Fallback> {
    let instead = state.read(text, base, |input| replacement(input, item));
    Some(Fallback { when: when?, instead: instead? })
}
