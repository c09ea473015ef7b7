//! What can go wrong with a policy, from the component to the person.
//!
//! Each kind has one id, one exit code, one problem type, one sentence for the coach (who wants to know what now) and
//! one for the policy's author (who wants to know what to change). A test walks them all.

use std::fmt;
use std::time::Duration;

/// A policy that did not answer, or whose answer was refused. Nothing it said has any effect.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct PolicyFailure {
    /// The policy's name; the start of its digest where it has not said its name yet.
    pub policy: String,
    /// The policy's version; empty where it has not said it yet.
    pub version: String,
    /// SHA-256 of the component, hex.
    pub digest: String,
    /// What was called: `load`, `describe`, `scale`, `substitute` or `plan-heats`.
    pub call: &'static str,
    /// What went wrong.
    pub kind: FailureKind,
}

impl fmt::Display for PolicyFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let PolicyFailure { policy, version, call, kind, .. } = self;
        let space = if version.is_empty() { "" } else { " " };
        write!(f, "policy {policy}{space}{version}, {call}: {}: {}", kind.id(), kind.for_author())
    }
}

/// What went wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FailureKind {
    /// It was built for another contract, or for none.
    Incompatible {
        /// What it is.
        found: String,
        /// What would have been right.
        wanted: String,
    },
    /// It asks for functions that no policy gets.
    ImportRefused {
        /// Their names.
        imports: Vec<String>,
    },
    /// It worked for too long, counted in its own instructions.
    OutOfFuel {
        /// What it had.
        fuel: u64,
    },
    /// It worked for too long by the clock.
    PastDeadline {
        /// What it had.
        wall: Duration,
    },
    /// It asked for more memory, or larger tables, than it may have.
    Memory {
        /// What it asked for.
        wanted: String,
        /// What it may have.
        limit: String,
    },
    /// It stopped by itself.
    Trapped {
        /// Its own last words.
        words: Option<String>,
        /// What the machine saw.
        trap: String,
    },
    /// Its answer does not fit the question.
    AnswerMalformed {
        /// What, and where.
        what: String,
    },
    /// Its answer is too long.
    AnswerTooLarge {
        /// What was answered.
        found: String,
        /// What would have been taken.
        limit: String,
    },
    /// Its answer breaks a rule that the host checks.
    RuleBroken {
        /// Id of the rule.
        rule: String,
        /// Where, and how.
        detail: String,
    },
    /// It says itself that it does not answer.
    Declined {
        /// Its sentence for the coach.
        sentence: String,
    },
}

impl FailureKind {
    /// Stable id.
    pub const fn id(&self) -> &'static str {
        self.row().0
    }

    /// Exit code of the command line, 20 to 29.
    pub const fn exit_code(&self) -> u8 {
        self.row().1
    }

    /// Type of the HTTP problem.
    pub const fn problem_type(&self) -> &'static str {
        self.row().2
    }

    const fn row(&self) -> (&'static str, u8, &'static str) {
        match self {
            Self::Incompatible { .. } => ("incompatible", 20, "urn:classwright:failure:incompatible"),
            Self::ImportRefused { .. } => ("import-refused", 21, "urn:classwright:failure:import-refused"),
            Self::OutOfFuel { .. } => ("out-of-fuel", 22, "urn:classwright:failure:out-of-fuel"),
            Self::PastDeadline { .. } => ("past-deadline", 23, "urn:classwright:failure:past-deadline"),
            Self::Memory { .. } => ("memory", 24, "urn:classwright:failure:memory"),
            Self::Trapped { .. } => ("trapped", 25, "urn:classwright:failure:trapped"),
            Self::AnswerMalformed { .. } => ("answer-malformed", 26, "urn:classwright:failure:answer-malformed"),
            Self::AnswerTooLarge { .. } => ("answer-too-large", 27, "urn:classwright:failure:answer-too-large"),
            Self::RuleBroken { .. } => ("rule-broken", 28, "urn:classwright:failure:rule-broken"),
            Self::Declined { .. } => ("declined", 29, "urn:classwright:failure:declined"),
        }
    }

    /// One sentence for the coach.
    pub fn for_coach(&self) -> String {
        match self {
            Self::Incompatible { .. } => "This policy was built for another version of Classwright.".into(),
            Self::ImportRefused { .. } => {
                "This policy asks for more than a policy may have, so it was not let in.".into()
            }
            Self::OutOfFuel { .. } => "This policy worked for too long and was stopped.".into(),
            Self::PastDeadline { .. } => "This policy took too long by the clock and was stopped.".into(),
            Self::Memory { .. } => "This policy asked for too much memory and was stopped.".into(),
            Self::Trapped { .. } => "This policy broke down while it worked.".into(),
            Self::AnswerMalformed { .. } => "This policy's answer does not fit the class it was asked about.".into(),
            Self::AnswerTooLarge { .. } => "This policy's answer is too long to be read.".into(),
            Self::RuleBroken { rule, detail } => {
                format!("This policy's answer breaks the rule `{rule}` and was not used: {}.", bare(detail))
            }
            Self::Declined { sentence } => format!("This policy does not answer: {}.", bare(sentence)),
        }
    }

    /// One sentence for the policy's author.
    pub fn for_author(&self) -> String {
        match self {
            Self::Incompatible { found, wanted } => {
                format!("This is {found}, and the host takes {wanted}; build the policy against that contract.")
            }
            Self::ImportRefused { imports } => format!(
                "The component imports {}; a policy may import only `library` and `last-words` of the contract.",
                imports.join(", ")
            ),
            Self::OutOfFuel { fuel } => {
                format!("The call used all of its {fuel} units of fuel; do less, or have the owner raise the limit.")
            }
            Self::PastDeadline { wall } => format!(
                "The call took longer than {} ms by the clock before its fuel was used up; do less in each call.",
                wall.as_millis()
            ),
            Self::Memory { wanted, limit } => format!("The policy asked for {wanted}, and the limit is {limit}."),
            Self::Trapped { words: Some(words), trap } => {
                format!("The policy stopped ({trap}) and said last: {}", words.trim_end())
            }
            Self::Trapped { words: None, trap } => format!("The policy stopped ({trap}) without last words."),
            Self::AnswerMalformed { what } => format!("The answer is malformed: {}.", bare(what)),
            Self::AnswerTooLarge { found, limit } => format!("The answer has {found}, and the limit is {limit}."),
            Self::RuleBroken { rule, detail } => format!("The answer breaks the rule `{rule}`: {}.", bare(detail)),
            Self::Declined { sentence } => format!("The policy declined: {}.", bare(sentence)),
        }
    }
}

/// Without the full stop, so that the sentence around it has just one.
fn bare(text: &str) -> &str {
    text.trim().trim_end_matches('.')
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn every_kind() -> Vec<FailureKind> {
        let text = || "word".to_string();
        vec![
            FailureKind::Incompatible { found: text(), wanted: text() },
            FailureKind::ImportRefused { imports: vec![text()] },
            FailureKind::OutOfFuel { fuel: 1 },
            FailureKind::PastDeadline { wall: Duration::from_millis(1) },
            FailureKind::Memory { wanted: text(), limit: text() },
            FailureKind::Trapped { words: Some(text()), trap: text() },
            FailureKind::AnswerMalformed { what: text() },
            FailureKind::AnswerTooLarge { found: text(), limit: text() },
            FailureKind::RuleBroken { rule: text(), detail: text() },
            FailureKind::Declined { sentence: text() },
        ]
    }

    #[test]
    fn every_kind_has_its_own_id_codes_and_sentences() {
        let kinds = every_kind();
        let distinct = |of: &dyn Fn(&FailureKind) -> String| {
            let all: BTreeSet<String> = kinds.iter().map(of).collect();
            assert!(all.iter().all(|text| !text.is_empty()));
            assert_eq!(all.len(), kinds.len(), "{all:?}");
        };
        distinct(&|kind| kind.id().into());
        distinct(&|kind| kind.exit_code().to_string());
        distinct(&|kind| kind.problem_type().into());
        distinct(&FailureKind::for_coach);
        distinct(&FailureKind::for_author);
    }

    #[test]
    fn codes_are_in_their_range_and_types_end_in_the_id() {
        for kind in every_kind() {
            assert!((20..30).contains(&kind.exit_code()), "{}", kind.exit_code());
            assert_eq!(kind.problem_type(), format!("urn:classwright:failure:{}", kind.id()));
            assert!(kind.for_coach().ends_with('.'), "{}", kind.for_coach());
        }
    }

    #[test]
    fn a_sentence_keeps_one_full_stop() {
        let kind = FailureKind::Declined { sentence: "no bar is in service.".into() };
        assert_eq!(kind.for_coach(), "This policy does not answer: no bar is in service.");
    }

    #[test]
    fn a_failure_reads_as_one_line() {
        let failure = PolicyFailure {
            policy: "by-the-book".into(),
            version: "1.2.0".into(),
            digest: "ab".into(),
            call: "scale",
            kind: FailureKind::OutOfFuel { fuel: 5 },
        };
        let expected = "policy by-the-book 1.2.0, scale: out-of-fuel: The call used all of its 5 units of fuel; \
                        do less, or have the owner raise the limit.";
        assert_eq!(failure.to_string(), expected);
    }
}
