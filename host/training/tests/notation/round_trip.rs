//! For any session, what is written is read back as the same; for any text, reading ends without a panic.

use classwright_training::notation::{parse, parse_bytes, without_lines, write};
use classwright_training::session::{
    Allow, Date, Fallback, Group, Item, Line, Part, Replacement, Team, When, WrittenLoad, WrittenPiece,
};
use classwright_training::{
    Amount, KitIx, Measure, MovementIx, MovementLibrary, PartKind, Region, Scheme, Session, Severity, Sides, Unit,
};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use crate::constructs::{WHOLE, sound};
use crate::library::small;

/// Free text of one line, as it comes out of reading: no blanks at its ends.
fn text() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 .,;:#>'*()@+/\u{2013}é\"-]{1,40}"
        .prop_map(|text| text.trim().to_owned())
        .prop_filter("not blank", |text| !text.is_empty())
}

/// The name of a part, which the heading's own signs end.
fn part_name() -> impl Strategy<Value = Option<String>> {
    of("[A-Za-z][a-z0-9-]{0,8}( [a-z]{1,8}|, [a-z]{1,8}){0,3}".prop_filter("not something else", |name| {
        !["pairs", "relay", "time", "round", "set"].iter().any(|word| name.contains(word))
    }))
}

fn seconds() -> impl Strategy<Value = u32> {
    1..=7200_u32
}

fn rest() -> impl Strategy<Value = u32> {
    prop_oneof![Just(0), seconds()]
}

fn scheme() -> impl Strategy<Value = Scheme> {
    let rounds = || 1..=100_u32;
    prop_oneof![
        (rounds(), rest()).prop_map(|(rounds, rest_s)| Scheme::Rounds { rounds, rest_s }),
        (rounds(), rest(), of(1..=100_u32)).prop_map(|(sets, rest_s, more)| {
            let rest_most_s = more.map(|more| rest_s + more).filter(|&most| rest_s > 0 && most <= 7200);
            Scheme::Sets { sets, rest_s, rest_most_s }
        }),
        (seconds(), rounds()).prop_map(|(every_s, sets)| Scheme::IntervalSets { every_s, sets }),
        (rounds(), rest(), of(seconds())).prop_map(|(rounds, rest_s, cap_s)| Scheme::ForTime { rounds, rest_s, cap_s }),
        (vec(1..=1000_u32, 1..=20), of(seconds())).prop_map(|(reps, cap_s)| Scheme::RepsForTime { reps, cap_s }),
        seconds().prop_map(|limit_s| Scheme::AsManyRounds { limit_s }),
        (1..=120_u32).prop_map(|minutes| Scheme::EveryMinute { total_s: minutes * 60 }),
        (rounds(), seconds(), rest()).prop_map(|(intervals, work_s, rest_s)| Scheme::WorkRest {
            intervals,
            work_s,
            rest_s
        }),
        (1..=1000_u32, 1..=1000_u32, seconds()).prop_map(|(from, step, limit_s)| Scheme::Ladder {
            from,
            step,
            limit_s
        }),
    ]
}

fn movement() -> impl Strategy<Value = MovementIx> {
    any::<Index>().prop_map(|index| MovementIx(index.index(small().movements().len()) as u32))
}

fn measured_in(library: &MovementLibrary, movement: MovementIx, measure: Measure) -> bool {
    let movement = library.movement(movement);
    match measure {
        Measure::Repetitions => movement.rep.is_some(),
        Measure::Seconds => movement.timed,
        Measure::Metres => movement.metre.is_some(),
        Measure::Calories => movement.calorie.is_some(),
    }
}

/// An amount that the movement can be measured in.
fn amount_of(movement: MovementIx) -> impl Strategy<Value = Amount> {
    let library = small();
    let measures: Vec<Measure> = [Measure::Repetitions, Measure::Seconds, Measure::Metres, Measure::Calories]
        .into_iter()
        .filter(|&measure| measured_in(&library, movement, measure))
        .collect();
    let ends = prop_oneof![Just((0, 0)), (1..=900_u32, 0..=100_u32).prop_map(|(low, more)| (low, low + more))];
    let sides = select(vec![Sides::Both, Sides::Each, Sides::Alternating]);
    (ends, select(measures), sides).prop_map(|((low, high), measure, sides)| Amount { low, high, measure, sides })
}

fn piece() -> impl Strategy<Value = WrittenPiece> {
    movement().prop_flat_map(|movement| {
        amount_of(movement).prop_map(move |amount| WrittenPiece { amount: Some(amount), movement })
    })
}

fn load() -> impl Strategy<Value = WrittenLoad> {
    let unit = || select(vec![Unit::Kilograms, Unit::Pounds]);
    let masses = (1..=4_usize, 1..=5_usize)
        .prop_flat_map(|(columns, steps)| vec(vec(100..=50_000_u32, columns), steps))
        .prop_flat_map(move |steps| unit().prop_map(move |unit| WrittenLoad::Masses { steps: steps.clone(), unit }));
    let build = (vec((100..=40_000_u32, 0..=9_000_u32), 1..=3), unit()).prop_map(|(columns, unit)| {
        let (from, to) = columns.into_iter().map(|(from, more)| (from, from + more)).unzip();
        WrittenLoad::Build { from, to, unit }
    });
    let percent =
        (10..=1000_u32, 0..=200_u32, movement(), any::<bool>()).prop_map(|(low_permille, more, of, build)| {
            WrittenLoad::Percent { low_permille, high_permille: low_permille + more, of, build }
        });
    prop_oneof![masses, build, percent, Just(WrittenLoad::Bodyweight), Just(WrittenLoad::EmptyBar)]
}

fn when() -> impl Strategy<Value = When> {
    let severity = select(vec![Severity::Mild, Severity::Moderate, Severity::Severe]);
    prop_oneof![
        (0..4_u32).prop_map(|kit| When::NoKit(KitIx(kit))),
        (select(Region::ALL.to_vec()), severity).prop_map(|(region, least)| When::Limited(region, least)),
        Just(When::Ability),
    ]
}

/// A line that may stand anywhere: a movement always comes with its amount.
fn fallback() -> impl Strategy<Value = Fallback> {
    let add = prop_oneof![Just(0), 1..=1000_i32, -1000..=-1_i32];
    let instead = (of(piece()), add, of(load())).prop_filter_map("says something", |(piece, add_reps, load)| {
        let amount = piece.and_then(|piece| piece.amount);
        let reps = amount.is_none_or(|amount| amount.measure == Measure::Repetitions);
        let says = piece.is_some() || add_reps != 0 || load.is_some();
        (says && (reps || add_reps == 0)).then_some(Replacement {
            amount,
            add_reps,
            movement: piece.map(|piece| piece.movement),
            load,
        })
    });
    (when(), of(instead)).prop_map(|(when, instead)| Fallback { when, instead })
}

fn item() -> impl Strategy<Value = Item> {
    let rest = (of(10..=100_u32), of(100..=120_000_u32), vec(text(), 0..3));
    (vec(piece(), 1..4), of(load()), vec(movement(), 0..3), vec(fallback(), 0..4), rest).prop_map(
        |(pieces, load, choices, fallbacks, (effort_tenths, rep_ms, cues))| {
            let library = small();
            let one = pieces.len() == 1;
            let measure = pieces[0].amount.map(|amount| amount.measure);
            let same = |&choice: &MovementIx| measure.is_none_or(|m| measured_in(&library, choice, m));
            let choices = if one { choices.into_iter().filter(same).collect() } else { Vec::new() };
            // Repetitions can be added to repetitions only.
            let sound = |fallback: &Fallback| {
                let Some(instead) = &fallback.instead else { return true };
                let kept = instead.amount.map(|amount| amount.measure).or(measure);
                !one || instead.add_reps == 0 || kept == Some(Measure::Repetitions)
            };
            let fallbacks = fallbacks.into_iter().filter(sound).collect();
            Item { pieces, load, effort_tenths, rep_ms, choices, fallbacks, cues, line: 0 }
        },
    )
}

fn lines() -> impl Strategy<Value = Vec<Line>> {
    let rest = seconds().prop_map(Line::Rest);
    (item(), vec(prop_oneof![3 => item().prop_map(Line::Work), 1 => rest], 0..3)).prop_map(|(first, more)| {
        let mut lines = vec![Line::Work(first)];
        lines.extend(more);
        lines
    })
}

fn part() -> impl Strategy<Value = Part> {
    let team = prop_oneof![Just(Team::Alone), Just(Team::Pairs), (2..=20_u32).prop_map(Team::Relay)];
    let groups = (vec(lines(), 1..3), any::<bool>());
    ((select(PartKind::ALL.to_vec()), part_name(), scheme(), team), groups, vec(fallback(), 0..3), vec(text(), 0..3))
        .prop_map(|((kind, name, scheme, team), (groups, counted), fallbacks, notes)| {
            // The first round, set, interval or minute there always is.
            let span = |ix: usize| (counted || ix > 0).then_some((1, 1));
            let groups = groups.into_iter().enumerate().map(|(ix, lines)| Group { span: span(ix), lines }).collect();
            let mut part = Part { kind, name, scheme, team, groups, fallbacks, notes, line: 0 };
            leave_to_scheme(&mut part);
            part
        })
}

/// Where the scheme gives the amounts, items that can do without theirs.
fn leave_to_scheme(part: &mut Part) {
    let clock = matches!(part.scheme, Scheme::WorkRest { .. });
    let given = clock || matches!(part.scheme, Scheme::RepsForTime { .. } | Scheme::Ladder { .. });
    for line in part.groups.iter_mut().flat_map(|group| &mut group.lines) {
        let Line::Work(item) = line else { continue };
        for piece in &mut item.pieces {
            let plain = piece.amount.is_some_and(|amount| amount.measure == Measure::Repetitions && amount.low == 7);
            if given && plain {
                piece.amount = None;
            }
        }
    }
}

fn session() -> impl Strategy<Value = Session> {
    let date = of((1900..=2999_u16, 1..=12_u8, 1..=28_u8))
        .prop_map(|date| date.map(|(year, month, day)| Date { year, month, day }));
    let allow = (any::<bool>(), any::<bool>(), any::<bool>());
    (text(), date, 300..=14_400_u32, of(text()), allow, vec(part(), 1..4)).prop_map(
        |(title, date, length_s, intent, (load, volume, demand), parts)| Session {
            title,
            date,
            length_s,
            intent,
            allow: Allow { load, volume, demand },
            parts,
        },
    )
}

/// Words of the notation, to make texts that are nearly sessions.
const SCRAPS: &[&str] = &[
    "# ",
    "## ",
    "### ",
    "- ",
    "  - ",
    "> ",
    "\n",
    "\n\n",
    " ",
    ": ",
    ", ",
    "; ",
    "@ ",
    "/",
    "-",
    "+",
    "+ ",
    "%",
    "(",
    ")",
    "or ",
    "either ",
    "of ",
    "build ",
    "max ",
    "alternating ",
    "/side",
    "per side",
    "rest ",
    "cap ",
    "for time",
    "x ",
    "every ",
    "rounds",
    "sets",
    "ladder from ",
    "by ",
    "in ",
    "0:30",
    "12",
    "8-10",
    "1:00:00",
    "99999999999999999999",
    "-3",
    "62.5",
    "kg",
    "lb",
    "m",
    "cal",
    "RPE ",
    "bodyweight",
    "empty bar",
    "Strength",
    "Conditioning",
    "Round 1",
    "length: 60 min",
    "date: 2026-12-07",
    "intent: ",
    "allow: ",
    "no barbell",
    "sore knee",
    "ability",
    "cue",
    "leave out",
    "push-ups",
    "back squat",
    "run",
    "plank",
    "frobnicate",
    "é",
    "\u{feff}",
    "\r\n",
    "\t",
    "\u{1b}",
    "´",
    "½",
];

/// Whatever it is, reading ends; a session that comes out can be written and read again.
fn survives(text: &str) -> Result<(), TestCaseError> {
    let library = small();
    match parse(text, &library) {
        Ok(session) => {
            sound(&write(&session, &library), &library);
        }
        Err(errors) => {
            prop_assert!(!errors.is_empty());
            for error in errors {
                prop_assert!(text.get(error.span.clone()).is_some(), "{error:?}");
                prop_assert!(error.line >= 1 && error.column >= 1 && error.width >= 1 && !error.expected.is_empty());
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_written_is_read_back(session in session()) {
        let library = small();
        let written = write(&session, &library);
        let read = match parse(&written, &library) {
            Ok(read) => read,
            Err(errors) => return Err(TestCaseError::fail(format!("{written}\n{errors:#?}"))),
        };
        prop_assert_eq!(without_lines(&read), session, "{}", written);
        prop_assert_eq!(write(&read, &library), written);
    }

    #[test]
    fn any_text_is_survived(text in any::<String>()) {
        survives(&text)?;
    }

    #[test]
    fn any_bytes_are_survived(bytes in vec(any::<u8>(), 0..400)) {
        let _ = parse_bytes(&bytes, &small());
    }

    #[test]
    fn scraps_of_the_notation_are_survived(scraps in vec(select(SCRAPS), 0..60)) {
        survives(&format!("# T\n- length: 60 min\n## Skill: 3 rounds\n- 5 push-up\n{}", scraps.concat()))?;
        survives(&scraps.concat())?;
    }

    #[test]
    fn a_session_with_a_slip_is_survived(
        at in any::<Index>(), cut in 0..12_usize, scrap in select(SCRAPS), again in any::<Index>(),
    ) {
        let mut signs: Vec<char> = WHOLE.chars().collect();
        let start = at.index(signs.len());
        signs.splice(start..(start + cut).min(WHOLE.len().min(signs.len())), scrap.chars());
        survives(&signs.iter().collect::<String>())?;
        signs.remove(again.index(signs.len()));
        survives(&signs.iter().collect::<String>())?;
    }
}
