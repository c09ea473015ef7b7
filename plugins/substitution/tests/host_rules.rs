//! The host refuses an answer whole if one change breaks a rule. Here its rules are written a second time and held
//! against every answer to random questions, with two things the host cannot see: that every piece whose kit is
//! missing is dealt with, and that none comes off while plain bodyweight work of its pattern would do.

mod random;

use std::cell::Cell;

use classwright_sdk::library::{Fact, Link, Need};
use classwright_sdk::{
    Answer, Change, Library, ListedLibrary, ListedMovement, Measure, Piece, Question, Sides, Tables, policy,
};
use classwright_substitution::House;
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;

fn answer(question: &Question, library: &dyn Library) -> Answer {
    policy::substitute::<House>(question, library).expect("this policy never declines")
}

struct Held<'a> {
    question: &'a Question,
    library: &'a ListedLibrary,
}

impl Held<'_> {
    fn movement(&self, number: u32) -> &ListedMovement {
        &self.library.movements()[number as usize]
    }

    fn place(&self, piece: &Piece) -> u32 {
        self.question.athletes[piece.athlete as usize].place
    }

    /// Counts of a kind by mass, at the piece's place.
    fn masses(&self, piece: &Piece, kit: &str) -> Vec<(u32, u32)> {
        let kit = self.library.find_kit(kit).expect("listed");
        let mut masses = std::collections::BTreeMap::new();
        for row in self.question.kit.iter().filter(|row| row.place == self.place(piece) && row.kit == kit) {
            *masses.entry(row.load_g).or_insert(0) += row.count;
        }
        masses.into_iter().collect()
    }

    fn is_possible(&self, piece: &Piece, movement: &ListedMovement) -> bool {
        movement.kit.iter().all(|(kit, &needed)| {
            let masses = self.masses(piece, kit);
            let held = matches!(movement.load_kind.as_str(), "pair" | "single");
            let one_mass = masses.iter().any(|&(_, count)| count >= needed);
            masses.iter().map(|&(_, count)| count).sum::<u32>() >= needed && (!held || one_mass)
        })
    }

    fn is_demand_kept(&self, piece: &Piece, to: &ListedMovement) -> bool {
        let from = self.movement(piece.movement);
        let limited = |region: &str| {
            let mut own = self.question.limitations.iter().filter(|l| l.athlete == piece.athlete);
            own.any(|l| classwright_sdk::listed::REGIONS[l.region as usize] == region)
        };
        to.demand.iter().all(|(region, &demand)| {
            demand <= from.demand.get(region).copied().unwrap_or(0)
                || (self.question.facts.may_raise_demand == 1 && !limited(region))
        })
    }

    fn is_skill_kept(&self, piece: &Piece, to: &ListedMovement) -> bool {
        let own = self.question.athletes[piece.athlete as usize].skill;
        to.skill <= self.movement(piece.movement).skill.max(own)
    }

    fn change_keeps_rules(&self, piece: &Piece, change: &Change) -> Result<(), TestCaseError> {
        let (from, to) = (self.movement(piece.movement), self.movement(change.movement));
        prop_assert!(self.is_possible(piece, to), "kit");
        prop_assert!(self.is_demand_kept(piece, to), "demand");
        prop_assert!(self.is_skill_kept(piece, to), "skill");
        prop_assert_eq!(change.times, piece.times);
        prop_assert_eq!(change.range_percent, piece.range_percent);
        prop_assert_eq!(change.effort_tenths, piece.effort_tenths);
        prop_assert!(change.amount_low <= change.amount_high);
        prop_assert_eq!(change.amount_low == 0, piece.amount_low == 0);
        prop_assert_eq!(change.amount_high == 0, piece.amount_high == 0);
        prop_assert!(change.measure == Measure::Seconds || unit_ms(to, change.measure) > 0, "measure");
        self.load_keeps_rules(piece, change, from, to)?;
        for (was, is) in [(piece.amount_low, change.amount_low), (piece.amount_high, change.amount_high)] {
            volume_keeps_rules(piece, change, from, to, was, is)?;
        }
        Ok(())
    }

    fn load_keeps_rules(
        &self,
        piece: &Piece,
        change: &Change,
        from: &ListedMovement,
        to: &ListedMovement,
    ) -> Result<(), TestCaseError> {
        prop_assert!(change.load_first_g <= piece.load_first_g && change.load_top_g <= piece.load_top_g, "load");
        prop_assert!(change.load_first_g <= change.load_top_g, "first above top");
        let implement = |m: &ListedMovement| matches!(m.load_kind.as_str(), "bar" | "pair" | "single");
        let bodyweight = !implement(from) && (piece.load_top_g == 0 || from.load_kind != "added");
        prop_assert!(!(bodyweight && implement(to)), "a load where a body was");
        if change.load_top_g > 0 {
            prop_assert!(implement(to) || to.load_kind == "added", "a load on {}", to.load_kind);
        }
        if matches!(to.load_kind.as_str(), "pair" | "single") && change.load_top_g > 0 {
            let there = to.kit.iter().any(|(kit, &needed)| {
                self.masses(piece, kit).iter().any(|&(mass, count)| mass == change.load_top_g && count >= needed)
            });
            prop_assert!(there, "no implement of {} g", change.load_top_g);
        }
        Ok(())
    }
}

fn volume_keeps_rules(
    piece: &Piece,
    change: &Change,
    from: &ListedMovement,
    to: &ListedMovement,
    was: u32,
    is: u32,
) -> Result<(), TestCaseError> {
    let in_all = |amount: u32, sides| u64::from(amount) * if sides == Sides::Each { 2 } else { 1 };
    let (was, is) = (in_all(was, piece.sides), in_all(is, change.sides));
    let moved = |units: u64, grams: u32, m: &ListedMovement| {
        units * u64::from(grams) * if m.load_kind == "pair" { 2 } else { 1 }
    };
    if piece.load_top_g > 0 && change.load_top_g > 0 {
        prop_assert!(moved(is, change.load_top_g, to) <= moved(was, piece.load_top_g, from), "load moved");
    }
    let lighter = piece.load_top_g > 0 && change.load_top_g > 0 && change.load_top_g < piece.load_top_g;
    let (before, after) = (was * u64::from(unit_ms(from, piece.measure)), is * u64::from(unit_ms(to, change.measure)));
    let in_proportion = before * u64::from(piece.load_top_g) / u64::from(change.load_top_g.max(1));
    let longest = if lighter { in_proportion.min(before * 2) } else { before };
    prop_assert!(after <= longest, "{after} ms from {before} ms");
    Ok(())
}

fn unit_ms(movement: &ListedMovement, measure: Measure) -> u32 {
    match measure {
        Measure::Repetitions => movement.rep_ms,
        Measure::Seconds => 1000,
        Measure::Metres => movement.metre_ms,
        Measure::Calories => movement.calorie_ms,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_answer_keeps_the_hosts_rules((library, question) in random::asked()) {
        let held = Held { question: &question, library: &library };
        let answer = answer(&question, &library);
        let changed: Vec<u32> = answer.changes.iter().map(|change| change.piece).collect();
        let lacking: Vec<u32> = (0..).zip(&question.pieces)
            .filter(|(_, piece)| !held.is_possible(piece, held.movement(piece.movement)))
            .map(|(at, _)| at)
            .collect();
        prop_assert_eq!(changed, lacking);
        for reason in &answer.reasons {
            prop_assert!((1..=64).contains(&reason.rule.len()) && (1..=300).contains(&reason.text.chars().count()));
        }
        for change in &answer.changes {
            prop_assert!((change.reason as usize) < answer.reasons.len());
            let piece = &question.pieces[change.piece as usize];
            if change.off == 0 {
                held.change_keeps_rules(piece, change)?;
            } else {
                let from = held.movement(piece.movement);
                let plain = |m: &&ListedMovement| {
                    m.load_kind == "none"
                        && m.patterns.iter().any(|pattern| from.patterns.contains(pattern))
                        && held.is_possible(piece, m)
                        && held.is_demand_kept(piece, m)
                        && held.is_skill_kept(piece, m)
                        && m.sides != 1
                        && (1..=unit_ms(from, piece.measure)).contains(&unit_ms(m, piece.measure))
                };
                let missed = library.movements().iter().find(plain);
                prop_assert!(missed.is_none(), "taken off, though {:?} would do", missed);
            }
        }
    }

    #[test]
    fn the_library_is_not_asked_for_each_athlete((library, question) in random::asked()) {
        let counted = Counted { library: &library, calls: Cell::new(0) };
        let once = answer(&question, &counted);
        let calls = counted.calls.take();
        let many = repeated(&question, 20);
        let answers = answer(&many, &counted);
        prop_assert_eq!(counted.calls.get(), calls);
        prop_assert!(calls <= 40, "{} calls", calls);
        // Equal people in equal places get equal cards, and reasons are not repeated.
        prop_assert_eq!(answers.changes.len(), once.changes.len() * 20);
        prop_assert_eq!(&answers.reasons, &once.reasons);
        for (at, change) in answers.changes.iter().enumerate() {
            let first = once.changes[at % once.changes.len()];
            prop_assert_eq!(*change, Change { piece: change.piece, ..first });
        }
    }
}

/// The same athletes so many times over.
fn repeated(question: &Question, times: u32) -> Question {
    let (athletes, pieces) = (question.athletes.len() as u32, question.pieces.len() as u32);
    let mut many = question.clone();
    for round in 1..times {
        many.athletes.extend(
            question.athletes.iter().map(|athlete| classwright_sdk::Athlete {
                first_piece: athlete.first_piece + round * pieces,
                ..*athlete
            }),
        );
        let later = |athlete: u32| athlete + round * athletes;
        many.pieces.extend(question.pieces.iter().map(|piece| Piece { athlete: later(piece.athlete), ..*piece }));
        many.limitations.extend(
            question
                .limitations
                .iter()
                .map(|limitation| classwright_sdk::Limitation { athlete: later(limitation.athlete), ..*limitation }),
        );
    }
    many
}

/// A library that counts the calls made to it.
struct Counted<'a> {
    library: &'a ListedLibrary,
    calls: Cell<u32>,
}

impl Counted<'_> {
    fn counted(&self) -> &ListedLibrary {
        self.calls.set(self.calls.get() + 1);
        self.library
    }
}

impl Library for Counted<'_> {
    fn tables(&self) -> Tables {
        self.counted().tables()
    }
    fn count(&self) -> u32 {
        self.counted().count()
    }
    fn find(&self, id: &str) -> Option<u32> {
        self.counted().find(id)
    }
    fn ids(&self, movements: &[u32]) -> Vec<String> {
        self.counted().ids(movements)
    }
    fn facts(&self, movements: &[u32]) -> Vec<Fact> {
        self.counted().facts(movements)
    }
    fn demands(&self, movements: &[u32]) -> Vec<u8> {
        self.counted().demands(movements)
    }
    fn needs(&self, movements: &[u32]) -> Vec<Need> {
        self.counted().needs(movements)
    }
    fn patterns_of(&self, movements: &[u32]) -> Vec<Link> {
        self.counted().patterns_of(movements)
    }
    fn with_pattern(&self, pattern: u32) -> Vec<u32> {
        self.counted().with_pattern(pattern)
    }
    fn easier(&self, movements: &[u32]) -> Vec<Link> {
        self.counted().easier(movements)
    }
}
