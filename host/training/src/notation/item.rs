//! A line of work: movements with amounts, then load, the coach's own time a repetition, a cue.

use std::ops::Range;

use winnow::Parser;
use winnow::combinator::{opt, preceded};

use super::amount::{self, Draft, amount, sides_after};
use super::bounds;
use super::error::{Fault, Parsed};
use super::load::{Of, load};
use super::names;
use super::tokens::{Input, at, blank, left, number, number_next, one_word, sign, stop, words};
use crate::session::{Fallback, Item, Replacement, Scheme, When, WrittenPiece};
use crate::{Measure, Movement, MovementIx};

/// What an item without an amount means, by the scheme of its part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Given {
    /// Nothing gives it: the item needs one.
    Nothing,
    /// The scheme gives the repetitions.
    Repetitions,
    /// The clock ends the work.
    Clock,
    /// The scheme could not be read; that is said already.
    Unknown,
}

impl Given {
    pub(super) fn by(scheme: &Scheme) -> Given {
        match scheme {
            Scheme::RepsForTime { .. } | Scheme::Ladder { .. } => Given::Repetitions,
            Scheme::WorkRest { .. } => Given::Clock,
            Scheme::Rounds { .. }
            | Scheme::Sets { .. }
            | Scheme::IntervalSets { .. }
            | Scheme::ForTime { .. }
            | Scheme::AsManyRounds { .. }
            | Scheme::EveryMinute { .. } => Given::Nothing,
        }
    }
}

/// Stands in for a movement whose name is unknown; an item with one never leaves [`super::tokens::State::read`].
const NOBODY: MovementIx = MovementIx(u32::MAX);

/// What may follow a movement in an item.
const GOES_ON: &str = "`+`, `or`, `@`, `(`, `;` or the end of the line";

/// One movement of the line as read, with its place.
struct Named {
    amount: Option<Draft>,
    movement: Option<MovementIx>,
    span: Range<usize>,
}

/// A whole line of work.
pub(super) fn item(input: &mut Input<'_>, given: Given, line: u32) -> Parsed<Item> {
    let mut item = Item {
        pieces: Vec::new(),
        load: None,
        effort_tenths: None,
        rep_ms: None,
        choices: Vec::new(),
        fallbacks: Vec::new(),
        cues: Vec::new(),
        line,
    };
    let amount = amount(input)?;
    let either = opt(words("either")).parse_next(input)?.is_some();
    let first = named(input, amount)?;
    let mut pieces = vec![piece(input, &first, given)];
    loop {
        if opt(sign('+')).parse_next(input)?.is_some() {
            if either || !item.fallbacks.is_empty() {
                return stop(
                    input,
                    "a complex without `or`: put a choice or an easier movement below, as `- ability: …`",
                );
            }
            let amount = amount::amount(input)?;
            let next = named(input, amount)?;
            pieces.push(piece(input, &next, given));
        } else if opt(words("or")).parse_next(input)?.is_some() {
            if pieces.len() > 1 {
                return stop(input, "an easier movement for a complex below the item, as `- ability: …`");
            }
            let amount = if either { None } else { amount::amount(input)? };
            let other = named(input, amount)?;
            let instead = alternative(input, &other, pieces[0].amount, given);
            if either {
                item.choices.push(other.movement.unwrap_or(NOBODY));
            } else {
                item.fallbacks.push(Fallback { when: When::Ability, instead: Some(instead) });
            }
        } else {
            break;
        }
        if pieces.len() + item.choices.len() + item.fallbacks.len() > bounds::MAX_PIECES {
            return stop(input, format!("at most {} movements in an item", bounds::MAX_PIECES));
        }
    }
    if either && item.choices.is_empty() {
        return stop(input, "`or` and another movement after `either`");
    }
    let of = match pieces[..] {
        [WrittenPiece { movement: NOBODY, .. }] => Of::Unknown,
        [WrittenPiece { movement, .. }] => Of::Movement(movement),
        _ => Of::Open,
    };
    item.pieces = pieces;
    tail(input, &mut item, of)?;
    Ok(item)
}

/// What follows the movements: load, time a repetition, cue.
fn tail(input: &mut Input<'_>, item: &mut Item, of: Of) -> Parsed<()> {
    let mut loaded = false;
    loop {
        blank(input)?;
        let next = left(input).chars().next();
        match next {
            None => return Ok(()),
            Some(';') => {
                sign(';').parse_next(input)?;
                item.cues.push(super::lines::bounded_text(input, "a cue")?);
                return Ok(());
            }
            Some('@') if !loaded => {
                sign('@').parse_next(input)?;
                (item.load, item.effort_tenths) = load(input, of)?;
                loaded = true;
            }
            Some('(') if item.rep_ms.is_none() => item.rep_ms = Some(rep_time(input)?),
            Some(_) if loaded => return stop(input, "`(`, `;` or the end of the line after the load"),
            Some(_) => return stop(input, GOES_ON),
        }
    }
}

/// A movement after its amount.
fn named(input: &mut Input<'_>, mut amount: Option<Draft>) -> Parsed<Named> {
    blank(input)?;
    let start = at(input);
    let movement = names::movement(input)?;
    let span = start..at(input);
    sides_after(input, amount.as_mut())?;
    Ok(Named { amount, movement, span })
}

/// A movement with an amount it can be measured in.
fn piece(input: &Input<'_>, named: &Named, given: Given) -> WrittenPiece {
    let movement = named.movement.map(|ix| input.state.library.movement(ix));
    let amount = named.amount.as_ref().map(|draft| (draft.of(movement), draft.span.clone()));
    if let Some(movement) = movement {
        match &amount {
            Some((amount, span)) => measurable(input, movement, amount.measure, span.clone()),
            None if given == Given::Nothing => {
                let expected = format!("an amount before the movement: {}", amount::can_in_words(movement));
                input.state.note(Fault::new(named.span.clone(), expected));
            }
            None if given == Given::Repetitions => {
                measurable(input, movement, Measure::Repetitions, named.span.clone());
            }
            None => {}
        }
    }
    WrittenPiece { amount: amount.map(|(amount, _)| amount), movement: named.movement.unwrap_or(NOBODY) }
}

/// A movement that stands in for another, whose amount it may keep.
fn alternative(input: &Input<'_>, named: &Named, kept: Option<crate::Amount>, given: Given) -> Replacement {
    let movement = named.movement.map(|ix| input.state.library.movement(ix));
    let amount = named.amount.as_ref().map(|draft| draft.of(movement));
    if let Some(movement) = movement {
        let span = named.amount.as_ref().map_or(&named.span, |draft| &draft.span).clone();
        match amount.or(kept) {
            Some(amount) => measurable(input, movement, amount.measure, span),
            None if given == Given::Repetitions => measurable(input, movement, Measure::Repetitions, span),
            None => {}
        }
    }
    Replacement { amount, add_reps: 0, movement: named.movement, load: None }
}

/// Notes a fault where the movement cannot be measured so.
pub(super) fn measurable(input: &Input<'_>, movement: &Movement, measure: Measure, span: Range<usize>) {
    if !amount::can(movement, measure) {
        input.state.note(Fault::new(span, amount::can_in_words(movement)));
    }
}

/// `(3 s a rep)`, or `(tempo 3/1/1/0)`: lower, hold, lift, hold, which is their sum.
fn rep_time(input: &mut Input<'_>) -> Parsed<u32> {
    const SHAPE: &str = "`(3 s a rep)` or `(tempo 3/1/1/0)`";
    const TIME: &str = "a time a repetition from 0.1 s to 120 s";
    const PER_REP: &[(&str, ())] = &[("a rep", ()), ("per rep", ()), ("/ rep", ()), ("a repetition", ())];
    const SECONDS: &[(&str, ())] = &[("s", ()), ("sec", ()), ("seconds", ()), ("second", ())];
    sign('(').parse_next(input)?;
    let start = at(input);
    let tempo = opt(words("tempo")).parse_next(input)?.is_some();
    if !number_next(input) {
        return stop(input, SHAPE);
    }
    let ms = if tempo {
        let phase = |input: &mut Input<'_>| -> Parsed<u32> {
            let number = number(input)?;
            Ok(number.within(input, 3, 1, &(0..=60_000), "seconds from 0 to 60"))
        };
        let next =
            |input: &mut Input<'_>| -> Parsed<u32> { preceded(sign('/'), phase).context(SHAPE).parse_next(input) };
        let sum: u32 = phase(input)? + next(input)? + next(input)? + next(input)?;
        if !bounds::REP_MS.contains(&u64::from(sum)) {
            input.state.note(Fault::new(start..at(input), TIME));
        }
        sum
    } else {
        let ms = number(input)?.within(input, 3, 1, &bounds::REP_MS, TIME);
        (one_word(SECONDS), one_word(PER_REP)).context(SHAPE).parse_next(input)?;
        ms
    };
    sign(')').context("`)`").parse_next(input)?;
    Ok(ms)
}
