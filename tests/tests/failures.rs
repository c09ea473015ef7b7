//! The failure table: every kind has an id, an exit code, a problem type, a sentence for the coach and one for the
//! author, and the developers' map has a row for it.

use std::collections::BTreeSet;
use std::time::Duration;

use classwright_policies::FailureKind;

const MAP: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../DEVELOPERS.md");

/// One of each. A new kind does not compile here until it has a row.
fn every_kind() -> Vec<FailureKind> {
    let word = || "something".to_owned();
    let kinds = vec![
        FailureKind::Incompatible { found: word(), wanted: word() },
        FailureKind::ImportRefused { imports: vec![word()] },
        FailureKind::OutOfFuel { fuel: 1 },
        FailureKind::PastDeadline { wall: Duration::from_millis(1) },
        FailureKind::Memory { wanted: word(), limit: word() },
        FailureKind::Trapped { words: None, trap: word() },
        FailureKind::AnswerMalformed { what: word() },
        FailureKind::AnswerTooLarge { found: word(), limit: word() },
        FailureKind::RuleBroken { rule: word(), detail: word() },
        FailureKind::Declined { sentence: word() },
    ];
    for kind in &kinds {
        match kind {
            FailureKind::Incompatible { .. }
            | FailureKind::ImportRefused { .. }
            | FailureKind::OutOfFuel { .. }
            | FailureKind::PastDeadline { .. }
            | FailureKind::Memory { .. }
            | FailureKind::Trapped { .. }
            | FailureKind::AnswerMalformed { .. }
            | FailureKind::AnswerTooLarge { .. }
            | FailureKind::RuleBroken { .. }
            | FailureKind::Declined { .. } => {}
        }
    }
    kinds
}

#[test]
fn every_kind_has_its_own_id_code_type_and_sentences() {
    let kinds = every_kind();
    let ids: BTreeSet<&str> = kinds.iter().map(FailureKind::id).collect();
    let codes: BTreeSet<u8> = kinds.iter().map(FailureKind::exit_code).collect();
    let types: BTreeSet<&str> = kinds.iter().map(FailureKind::problem_type).collect();
    assert_eq!((ids.len(), types.len()), (kinds.len(), kinds.len()));
    assert_eq!(codes, (20..30).collect());
    for kind in &kinds {
        for sentence in [kind.for_coach(), kind.for_author()] {
            let starts = sentence.chars().next().is_some_and(char::is_uppercase);
            assert!(starts && !sentence.contains("  "), "{}: {sentence}", kind.id());
        }
        // The coach wants to know what now, not what a fuel or a trap is.
        let coach = kind.for_coach();
        assert!(coach.starts_with("This policy") && coach.ends_with('.'), "{coach}");
        assert_ne!(coach, kind.for_author());
    }
}

#[test]
fn the_developers_map_has_a_row_for_every_kind() {
    let map = std::fs::read_to_string(MAP).unwrap_or_else(|error| panic!("DEVELOPERS.md: {error}"));
    assert_eq!(missing(&map), Vec::<String>::new(), "rows that DEVELOPERS.md lacks");
}

/// The check above can fail: a kind whose row is gone, or whose code stands beside another id, is found.
#[test]
fn a_row_that_is_missing_or_wrong_is_found() {
    let row =
        |kind: &FailureKind| format!("| `{}` | {} | `{}` | … |\n", kind.id(), kind.exit_code(), kind.problem_type());
    let whole: String = every_kind().iter().map(row).collect();
    assert_eq!(missing(&whole), Vec::<String>::new());
    for kind in every_kind() {
        let without = whole.replace(&row(&kind), "");
        assert_eq!(missing(&without), [row(&kind).trim_end_matches("… |\n").trim().to_owned()]);
        let wrong = whole.replace(&format!("| {} |", kind.exit_code()), "| 19 |");
        assert_eq!(missing(&wrong).len(), 1);
    }
    assert_eq!(missing("incompatible 20 urn:classwright:failure:incompatible").len(), every_kind().len());
}

/// The kinds that no row of a table in the text lists with exit code and problem type, each in a cell of its own.
fn missing(text: &str) -> Vec<String> {
    let cells = |line: &str| -> BTreeSet<String> {
        line.trim().trim_matches('|').split('|').map(|cell| cell.trim().trim_matches('`').to_owned()).collect()
    };
    let rows: Vec<BTreeSet<String>> = text.lines().filter(|line| line.trim().starts_with('|')).map(cells).collect();
    let wanted =
        |kind: &FailureKind| [kind.id().to_owned(), kind.exit_code().to_string(), kind.problem_type().to_owned()];
    let lacks = |kind: &FailureKind| !rows.iter().any(|row| wanted(kind).iter().all(|cell| row.contains(cell)));
    let shown = |kind: &FailureKind| format!("| `{}` | {} | `{}` |", kind.id(), kind.exit_code(), kind.problem_type());
    every_kind().iter().filter(|kind| lacks(kind)).map(shown).collect()
}
