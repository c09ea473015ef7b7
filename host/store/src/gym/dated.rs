//! What holds from a day on, or until one: bests and limitations with their history.
//!
//! Of the bests for a movement the newest on or before the day counts; one without a day is older than all that have
//! one. A limitation holds from its first day to its last, both included.
//!
//! Where no day is known, the newest best counts, and every limitation: nobody can say then that one is over, and a
//! card that is too light does no harm.

use classwright_training::session::Date;
use classwright_training::{Athlete, Best, Limitation};

/// The bests and limitations of everyone on the roster, in its order.
#[derive(Clone, Debug, Default)]
pub(super) struct History(Vec<Own>);

/// Those of one person, in the order of the files.
#[derive(Clone, Debug, Default)]
struct Own {
    bests: Vec<(Option<Date>, Best)>,
    limitations: Vec<(Span, Limitation)>,
}

/// From one day to another, both included; open where none is said.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Span {
    pub(super) since: Option<Date>,
    pub(super) until: Option<Date>,
}

impl History {
    /// Nothing yet, for so many people.
    pub(super) fn of(people: usize) -> History {
        History(vec![Own::default(); people])
    }

    /// Adds a best of the person at this place of the roster.
    pub(super) fn add_best(&mut self, at: usize, since: Option<Date>, best: Best) {
        self.0[at].bests.push((since, best));
    }

    /// Adds a limitation of theirs.
    pub(super) fn add_limitation(&mut self, at: usize, span: Span, limitation: Limitation) {
        self.0[at].limitations.push((span, limitation));
    }

    /// The roster with what holds on a day.
    pub(super) fn on(&self, roster: &[Athlete], day: Option<Date>) -> Vec<Athlete> {
        let with = |(athlete, own): (&Athlete, &Own)| Athlete {
            bests: own.bests_on(day),
            limitations: own.limitations_on(day),
            ..athlete.clone()
        };
        roster.iter().zip(&self.0).map(with).collect()
    }
}

impl Own {
    fn bests_on(&self, day: Option<Date>) -> Vec<Best> {
        let begun = |since: Option<Date>| day.is_none_or(|day| since.is_none_or(|since| since <= day));
        let there = || self.bests.iter().filter(|(since, _)| begun(*since));
        let newer = |since: Option<Date>, best: &Best| {
            there().any(|(other_since, other)| other.movement == best.movement && *other_since > since)
        };
        there().filter(|(since, best)| !newer(*since, best)).map(|(_, best)| *best).collect()
    }

    fn limitations_on(&self, day: Option<Date>) -> Vec<Limitation> {
        let holds = |span: &Span| {
            day.is_none_or(|day| {
                span.since.is_none_or(|since| since <= day) && span.until.is_none_or(|until| day <= until)
            })
        };
        self.limitations.iter().filter(|(span, _)| holds(span)).map(|(_, limitation)| *limitation).collect()
    }
}
