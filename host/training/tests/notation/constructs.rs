//! A whole session, and what stands around its items: headings, schemes, marks.

use classwright_training::notation::{parse, without_lines, write};
use classwright_training::session::{Allow, Date, Group, Line, Team};
use classwright_training::{MovementLibrary, PartKind, Scheme, Session};

use crate::library::small;

/// A session with one of everything.
pub(crate) const WHOLE: &str = include_str!("whole.md");

/// Reads a session that must be sound, and checks that writing and reading agree.
pub(crate) fn sound(text: &str, library: &MovementLibrary) -> Session {
    let session = parse(text, library).unwrap_or_else(|errors| panic!("{text}\n{errors:#?}"));
    let written = write(&session, library);
    let again = parse(&written, library).unwrap_or_else(|errors| panic!("{written}\n{errors:#?}"));
    assert_eq!(without_lines(&again), without_lines(&session), "{written}");
    assert_eq!(write(&again, library), written);
    session
}

#[test]
fn a_whole_session_is_read_and_written_back() {
    let library = small();
    let session = sound(WHOLE, &library);
    assert_eq!(session.title, "Monday");
    assert_eq!(session.date, Some(Date { year: 2026, month: 12, day: 7 }));
    assert_eq!(session.length_s, 3600);
    assert_eq!(session.intent.as_deref(), Some("heavy legs, then breathe"));
    assert_eq!(session.allow, Allow { load: true, volume: false, demand: true });
    assert_eq!(session.parts.len(), 4);
    let first = &session.parts[0];
    assert_eq!((first.kind, first.name.as_deref(), first.line), (PartKind::Preparation, Some("easy start"), 7));
    assert_eq!(first.notes, ["Free paragraph over two lines.", "12 is a quote"]);
    let conditioning = &session.parts[2];
    assert_eq!(conditioning.team, Team::Pairs);
    assert_eq!(conditioning.groups.iter().map(|group| group.span).collect::<Vec<_>>(), [None, Some((2, 3))]);
    assert_eq!(conditioning.fallbacks.len(), 1);
    assert_eq!(write(&session, &library), include_str!("whole.canonical.md"));
}

#[test]
fn schemes() {
    let cases = [
        ("3 rounds", Scheme::Rounds { rounds: 3, rest_s: 0 }, "3 rounds"),
        ("1 Round, rest 60 s", Scheme::Rounds { rounds: 1, rest_s: 60 }, "1 round, rest 1:00"),
        ("5 sets", Scheme::Sets { sets: 5, rest_s: 0, rest_most_s: None }, "5 sets"),
        (
            "5 sets, rest 2:00-3:00",
            Scheme::Sets { sets: 5, rest_s: 120, rest_most_s: Some(180) },
            "5 sets, rest 2:00-3:00",
        ),
        ("every 2:00 x 6", Scheme::IntervalSets { every_s: 120, sets: 6 }, "every 2:00 x 6"),
        ("every 90 s × 6 sets", Scheme::IntervalSets { every_s: 90, sets: 6 }, "every 1:30 x 6"),
        ("for time", Scheme::ForTime { rounds: 1, rest_s: 0, cap_s: None }, "for time"),
        ("for time, cap 12:00", Scheme::ForTime { rounds: 1, rest_s: 0, cap_s: Some(720) }, "for time, cap 12:00"),
        (
            "4 rounds for time, cap 14 min, rest 1:00",
            Scheme::ForTime { rounds: 4, rest_s: 60, cap_s: Some(840) },
            "4 rounds for time, rest 1:00, cap 14:00",
        ),
        (
            "12-9-6 for time, cap 10:00",
            Scheme::RepsForTime { reps: vec![12, 9, 6], cap_s: Some(600) },
            "12-9-6 for time, cap 10:00",
        ),
        (
            "As many rounds as possible in 12:00",
            Scheme::AsManyRounds { limit_s: 720 },
            "as many rounds as possible in 12:00",
        ),
        ("every minute for 12:00", Scheme::EveryMinute { total_s: 720 }, "every minute for 12:00"),
        (
            "5 x 3:00 work, 1:00 rest",
            Scheme::WorkRest { intervals: 5, work_s: 180, rest_s: 60 },
            "5 x 3:00 work, 1:00 rest",
        ),
        ("5 x 3:00 work", Scheme::WorkRest { intervals: 5, work_s: 180, rest_s: 0 }, "5 x 3:00 work"),
        (
            "ladder from 2 by 2 in 10:00",
            Scheme::Ladder { from: 2, step: 2, limit_s: 600 },
            "ladder from 2 by 2 in 10:00",
        ),
    ];
    let library = small();
    for (text, scheme, written) in cases {
        let session = sound(&format!("# T\n- length: 60 min\n## Conditioning: {text}\n- 5 push-up\n"), &library);
        assert_eq!(session.parts[0].scheme, scheme, "{text}");
        let heading = format!("## Conditioning: {written}\n");
        assert!(write(&session, &library).contains(&heading), "{text}");
    }
}

#[test]
fn headings() {
    let one = Scheme::Rounds { rounds: 1, rest_s: 0 };
    let cases = [
        ("Cool-down", PartKind::CoolDown, None, one.clone(), Team::Alone),
        ("cool down", PartKind::CoolDown, None, one.clone(), Team::Alone),
        ("Skill, on the rings, slowly", PartKind::Skill, Some("on the rings, slowly"), one.clone(), Team::Alone),
        ("Conditioning, in pairs", PartKind::Conditioning, None, one.clone(), Team::Pairs),
        (
            "Conditioning, last: for time, relay in teams of 3",
            PartKind::Conditioning,
            Some("last"),
            Scheme::ForTime { rounds: 1, rest_s: 0, cap_s: None },
            Team::Relay(3),
        ),
        (
            "Preparation, 10:00 easy: 2 rounds",
            PartKind::Preparation,
            Some("10:00 easy"),
            Scheme::Rounds { rounds: 2, rest_s: 0 },
            Team::Alone,
        ),
    ];
    let library = small();
    for (text, kind, name, scheme, team) in cases {
        let session = sound(&format!("# T\n- length: 60 min\n## {text}\n- 5 push-up\n"), &library);
        let part = &session.parts[0];
        let found = (part.kind, part.name.as_deref(), part.scheme.clone(), part.team);
        assert_eq!(found, (kind, name, scheme, team), "{text}");
    }
}

#[test]
fn headings_within_a_part() {
    let library = small();
    for (scheme, heading, span) in [
        ("every 2:00 x 6", "Interval 1", (1, 1)),
        ("every 2:00 x 6", "sets 2-6", (2, 6)),
        ("every minute for 12:00", "Minutes 11-12", (11, 12)),
        ("3 rounds", "Round 3", (3, 3)),
        ("as many rounds as possible in 9:00", "Rounds 40-100", (40, 100)),
        ("5 sets", "Set 5", (5, 5)),
        ("5 x 3:00 work", "Interval 5", (5, 5)),
    ] {
        let text = format!("# T\n- length: 60 min\n## Skill: {scheme}\n### {heading}\n- 5 push-up\n- rest 0:30\n");
        let session = sound(&text, &library);
        let [Group { span: found, lines }] = &session.parts[0].groups[..] else { panic!("{session:?}") };
        assert_eq!((*found, lines.len()), (Some(span), 2), "{heading}");
        assert_eq!(lines[1], Line::Rest(30));
    }
}

#[test]
fn the_marks_of_markdown_may_vary() {
    let library = small();
    let plain = sound("# T\n\n- length: 60 min\n\n## Skill\n\n- 5 push-up\n  - cue: tall\n", &library);
    for text in [
        "\u{feff}# T\r\n- length: 60 min\r\n##Skill\r\n* 5 push-up\r\n\t* cue: tall\r\n",
        "# T\n* Length:  60 minutes\n---\n## skill\n+ 5  push  up\n\n    - Cue:   tall",
    ] {
        assert_eq!(without_lines(&sound(text, &library)), without_lines(&plain), "{text}");
    }
}
