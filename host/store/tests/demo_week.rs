//! The demo gym's week of sessions can be read, and together they use every construct of the notation.

use std::collections::BTreeSet;
use std::path::Path;

use classwright_store::{Gym, open};
use classwright_training::session::{Line, Team, When, WrittenLoad};
use classwright_training::{Measure, PartKind, Session, Severity, Sides, notation};

fn gym() -> Gym {
    open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")).expect("tests/demo_gym.rs tells why not")
}

fn sessions(gym: &Gym) -> Vec<Session> {
    let mut problems = Vec::new();
    let mut read = Vec::new();
    for path in &gym.sessions {
        match notation::parse(&std::fs::read_to_string(path).expect("it is there"), &gym.library) {
            Ok(session) => read.push(session),
            Err(errors) => problems.extend(errors.iter().map(|error| format!("{}: {error}", path.display()))),
        }
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
    read
}

#[test]
fn every_session_can_be_read_and_has_the_day_of_its_class() {
    let gym = gym();
    let sessions = sessions(&gym);
    assert_eq!(sessions.len(), 9);
    for class in &gym.classes {
        let at = gym.sessions.iter().position(|path| *path == class.session).expect("the demo gym has it");
        assert_eq!(sessions[at].date, Some(class.date), "{}", class.id);
        let shorter = [("sunday-pull", 1800), ("sunday-row", 2700)];
        let length = shorter.iter().find(|(id, _)| *id == class.id).map_or(3600, |(_, length)| *length);
        assert_eq!(sessions[at].length_s, length, "{}", class.id);
    }
}

/// Names of the constructs that a session uses.
fn constructs(session: &Session) -> BTreeSet<String> {
    let mut used = BTreeSet::new();
    let mut uses = |name: &str| used.insert(name.to_owned());
    for part in &session.parts {
        uses(part.kind.id());
        uses(part.scheme.id());
        match part.team {
            Team::Alone => uses("alone"),
            Team::Pairs => uses("pairs"),
            Team::Relay(_) => uses("relay"),
        };
        if !part.fallbacks.is_empty() {
            uses("line for a part");
        }
        if part.groups.iter().any(|group| group.span.is_some()) {
            uses("group");
        }
        if !part.notes.is_empty() {
            uses("note");
        }
        if part.groups.iter().flat_map(|group| &group.lines).any(|line| matches!(line, Line::Rest(_))) {
            uses("rest");
        }
        for item in part.items() {
            if item.pieces.len() > 1 {
                uses("complex");
            }
            if !item.choices.is_empty() {
                uses("choice");
            }
            if !item.cues.is_empty() {
                uses("cue");
            }
            if item.effort_tenths.is_some() {
                uses("effort");
            }
            if item.rep_ms.is_some() {
                uses("own pace");
            }
            uses(match &item.load {
                None => "no load",
                Some(WrittenLoad::Masses { steps, .. }) if steps.len() > 1 => "rising masses",
                Some(WrittenLoad::Masses { steps, .. }) if steps[0].len() > 1 => "columns",
                Some(WrittenLoad::Masses { .. }) => "mass",
                Some(WrittenLoad::Percent { build: true, .. }) => "percent build",
                Some(WrittenLoad::Percent { low_permille, high_permille, .. }) if low_permille < high_permille => {
                    "percent range"
                }
                Some(WrittenLoad::Percent { .. }) => "percent",
                Some(WrittenLoad::Build { .. }) => "mass build",
                Some(WrittenLoad::Bodyweight) => "bodyweight",
                Some(WrittenLoad::EmptyBar) => "empty bar",
            });
            for fallback in &item.fallbacks {
                uses(match fallback.when {
                    When::NoKit(_) => "no kit",
                    When::Limited(_, Severity::Mild) => "sore",
                    When::Limited(_, Severity::Moderate) => "moderate",
                    When::Limited(_, Severity::Severe) => "severe",
                    When::Ability => "ability",
                });
                match &fallback.instead {
                    None => uses("leave out"),
                    Some(instead) if instead.add_reps != 0 => uses("more reps"),
                    Some(instead) if instead.load.is_some() => uses("other load"),
                    Some(_) => uses("other movement"),
                };
            }
            for amount in item.pieces.iter().filter_map(|piece| piece.amount) {
                uses(match amount.measure {
                    Measure::Repetitions => "repetitions",
                    Measure::Seconds => "seconds",
                    Measure::Metres => "metres",
                    Measure::Calories => "calories",
                });
                uses(match amount.sides {
                    Sides::Both => "both sides",
                    Sides::Each => "a side",
                    Sides::Alternating => "alternating",
                });
                if amount.low < amount.high {
                    uses("range");
                }
                if amount.high == 0 {
                    uses("max");
                }
            }
            if item.pieces.iter().any(|piece| piece.amount.is_none()) {
                uses("amount by scheme");
            }
        }
    }
    used
}

#[test]
fn the_week_uses_every_construct() {
    let gym = gym();
    let used: BTreeSet<String> = sessions(&gym).iter().flat_map(constructs).collect();
    let schemes =
        ["rounds", "sets", "interval-sets", "for-time", "as-many-rounds", "every-minute", "work-rest", "ladder"];
    let others = [
        "alone",
        "pairs",
        "relay",
        "line for a part",
        "group",
        "note",
        "rest",
        "complex",
        "choice",
        "cue",
        "effort",
        "own pace",
        "no load",
        "rising masses",
        "columns",
        "mass",
        "percent build",
        "percent range",
        "percent",
        "mass build",
        "bodyweight",
        "empty bar",
        "no kit",
        "sore",
        "moderate",
        "severe",
        "ability",
        "leave out",
        "more reps",
        "other load",
        "other movement",
        "repetitions",
        "seconds",
        "metres",
        "calories",
        "both sides",
        "a side",
        "alternating",
        "range",
        "max",
        "amount by scheme",
    ];
    let wanted = PartKind::ALL.map(PartKind::id).into_iter().chain(schemes).chain(others);
    let missing: Vec<&str> = wanted.filter(|name| !used.contains(*name)).collect();
    assert!(missing.is_empty(), "no session uses {missing:?}");
}
