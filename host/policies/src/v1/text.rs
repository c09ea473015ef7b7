//! Texts of policies that people will read: bounded, and without characters that act on what is around them.

use crate::FailureKind;

/// Refuses a text that is empty, too long, or has control characters or marks that reverse the reading direction.
pub(super) fn check(what: &str, text: &str, most: usize) -> Result<(), FailureKind> {
    let length = text.chars().take(most + 1).count();
    let problem = if text.trim().is_empty() {
        "is empty".into()
    } else if length > most {
        format!("is longer than {most} characters")
    } else if text.contains(acts) {
        "has a control character".into()
    } else {
        return Ok(());
    };
    Err(FailureKind::AnswerMalformed { what: format!("the {what} {problem}") })
}

fn acts(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The policy's reason not to answer, if it can be shown.
pub(super) fn declined(sentence: String) -> FailureKind {
    match check("sentence with which it declines", &sentence, 300) {
        Ok(()) => FailureKind::Declined { sentence },
        Err(kind) => kind,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_that_can_be_shown_pass() {
        check("text", "Schulter schonen — kein Drücken über Kopf.", 300).unwrap();
        check("text", &"ä".repeat(300), 300).unwrap();
    }

    #[test]
    fn others_do_not() {
        for text in ["", "  ", "a\nb", "a\u{1b}[31m", "a\u{202e}b", &"ä".repeat(301)] {
            check("text", text, 300).unwrap_err();
        }
        assert_eq!(declined("No bar is in service.".into()).id(), "declined");
        assert_eq!(declined("a\tb".into()).id(), "answer-malformed");
    }
}
