//! Every mistake: where it is, what stands there, what would be right.

use classwright_training::notation::{MAX_BYTES, NotationError, bounds, parse, parse_bytes};

use crate::constructs::WHOLE;
use crate::library::small;

/// Line, column, text, a piece of what was expected, nearest name.
type Mistake<'a> = (u32, u32, &'a str, &'a str, Option<&'a str>);

fn errors(text: &str) -> Vec<NotationError> {
    parse(text, &small()).expect_err(text)
}

fn check(text: &str, expected: &[Mistake<'_>]) {
    let errors = errors(text);
    let found: Vec<_> =
        errors.iter().map(|e| (e.line, e.column, e.text.as_str(), e.expected.as_str(), e.nearest.as_deref())).collect();
    assert_eq!(found.len(), expected.len(), "{text}\n{found:#?}");
    for (error, (found, expected)) in errors.iter().zip(found.iter().zip(expected)) {
        assert_eq!((found.0, found.1, found.2, found.4), (expected.0, expected.1, expected.2, expected.4), "{text}");
        assert!(found.3.contains(expected.3), "{text}\n{} has no {}", found.3, expected.3);
        assert_eq!(&text[error.span.clone()], error.text, "{text}");
        assert_eq!(error.width as usize, error.text.chars().count().max(1), "{text}");
    }
}

/// One line in a part of sets; columns are those of the line.
fn check_item(line: &str, expected: Mistake<'_>) {
    check_in("5 sets", line, expected);
}

fn check_in(scheme: &str, line: &str, (at, column, text, what, nearest): Mistake<'_>) {
    let text_of = format!("# T\n- length: 60 min\n## Strength: {scheme}\n{line}\n- 5 push-up\n");
    check(&text_of, &[(at + 3, column, text, what, nearest)]);
}

#[test]
fn several_at_once_in_the_order_of_the_file() {
    let text = "# Monday
- date: 2026-02-30
- lenght: 60 min
## Strenght: 5 sets
- 5 bak squat @ 600 kg, RPE 12
- 200 m back squat
  - no barbel: goblet squatt
  - sore sholder: leave out
## Conditioning: four rounds
- 12 push-up
";
    check(
        text,
        &[
            (1, 3, "Monday", "`- length: 60 min`", None),
            (2, 9, "2026-02-30", "that exists", None),
            (3, 3, "lenght", "`length:`", Some("length")),
            (4, 4, "Strenght", "Strength", Some("Strength")),
            (5, 5, "bak squat", "a movement", Some("back squat")),
            (5, 17, "600", "0.25 kg to 500 kg", None),
            (5, 29, "12", "from 1 to 10", None),
            (6, 3, "200 m", "back squat in repetitions (`12`)", None),
            (7, 5, "no barbel", "kind of kit", Some("no barbell")),
            (7, 16, "goblet squatt", "a movement", Some("goblet squat")),
            (8, 5, "sore sholder", "shoulder", Some("sore shoulder")),
            (9, 18, "four rounds", "`3 rounds`", None),
        ],
    );
    assert_eq!(
        errors(text)[4].to_string(),
        "line 5, column 5: found `bak squat`, expected a movement of the library; did you mean `back squat`?"
    );
}

#[test]
fn what_is_missing() {
    check("", &[(1, 1, "", "a title", None), (1, 1, "", "`- length: 60 min`", None), (1, 1, "", "a part", None)]);
    let items = "## Skill\n- 5 push-up\n";
    check(&format!("- length: 60 min\n{items}"), &[(1, 1, "", "a title", None)]);
    check(&format!("# T\n{items}"), &[(1, 3, "T", "`- length: 60 min`", None)]);
    check("# T\n- length: 60 min\n", &[(3, 1, "", "a part, such as", None)]);
    check("# T\n- length: 60 min\n## Skill\nText.\n", &[(3, 4, "Skill", "an item", None)]);
    check(
        &format!("# T\n- length: 60 min\n## Skill\n### Round 1\n{items}"),
        &[(3, 4, "Skill", "an item", None), (4, 5, "Round 1", "an item or a rest", None)],
    );
    check("#\n- length: 60 min\n## Skill\n- 5 push-up", &[(1, 2, "", "a title after", None)]);
}

#[test]
fn what_stands_in_the_wrong_place() {
    let head = "# T\n- length: 60 min\n";
    let part = "## Skill\n- 5 push-up\n";
    for (middle, end, mistake) in [
        ("- 5 push-up\n", "", (3, 3, "5 push-up", "a part before its items", None)),
        ("Some text.\n", "", (3, 1, "Some text.", "`- intent: …`", None)),
        ("### Round 1\n", "", (3, 5, "Round 1", "a part before", None)),
        ("  - cue: x\n", "", (3, 5, "cue: x", "an item above", None)),
        ("- coach: me\n", "", (3, 3, "coach", "`date:`", None)),
        ("- Length: 50 min\n", "", (3, 3, "Length", "`length:` once", None)),
        ("# U\n", "", (3, 3, "U", "one title", None)),
        ("", "# U\n", (5, 3, "U", "one title", None)),
        ("", "#### deep\n", (5, 6, "deep", "at most three", None)),
        ("", "-5 push-up\n", (5, 1, "-5 push-up", "a dash and a blank", None)),
        ("", "1. 5 push-up\n", (5, 1, "1. 5 push-up", "a dash and a blank", None)),
        ("", "  - lower slowly\n", (5, 5, "lower slowly", "under an item", None)),
        ("", "- rest 1:00\n  - cue: x\n", (6, 5, "cue: x", "an item above", None)),
        ("", "- coach: x\n", (5, 3, "coach", "`no KIT:`", Some("cue"))),
        ("", "note \u{1b}[31m\n", (5, 6, "\u{1b}", "control characters", None)),
    ] {
        let text = format!("{head}{middle}{part}{end}");
        let errors = errors(&text);
        let mistake: Mistake<'_> = mistake;
        assert!(
            errors.iter().any(|e| (e.line, e.column, e.text.as_str()) == (mistake.0, mistake.1, mistake.2)
                && e.expected.contains(mistake.3)),
            "{text}\n{errors:#?}"
        );
    }
}

#[test]
fn in_an_item() {
    check_item("- push-up", (1, 3, "push-up", "an amount before the movement: push-up in repetitions", None));
    check_item("- 5", (1, 4, "", "the name of a movement", None));
    check_item("- 5 frobnicate quickly", (1, 5, "frobnicate quickly", "a movement", None));
    check_item("- 5 back squat slow", (1, 5, "back squat slow", "a movement", Some("back squat")));
    check_item("- 0 push-up", (1, 3, "0", "from 1 to 1000", None));
    check_item("- -5 push-up", (1, 3, "-5", "from 1 to 1000", None));
    check_item("- 1.5 push-up", (1, 3, "1.5", "a whole number", None));
    check_item("- 99999999999999999999999 push-up", (1, 3, "99999999999999999999999", "from 1 to 1000", None));
    check_item("- 10-8 push-up", (1, 3, "10-8", "low end first", None));
    check_item("- 0:75 plank", (1, 3, "0:75", "below 60", None));
    check_item("- 3:00:00 plank", (1, 3, "3:00:00", "120:00", None));
    check_item("- 51 km run", (1, 3, "51", "50000 m", None));
    check_item("- 12 plank", (1, 3, "12", "plank in a time", None));
    check_item("- 0:30 push-up", (1, 3, "0:30", "push-up in repetitions", None));
    check_item("- 12 run", (1, 3, "12", "run in a time (`0:30`) or metres", None));
    check_item("- 6/side reverse lunge per side", (1, 24, "per side", "the sides once", None));
    check_item("- 5 clean + 5", (1, 14, "", "the name of a movement", None));
    check_item("- 1 clean + 1 front squat or 5 push-up", (1, 30, "5", "`- ability: …`", None));
    check_item("- 5 either push-up", (1, 19, "", "another movement after `either`", None));
    check_item(
        "- 200 m run or burpee with a hop over the bar or line",
        (1, 16, "burpee with a hop over the bar or line", "in repetitions", None),
    );
    check_item("- 5 push-up, slowly", (1, 12, ",", "the end of the line", None));
    check_item("- 5 push-up;", (1, 13, "", "a cue after `;`", None));
    check_item("- 5 clean @ 40 kg (3 s)", (1, 23, ")", "`(3 s a rep)`", None));
    check_item("- 5 clean @ 40 kg (tempo 3/1/1)", (1, 31, ")", "tempo 3/1/1/0", None));
    check_item("- rest soon", (1, 8, "soon", "`rest 1:00`", None));
    check_item("- rest 0:00", (1, 8, "0:00", "0:01 to 120:00", None));
    check_in("12-9-6 for time", "- plank", (1, 3, "plank", "plank in a time", None));
    check_in("3 rounds", "- 200 m run\n  - ability: plank", (2, 14, "plank", "plank in a time", None));
}

#[test]
fn in_a_load() {
    for (load, column, text, what) in [
        ("", 12, "", "a load such as"),
        ("heavy", 13, "heavy", "a load such as"),
        ("40", 13, "40", "a unit after the load"),
        ("40 stone", 16, "stone", "a unit after the load"),
        ("40 kg 50 kg", 19, "50", "the end of the line after the load"),
        ("-40 kg", 13, "-40", "0.25 kg to 500 kg"),
        ("0 kg", 13, "0", "0.25 kg to 500 kg"),
        ("0.2 kg", 13, "0.2", "0.25 kg to 500 kg"),
        ("62.125 kg", 13, "62.125", "two decimals"),
        ("1103 lb", 13, "1103", "1102 lb"),
        ("62,5 kg", 16, "5", "a blank between loads"),
        ("40-60 kg", 13, "40-60 kg", "`build` before the range"),
        ("build 60-40 kg", 19, "60-40 kg", "the low end first"),
        ("build 60 kg", 22, "kg", "a dash and the last load"),
        ("build 60/40-70 kg", 19, "60/40-70 kg", "as many columns"),
        ("60/40, 70 kg", 13, "60/40, 70 kg", "as many columns"),
        ("60 kg, 150 lb", 13, "60 kg, 150 lb", "one unit"),
        ("60, 70%", 13, "60, 70%", "`build 60-80%`"),
        ("75-65%", 13, "75-65%", "low end first"),
        ("121%", 13, "121", "from 1 to 120"),
        ("70% of", 19, "", "the name of a movement"),
        ("RPE 11", 17, "11", "from 1 to 10"),
        ("RPE", 16, "", "from 1 to 10"),
        ("60 kg, hard", 20, "hard", "`RPE 8`"),
        ("1/2/3/4/5/6/7 kg", 13, "1/2/3/4/5/6/7", "6 load columns"),
    ] {
        let line = format!("- 5 clean @ {load}");
        let line = line.trim_end();
        check_item(line, (1, column, text, what, None));
    }
    check_item("- 1 clean + 1 front squat @ 70%", (1, 29, "70%", "`of` and a movement", None));
    check_item("- no barbell: @ 70%", (1, 17, "70%", "`of` and a movement", None));
    check_item("- 5 clean @ 70% of cleen", (1, 20, "cleen", "a movement", Some("clean")));
}

#[test]
fn in_a_coachs_own_line() {
    for (line, column, text, what, nearest) in [
        ("no trampoline: leave out", 5, "no trampoline", "kind of kit", None),
        ("sore: leave out", 5, "sore", "`sore REGION:`", None),
        ("no barbell:", 16, "", "`leave out`, or an amount", None),
        ("no barbell: leave out today", 27, "today", "nothing after", None),
        ("no barbell: 0:30", 17, "0:30", "clean in repetitions", None),
        ("no barbell: 0:30 plank, +10 reps", 17, "0:30 plank, +10 reps", "in repetitions where", None),
        ("no barbell: goblet squat, heavy", 31, "heavy", "after the comma", None),
        ("no barbell: goblet squat @ 20 kg, RPE 8", 32, "20 kg, RPE 8", "without an effort", None),
        ("no barbell: +0 reps", 18, "0", "from 1 to 1000", None),
        ("cue:", 9, "", "a cue after", None),
    ] {
        check_item(&format!("- 5 clean\n  - {line}"), (2, column, text, what, nearest));
    }
}

#[test]
fn in_a_heading() {
    for (heading, column, found, what, nearest) in [
        ("Finisher", 4, "Finisher", "a kind of part", None),
        ("Strength 5 sets", 4, "Strength 5 sets", "a kind of part", Some("Strength")),
        ("Strength, 5 sets", 14, "5 sets", "a colon before the scheme", None),
        ("Strength: ", 13, "", "a scheme such as", None),
        ("Strength: 0 sets", 14, "0", "from 1 to 100", None),
        ("Strength: 5 sets, rest 3:00-2:00", 27, "3:00-2:00", "a longer rest", None),
        ("Strength: every 2:00", 24, "", "`x` and how many", None),
        ("Strength: every 2:00 x 6, rest 1:00", 28, ", rest 1:00", "the end of the scheme", None),
        ("Strength: 12-9-6", 20, "", "`for time`", None),
        ("Strength: 12-9-6 for time @ 40 kg", 30, "@ 40 kg", "it belongs to an item", None),
        ("Strength: every minute for 90 s", 31, "90 s", "whole minutes", None),
        ("Strength: 5 x 3:00", 22, "", "`work`", None),
        ("Strength: ladder from 2", 27, "", "ladder from 2 by 2", None),
        ("Strength: for time, cap 3:00:00", 28, "3:00:00", "a cap", None),
        ("Strength: 5 sets, relay in teams of 1", 40, "1", "from 2 to 20", None),
        ("Strength, : 5 sets", 14, "", "a name after the comma", None),
    ] {
        let text = format!("# T\n- length: 60 min\n## {heading}\n- 5 push-up\n");
        check(&text, &[(3, column, found, what, nearest)]);
    }
    for (heading, column, text) in [
        ("Round 4", 11, "4"),
        ("Minute 1", 5, "Minute"),
        ("Rounds 3-2", 12, "3-2"),
        ("Bit", 5, "Bit"),
        ("Round", 10, ""),
    ] {
        let text_of = format!("# T\n- length: 60 min\n## Skill: 3 rounds\n### {heading}\n- 5 push-up\n");
        check(&text_of, &[(4, column, text, "`Round 1` or `Rounds 1-2` for this part, from 1 to 3", None)]);
    }
}

#[test]
fn before_the_first_part() {
    for (line, column, text, what) in [
        ("date: 2027-02-29", 9, "2027-02-29", "that exists"),
        ("date: 7.12.2026", 9, "7.12.2026", "a date such as"),
        ("date: 2026-13-01", 9, "2026-13-01", "that exists"),
        ("allow: everything", 10, "everything", "any of"),
        ("allow: more volume,", 22, "", "any of"),
        ("intent:", 10, "", "text after"),
    ] {
        let text_of = format!("# T\n- length: 60 min\n- {line}\n## Skill\n- 5 push-up\n");
        check(&text_of, &[(3, column, text, what, None)]);
    }
    for (length, text) in [("4 min", "4"), ("241 min", "241"), ("60", ""), ("an hour", "an"), ("-60 min", "-60")] {
        let text_of = format!("# T\n- length: {length}\n## Skill\n- 5 push-up\n");
        let column = if text.is_empty() { 13 } else { 11 };
        check(&text_of, &[(2, column, text, "length", None)]);
    }
}

#[test]
fn columns_count_characters_and_spans_count_bytes() {
    let text = "\u{feff}# Café\r\n- length: 60 min\r\n## Skill\r\n- 5 é push-up @ ü\r\n";
    check(text, &[(4, 5, "é push-up", "a movement", Some("push-up")), (4, 17, "ü", "a load", None)]);
}

#[test]
fn a_file_that_is_not_text() {
    let library = small();
    let mut bytes = "# Café\n- length: 60 min\n## é".as_bytes().to_vec();
    bytes.extend([0xff, b'\n']);
    let errors = parse_bytes(&bytes, &library).expect_err("not UTF-8");
    assert_eq!(errors.len(), 1);
    assert_eq!((errors[0].line, errors[0].column, errors[0].text.as_str()), (3, 5, "byte 0xFF"));
    assert_eq!(bytes[errors[0].span.clone()], [0xff]);
    assert!(parse_bytes(WHOLE.as_bytes(), &library).is_ok());
}

#[test]
fn a_file_that_is_too_large() {
    let library = small();
    let text = "# T\n".repeat(10 * 1024 * 1024 / 4);
    let errors = parse_bytes(text.as_bytes(), &library).expect_err("10 MiB");
    assert_eq!(
        errors.iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["line 1, column 1: found `a file of 10485760 bytes`, expected a session of at most 262144 bytes"]
    );
    let largest = format!("{WHOLE}{}", "\n".repeat(MAX_BYTES - WHOLE.len()));
    assert!(parse(&largest, &library).is_ok());
    assert!(parse(&(largest + "\n"), &library).is_err());
}

#[test]
fn lists_and_texts_are_bounded() {
    let part = |lines: &str| format!("# T\n- length: 60 min\n## Skill\n- 5 push-up\n{lines}");
    let most = |lines: &str, many: usize| part(&lines.repeat(many));
    let library = small();
    let cases: [(&str, usize, &str); 7] = [
        ("- 5 push-up\n", bounds::MAX_ITEMS - 1, "100 items"),
        ("## Skill\n- 5 push-up\n", bounds::MAX_PARTS - 1, "40 parts"),
        ("  - cue: x\n", bounds::MAX_LINES, "40 cues"),
        ("  - no barbell: leave out\n", bounds::MAX_LINES, "40 such lines"),
        ("- no barbell: leave out\n", bounds::MAX_LINES, "40 such lines"),
        ("\nnote\n", bounds::MAX_LINES, "40 notes"),
        ("\n", 1000, ""),
    ];
    for (lines, many, what) in cases {
        assert!(parse(&most(lines, many), &library).is_ok(), "{many} x {lines}");
        if !what.is_empty() {
            let errors = parse(&most(lines, many + 1), &library).expect_err(what);
            assert_eq!(errors.len(), 1, "{errors:#?}");
            assert!(errors[0].expected.contains(what), "{errors:#?}");
        }
    }
    let long = "x".repeat(bounds::MAX_TEXT + 1);
    for line in [
        format!("\n{long}"),
        format!("  - cue: {long}"),
        format!("- 5 push-up; {long}"),
        format!("## Skill, {long}\n- 5 push-up"),
    ] {
        let errors = parse(&part(&line), &library).expect_err("too long");
        assert_eq!(errors.len(), 1, "{errors:#?}");
        assert!(errors[0].expected.contains("characters") && errors[0].text.chars().count() <= 81, "{errors:#?}");
    }
    let wrong = most("- 5 frobnicate\n- oops\n", 5_000);
    assert_eq!(errors(&wrong).len(), bounds::MAX_ERRORS, "no flood of problems");
}
