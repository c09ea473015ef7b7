//! What may stand in a line of work: amounts, movements, loads, times, the coach's own lines, cues.

use classwright_training::notation::write;
use classwright_training::session::{Fallback, Item, Line, Replacement, When, WrittenLoad, WrittenPiece};
use classwright_training::{Amount, KitIx, Measure, MovementIx, MovementLibrary, Region, Severity, Sides, Unit};

use crate::constructs::sound;
use crate::library::small;

fn ix(library: &MovementLibrary, name: &str) -> MovementIx {
    library.named(name).unwrap_or_else(|| panic!("no movement {name}"))
}

/// The item of a session with only this line (and those under it), and how the line is written back.
fn item_in(scheme: &str, line: &str) -> (Item, String) {
    let library = small();
    let session = sound(&format!("# T\n- length: 60 min\n## Strength: {scheme}\n- {line}\n"), &library);
    let written = write(&session, &library);
    let written = written.split("\n- ").last().expect("the item is last").trim_end().to_owned();
    match session.parts[0].groups[0].lines[0].clone() {
        Line::Work(item) => (item, written),
        Line::Rest(seconds) => panic!("a rest of {seconds} s"),
    }
}

fn item(line: &str) -> (Item, String) {
    item_in("5 sets", line)
}

#[test]
fn amounts() {
    use Measure::{Calories, Metres, Repetitions, Seconds};
    use Sides::{Alternating, Both, Each};
    let cases = [
        ("12 push-up", "push-up", (12, 12, Repetitions, Both), "12 push-up"),
        ("12 reps Press Ups", "push-up", (12, 12, Repetitions, Both), "12 push-up"),
        ("8-10 push-up", "push-up", (8, 10, Repetitions, Both), "8-10 push-up"),
        ("8 – 10 push-up", "push-up", (8, 10, Repetitions, Both), "8-10 push-up"),
        ("6/side reverse lunge", "reverse lunge", (6, 6, Repetitions, Each), "6/side reverse lunge"),
        ("6 reverse lunges per side", "reverse lunge", (6, 6, Repetitions, Each), "6/side reverse lunge"),
        ("12 alternating step-ups", "step-up", (12, 12, Repetitions, Alternating), "12 alternating step-up"),
        ("0:30/side side plank", "side plank", (30, 30, Seconds, Each), "0:30/side side plank"),
        ("30 s each side side plank", "side plank", (30, 30, Seconds, Each), "0:30/side side plank"),
        ("20-30 sec plank", "plank", (20, 30, Seconds, Both), "0:20-0:30 plank"),
        ("1:30-2:00 row", "row machine", (90, 120, Seconds, Both), "1:30-2:00 row machine"),
        ("5 min run", "run", (300, 300, Seconds, Both), "5:00 run"),
        ("200 m run", "run", (200, 200, Metres, Both), "200 m run"),
        ("1.5 km run", "run", (1500, 1500, Metres, Both), "1500 m run"),
        ("200-400 meters run", "run", (200, 400, Metres, Both), "200-400 m run"),
        ("15 cal row machine", "row machine", (15, 15, Calories, Both), "15 cal row machine"),
        ("max push-up", "push-up", (0, 0, Repetitions, Both), "max push-up"),
        ("max/side reverse lunge", "reverse lunge", (0, 0, Repetitions, Each), "max/side reverse lunge"),
        ("max plank", "plank", (0, 0, Seconds, Both), "max s plank"),
        ("max row machine", "row machine", (0, 0, Calories, Both), "max cal row machine"),
        ("max m row machine", "row machine", (0, 0, Metres, Both), "max m row machine"),
        ("10 90/90 hip switch", "90/90 hip switch", (10, 10, Repetitions, Both), "10 90/90 hip switch"),
        // The longest name is meant; the writer keeps the two apart.
        (
            "8 alternating dumbbell swing",
            "alternating dumbbell swing",
            (8, 8, Repetitions, Both),
            "8 alternating dumbbell swing",
        ),
        (
            "8 dumbbell swing alternating",
            "dumbbell swing",
            (8, 8, Repetitions, Alternating),
            "8/alternating dumbbell swing",
        ),
    ];
    let library = small();
    for (text, name, (low, high, measure, sides), written) in cases {
        let (item, back) = item(text);
        let amount = Some(Amount { low, high, measure, sides });
        assert_eq!(item.pieces, [WrittenPiece { amount, movement: ix(&library, name) }], "{text}");
        assert_eq!(back, written, "{text}");
    }
}

#[test]
fn items_without_an_amount() {
    for (scheme, line) in [
        ("12-9-6 for time", "squat to press @ 40 kg"),
        ("12-9-6 for time", "90/90 hip switch"),
        ("ladder from 2 by 2 in 10:00", "push-up"),
        ("5 x 3:00 work, 1:00 rest", "row machine"),
    ] {
        let (item, back) = item_in(scheme, line);
        assert_eq!(item.pieces[0].amount, None);
        assert_eq!(back, line);
    }
    let (item, _) = item_in("12-9-6 for time", "200 m run");
    assert_eq!(item.pieces[0].amount.map(|amount| amount.low), Some(200), "an item that has one keeps it");
}

#[test]
fn loads() {
    let library = small();
    let percent = |low_permille, high_permille, of, build| WrittenLoad::Percent {
        low_permille,
        high_permille,
        of: ix(&library, of),
        build,
    };
    let masses =
        |steps: &[&[u32]], unit| WrittenLoad::Masses { steps: steps.iter().map(|step| step.to_vec()).collect(), unit };
    let kg = Unit::Kilograms;
    let cases = [
        ("40 kg", masses(&[&[4000]], kg), "40 kg"),
        ("62.50kg", masses(&[&[6250]], kg), "62.5 kg"),
        ("95 lb", masses(&[&[9500]], Unit::Pounds), "95 lb"),
        ("40/30 kg", masses(&[&[4000, 3000]], kg), "40/30 kg"),
        ("60, 70, 80 kg", masses(&[&[6000], &[7000], &[8000]], kg), "60, 70, 80 kg"),
        ("60 kg, 70 kg", masses(&[&[6000], &[7000]], kg), "60, 70 kg"),
        ("60/40, 70/45 kg", masses(&[&[6000, 4000], &[7000, 4500]], kg), "60/40, 70/45 kg"),
        ("70%", percent(700, 700, "front squat", false), "70% of front squat"),
        ("70% of back squats", percent(700, 700, "back squat", false), "70% of back squat"),
        ("65-75% of clean", percent(650, 750, "clean", false), "65-75% of clean"),
        ("build 60-82.5%", percent(600, 825, "front squat", true), "build 60-82.5% of front squat"),
        ("build 40-60 kg", WrittenLoad::Build { from: vec![4000], to: vec![6000], unit: kg }, "build 40-60 kg"),
        (
            "build 40/30-60/45 kg",
            WrittenLoad::Build { from: vec![4000, 3000], to: vec![6000, 4500], unit: kg },
            "build 40/30-60/45 kg",
        ),
        ("Bodyweight", WrittenLoad::Bodyweight, "bodyweight"),
        ("empty bar", WrittenLoad::EmptyBar, "empty bar"),
    ];
    for (text, load, written) in cases {
        let (plain, back) = item(&format!("5 front squat @ {text}"));
        assert_eq!((plain.load.as_ref(), plain.effort_tenths), (Some(&load), None), "{text}");
        assert_eq!(back, format!("5 front squat @ {written}"));
        let (with_effort, back) = item(&format!("5 front squat @ {text}, rpe 7.5"));
        assert_eq!((with_effort.load, with_effort.effort_tenths), (Some(load), Some(75)), "{text}");
        assert_eq!(back, format!("5 front squat @ {written}, RPE 7.5"));
    }
    let (only, back) = item("5 front squat @ RPE 8");
    assert_eq!((only.load, only.effort_tenths), (None, Some(80)));
    assert_eq!(back, "5 front squat @ RPE 8");
}

#[test]
fn the_coachs_own_time_a_repetition() {
    for (text, ms, back) in [
        ("(3 s a rep)", 3000, "(3 s a rep)"),
        ("(2.5 seconds per rep)", 2500, "(2.5 s a rep)"),
        ("(tempo 3/1/1/0)", 5000, "(5 s a rep)"),
    ] {
        let (item, written) = item(&format!("5 front squat @ 40 kg {text}; slowly; and well"));
        assert_eq!(item.rep_ms, Some(ms), "{text}");
        assert_eq!(item.cues, ["slowly; and well"]);
        assert_eq!(written, format!("5 front squat @ 40 kg {back}; slowly; and well"));
    }
    assert_eq!(item("5 front squat (3 s a rep) @ 40 kg").0.rep_ms, Some(3000), "before the load too");
}

#[test]
fn complexes_choices_and_easier_movements() {
    let library = small();
    let (complex, _) = item("1 clean pull + 2 hang power cleans + 1 front squat @ 60% of clean");
    let names: Vec<&str> = complex.pieces.iter().map(|piece| library.movement(piece.movement).name.as_str()).collect();
    assert_eq!(names, ["clean pull", "hang power clean", "front squat"]);

    let (choice, _) = item("8 either ring dips or bar dips or push-ups");
    assert_eq!(choice.pieces[0].movement, ix(&library, "ring dip"));
    assert_eq!(choice.choices, [ix(&library, "bar dip"), ix(&library, "push-up")]);
    assert!(choice.fallbacks.is_empty());

    let (easier, _) = item("9 pull-ups or 12 ring rows or push-up @ bodyweight");
    let reps = |low| Amount { low, high: low, measure: Measure::Repetitions, sides: Sides::Both };
    let instead = |amount, name| Fallback {
        when: When::Ability,
        instead: Some(Replacement { amount, add_reps: 0, movement: Some(ix(&library, name)), load: None }),
    };
    assert_eq!(easier.fallbacks, [instead(Some(reps(12)), "ring row"), instead(None, "push-up")]);
    // A name may hold the word itself.
    assert_eq!(item("5 burpee with a hop over the bar or line").0.fallbacks, []);
    assert_eq!(item("5 burpee with a hop over the bar or line or push-up").0.fallbacks, [instead(None, "push-up")]);
}

#[test]
fn the_coachs_own_lines() {
    let library = small();
    let nothing = Replacement { amount: None, add_reps: 0, movement: None, load: None };
    let barbell = When::NoKit(library.find_kit("barbell").unwrap_or(KitIx(99)));
    let cases = [
        ("no barbell: leave out", barbell, None),
        (
            "no bars: goblet squat",
            barbell,
            Some(Replacement { movement: Some(ix(&library, "goblet squat")), ..nothing.clone() }),
        ),
        (
            "no barbell: 12 alternating dumbbell snatch @ 22.5 kg",
            barbell,
            Some(Replacement {
                amount: Some(Amount { low: 12, high: 12, measure: Measure::Repetitions, sides: Sides::Alternating }),
                movement: Some(ix(&library, "dumbbell snatch")),
                load: Some(WrittenLoad::Masses { steps: vec![vec![2250]], unit: Unit::Kilograms }),
                ..nothing.clone()
            }),
        ),
        (
            "sore shoulder: -2 reps",
            When::Limited(Region::Shoulder, Severity::Mild),
            Some(Replacement { add_reps: -2, ..nothing.clone() }),
        ),
        (
            "shoulder: @ empty bar",
            When::Limited(Region::Shoulder, Severity::Mild),
            Some(Replacement { load: Some(WrittenLoad::EmptyBar), ..nothing.clone() }),
        ),
        (
            "moderate knee: goblet squat, +10 reps",
            When::Limited(Region::Knee, Severity::Moderate),
            Some(Replacement { add_reps: 10, movement: Some(ix(&library, "goblet squat")), ..nothing.clone() }),
        ),
        (
            "severe lower back: 8",
            When::Limited(Region::LowerBack, Severity::Severe),
            Some(Replacement {
                amount: Some(Amount { low: 8, high: 8, measure: Measure::Repetitions, sides: Sides::Both }),
                ..nothing.clone()
            }),
        ),
        (
            "ability: @ 70%",
            When::Ability,
            Some(Replacement {
                load: Some(WrittenLoad::Percent {
                    low_permille: 700,
                    high_permille: 700,
                    of: ix(&library, "back squat"),
                    build: false,
                }),
                ..nothing.clone()
            }),
        ),
    ];
    for (text, when, instead) in cases {
        let (item, _) = item(&format!("12 back squat\n  - {text}\n"));
        assert_eq!(item.fallbacks, [Fallback { when, instead }], "{text}");
    }
}

#[test]
fn cues_and_notes_go_on_over_lines() {
    let (item, back) =
        item("12 back squat; tall\n  and proud\n  - cue: breathe\n    out\n  - no barbell: leave out\n  last");
    assert_eq!(item.cues, ["tall and proud", "breathe out", "last"]);
    assert!(back.ends_with("  - cue: last"), "{back}");
}
