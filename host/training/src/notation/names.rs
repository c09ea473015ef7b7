//! Names in a line: movements, kit, regions. The longest known name that stands at a place is meant.

use winnow::Parser;
use winnow::combinator::opt;
use winnow::stream::Stream;

use super::error::{Fault, Parsed};
use super::tokens::{Input, at, blank, left, stop};
use crate::{KitIx, Movement, MovementIx, MovementLibrary};

/// Signs that end a name wherever they stand.
const ENDS: &[char] = &['@', ';', '('];
/// Words that end a name that is not known, so that only the name is underlined.
const STOPS: [&str; 5] = ["+", "or", "per", "each", "alternating"];
/// No name has more words.
const MOST_WORDS: usize = 12;

/// The movement named next. An unknown name is noted, read over, and gives `None`.
pub(super) fn movement(input: &mut Input<'_>) -> Parsed<Option<MovementIx>> {
    blank(input)?;
    let text = left(input);
    if let Some((ix, len)) = longest(input.state.library, text)
        && goes_on(&text[len..])
    {
        input.input.next_slice(len);
        return Ok(Some(ix));
    }
    let chunk = unknown(text);
    if chunk.is_empty() {
        return stop(input, "the name of a movement");
    }
    let span = at(input)..at(input) + chunk.len();
    let nearest = nearest_movement(input.state.library, chunk);
    input.state.note(Fault::new(span, "a movement of the library").near(nearest));
    input.input.next_slice(chunk.len());
    Ok(None)
}

/// The longest name at the start of the text, with its length.
pub(super) fn longest(library: &MovementLibrary, text: &str) -> Option<(MovementIx, usize)> {
    let text = &text[..text.find(ENDS).unwrap_or(text.len())];
    let mut ends: Vec<usize> = Vec::new();
    let mut inside = false;
    for (at, sign) in text.char_indices().chain([(text.len(), ' ')]) {
        // A slash ends a name too, as in `reverse lunge/side`.
        let ended = sign.is_whitespace() || sign == ',' || sign == '/';
        if ended && inside {
            ends.push(at);
            if ends.len() == MOST_WORDS {
                break;
            }
        }
        inside = !ended;
    }
    ends.into_iter().rev().find_map(|end| Some((named(library, &text[..end])?, end)))
}

/// The movement of this name, in the singular or the plural.
fn named(library: &MovementLibrary, name: &str) -> Option<MovementIx> {
    let singular = || {
        let lower = name.to_lowercase();
        let stem = lower.strip_suffix('s')?;
        library
            .named(stem)
            .or_else(|| library.named(stem.strip_suffix('e')?))
            .or_else(|| library.named(&format!("{}y", stem.strip_suffix("ie")?)))
    };
    library.named(name).or_else(singular)
}

/// True where what follows a name cannot belong to it.
fn goes_on(rest: &str) -> bool {
    let rest = rest.trim_start();
    rest.is_empty() || rest.starts_with(ENDS) || rest.starts_with([',', '+', '-', '−', '/']) || {
        let word = rest.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("").to_lowercase();
        STOPS.contains(&word.as_str())
    }
}

/// What stands where a name should, when no name is known.
fn unknown(text: &str) -> &str {
    let mut end = text.find(ENDS).unwrap_or(text.len());
    end = text[..end].find(',').unwrap_or(end);
    let mut from = 0;
    for word in text[..end].split_inclusive(char::is_whitespace) {
        let lower = word.trim_end().to_lowercase();
        if from > 0 && STOPS.contains(&lower.as_str()) {
            end = from;
            break;
        }
        from += word.len();
    }
    text[..end].trim_end()
}

fn nearest_movement(library: &MovementLibrary, name: &str) -> Option<String> {
    // The search compares with every name; a text that long is near none.
    if name.chars().count() > 80 {
        return None;
    }
    let known = library.nearest_name(name).map(str::to_owned);
    known.or_else(|| longest(library, name).map(|(ix, _)| library.movement(ix).name.clone()))
}

/// The kind of kit of this name, in the singular or the plural.
pub(super) fn kit(library: &MovementLibrary, name: &str) -> Option<KitIx> {
    let singular = || {
        let stem = name.strip_suffix('s')?;
        library.find_kit(stem).or_else(|| library.find_kit(stem.strip_suffix('e')?))
    };
    library.find_kit(name).or_else(singular)
}

/// The name of kit nearest to what was written, if any is near.
pub(super) fn nearest_kit(library: &MovementLibrary, name: &str) -> Option<String> {
    let names = library.kit_kinds().iter().flat_map(|kit| [&kit.name].into_iter().chain(&kit.aliases));
    nearest(name, names.map(String::as_str))
}

/// The nearest of several words, if any is near.
pub(super) fn nearest<'w>(name: &str, known: impl IntoIterator<Item = &'w str>) -> Option<String> {
    if name.chars().count() > 80 {
        return None;
    }
    let name = name.to_lowercase();
    let far = |known: &str| strsim::damerau_levenshtein(&known.to_lowercase(), &name);
    let (distance, best) = known.into_iter().map(|known| (far(known), known)).min()?;
    (distance <= 1 + name.chars().count() / 3).then(|| best.to_owned())
}

/// How a movement is written: its name, unless the name would be read as something else.
pub(super) fn written(library: &MovementLibrary, ix: MovementIx) -> &str {
    let movement: &Movement = library.movement(ix);
    let sound = longest(library, &movement.name).is_some_and(|(read, len)| read == ix && len == movement.name.len());
    if sound { &movement.name } else { &movement.id }
}

/// The word `alternating`, unless it is the start of a known name here.
pub(super) fn alternating(input: &mut Input<'_>) -> Parsed<bool> {
    let text = left(input).trim_start();
    if longest(input.state.library, text).is_some_and(|(_, len)| goes_on(&text[len..])) {
        return Ok(false);
    }
    opt(super::tokens::words("alternating")).map(|word| word.is_some()).parse_next(input)
}
