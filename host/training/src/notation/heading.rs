//! Headings of parts and of groups within them.

use winnow::Parser;
use winnow::combinator::opt;

use super::bounds;
use super::error::{Fault, Parsed};
use super::lines::too_long;
use super::names::nearest;
use super::scheme::scheme;
use super::tokens::{Input, State, blank, dash, end, here, number, number_next, one_word, sign, stop, words};
use crate::session::{PartKind, Scheme, Team};

/// A part's heading; what could not be read is `None`, and its fault noted.
pub(super) struct PartHeading {
    pub(super) kind: Option<PartKind>,
    pub(super) name: Option<String>,
    pub(super) scheme: Option<Scheme>,
    pub(super) team: Team,
}

/// How a kind of part is written.
pub(super) const fn kind_word(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Preparation => "Preparation",
        PartKind::Skill => "Skill",
        PartKind::Strength => "Strength",
        PartKind::Conditioning => "Conditioning",
        PartKind::CoolDown => "Cool-down",
    }
}

/// `Kind[, name][: scheme][, in pairs | , relay in teams of 3]`.
pub(super) fn part<'i>(state: State<'i>, text: &'i str, base: usize) -> PartHeading {
    let (head, team) = split_team(state, text, base);
    if let Some(at) = text.find('@') {
        let span = base + at..base + text.len();
        state.note(Fault::new(span, "no load in a heading: it belongs to an item, after the movement"));
        return PartHeading { kind: None, name: None, scheme: None, team };
    }
    let colon = head.match_indices(':').map(|(at, _)| at).find(|at| {
        let rest = &head[at + 1..];
        rest.is_empty() || rest.starts_with(char::is_whitespace)
    });
    let (title, scheme_at) = colon.map_or((head, None), |at| (&head[..at], Some(at + 1)));
    let scheme = match scheme_at {
        None => Some(Scheme::Rounds { rounds: 1, rest_s: 0 }),
        Some(at) => state.read(&head[at..], base + at, scheme),
    };
    let (word, rest) = title.split_once(',').map_or((title, None), |(word, rest)| (word, Some(rest)));
    let kind = part_kind(state, word.trim_end(), base);
    let name = rest.and_then(|rest| {
        let name = rest.trim();
        let at = base + word.len() + 1 + rest.len() - rest.trim_start().len();
        part_name(state, name, at, scheme_at.is_none())
    });
    PartHeading { kind, name, scheme, team }
}

fn part_kind(state: State<'_>, word: &str, at: usize) -> Option<PartKind> {
    let plain = |word: &str| word.to_lowercase().replace([' ', '-'], "");
    let known = PartKind::ALL.into_iter().find(|&kind| plain(kind_word(kind)) == plain(word));
    if known.is_none() {
        let first = word.split_whitespace().next().unwrap_or("");
        let words = || PartKind::ALL.into_iter().map(kind_word);
        let near = nearest(word, words()).or_else(|| nearest(first, words()));
        let expected = "a kind of part: Preparation, Skill, Strength, Conditioning or Cool-down";
        state.note(Fault::new(at..at + word.len(), expected).near(near));
    }
    known
}

fn part_name(state: State<'_>, name: &str, at: usize, no_scheme: bool) -> Option<String> {
    let span = at..at + name.len();
    if name.is_empty() {
        state.note(Fault::new(span, "a name after the comma"));
        return None;
    }
    if let Some(fault) = too_long(name, at, bounds::MAX_NAME, "a name") {
        state.note(fault);
        return None;
    }
    // `Strength, 5 sets` was meant to be a scheme.
    let faults = std::cell::RefCell::new(Vec::new());
    let apart = State { faults: &faults, ..state };
    if no_scheme && apart.read(name, at, scheme).is_some() {
        state.note(Fault::new(span, "a colon before the scheme, not a comma"));
    }
    Some(name.to_owned())
}

/// The heading without who works together, and who.
fn split_team<'i>(state: State<'i>, text: &'i str, base: usize) -> (&'i str, Team) {
    let Some(comma) = text.rfind(',') else {
        return (text, Team::Alone);
    };
    let last = text[comma + 1..].trim_start().to_lowercase();
    let starts = |word: &str| last.split(' ').next() == Some(word);
    if last == "in pairs" {
        return (&text[..comma], Team::Pairs);
    }
    if starts("relay") {
        let team = state.read(&text[comma + 1..], base + comma + 1, relay);
        return (&text[..comma], team.unwrap_or(Team::Alone));
    }
    (text, Team::Alone)
}

fn relay(input: &mut Input<'_>) -> Parsed<Team> {
    const SHAPE: &str = "`relay in teams of` and a number from 2 to 20";
    words("relay in teams of").context(SHAPE).parse_next(input)?;
    if !number_next(input) {
        return stop(input, SHAPE);
    }
    let team = number(input)?.within(input, 0, 1, &bounds::TEAM, SHAPE);
    end(input, "the end of the heading")?;
    Ok(Team::Relay(team))
}

/// What the headings within a part count, by its scheme.
pub(super) const fn span_word(scheme: &Scheme) -> &'static str {
    match scheme {
        Scheme::IntervalSets { .. } | Scheme::WorkRest { .. } => "Interval",
        Scheme::EveryMinute { .. } => "Minute",
        Scheme::Sets { .. } => "Set",
        Scheme::Rounds { .. }
        | Scheme::ForTime { .. }
        | Scheme::RepsForTime { .. }
        | Scheme::AsManyRounds { .. }
        | Scheme::Ladder { .. } => "Round",
    }
}

/// How many there are of what the headings count.
fn span_most(scheme: &Scheme) -> u32 {
    match scheme {
        Scheme::Rounds { rounds, .. } | Scheme::ForTime { rounds, .. } => *rounds,
        Scheme::Sets { sets, .. } | Scheme::IntervalSets { sets, .. } => *sets,
        Scheme::RepsForTime { reps, .. } => reps.len() as u32,
        Scheme::WorkRest { intervals, .. } => *intervals,
        Scheme::EveryMinute { total_s } => total_s / 60,
        Scheme::AsManyRounds { .. } | Scheme::Ladder { .. } => *bounds::ROUNDS.end() as u32,
    }
}

/// `Interval 1`, `Rounds 2-3`. `scheme` is that of the part, if it could be read.
pub(super) fn span(input: &mut Input<'_>, scheme: Option<&Scheme>) -> Parsed<(u32, u32)> {
    const WORDS: &[(&str, &str)] = &[
        ("interval", "Interval"),
        ("intervals", "Interval"),
        ("minute", "Minute"),
        ("minutes", "Minute"),
        ("set", "Set"),
        ("sets", "Set"),
        ("round", "Round"),
        ("rounds", "Round"),
    ];
    blank(input)?;
    let word_at = here(input);
    let shape = match scheme {
        Some(scheme) => {
            let (word, most) = (span_word(scheme), span_most(scheme));
            format!("`{word} 1` or `{word}s 1-2` for this part, from 1 to {most}")
        }
        None => "`Interval 1`, `Minutes 2-3`, `Set 1` or `Round 1`".to_owned(),
    };
    let Some(word) = opt(one_word(WORDS)).parse_next(input)? else {
        return stop(input, shape);
    };
    let Some(scheme) = scheme else { return Ok((1, 1)) };
    // A set at the start of each interval may be called either.
    let also = matches!(scheme, Scheme::IntervalSets { .. }) && word == "Set";
    if word != span_word(scheme) && !also {
        return Fault::new(word_at, shape).stop();
    }
    let bounds = 1..=u64::from(span_most(scheme));
    if !number_next(input) {
        return stop(input, shape);
    }
    let from = number(input)?;
    let to = opt((dash, number)).parse_next(input)?;
    let whole = from.span.start..to.as_ref().map_or(from.span.end, |(_, to)| to.span.end);
    let from = from.within(input, 0, 1, &bounds, &shape);
    let to = to.map_or(from, |(_, to)| to.within(input, 0, 1, &bounds, &shape));
    if from > to {
        input.state.note(Fault::new(whole, shape));
    }
    opt(sign(':')).parse_next(input)?;
    end(input, "the end of the heading")?;
    Ok((from, to))
}
