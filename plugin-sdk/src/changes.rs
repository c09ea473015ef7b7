//! What a policy changes, collected so that the answer is well formed.
//!
//! A change is made to a piece of the class, so it cannot point outside the question; changing a piece again goes on
//! from where it stands, so each piece is changed at most once; equal reasons are kept once; an edit that changes
//! nothing leaves no change. What a change may ask for is the host's to check.

use std::collections::BTreeMap;

use crate::class::PieceView;
use crate::wire::common::classwright::policy::cards::{Answer, Change, Measure, Piece, Reason, Sides};

/// The contract's bounds on a reason.
const RULE_CHARS: usize = 64;
const TEXT_CHARS: usize = 300;

/// Changes to the cards of one class.
#[derive(Debug, Default)]
pub struct Changes {
    by_piece: BTreeMap<u32, Change>,
    reasons: Vec<Reason>,
    /// Positions in `reasons`, by rule and then by text.
    known: BTreeMap<String, BTreeMap<String, u32>>,
}

/// A change of one piece that waits for its reason; without one it is not made.
#[derive(Debug)]
#[must_use = "a change is made by giving its reason: `because`"]
pub struct Edit<'c> {
    changes: &'c mut Changes,
    from: Piece,
    change: Change,
}

impl Changes {
    /// None yet.
    pub fn new() -> Self {
        Changes::default()
    }

    /// Starts a change of a piece from how it stands by now.
    pub fn of(&mut self, piece: PieceView<'_>) -> Edit<'_> {
        let change = self.by_piece.get(&piece.number()).copied().unwrap_or_else(|| unchanged(piece.number(), &piece));
        Edit { changes: self, from: *piece, change }
    }

    /// Takes a piece off the card.
    pub fn take_off(&mut self, piece: PieceView<'_>, rule: &str, text: &str) {
        let reason = self.reason(rule, text);
        let change = Change { off: 1, reason, ..unchanged(piece.number(), &piece) };
        self.by_piece.insert(piece.number(), change);
    }

    /// How a piece stands by now; `None` where it was taken off.
    pub fn current(&self, piece: PieceView<'_>) -> Option<Piece> {
        match self.by_piece.get(&piece.number()) {
            Some(change) if change.off == 1 => None,
            Some(change) => Some(applied(&piece, change)),
            None => Some(*piece),
        }
    }

    /// The answer: changes in the order of pieces, reasons in the order of their first use.
    pub fn into_answer(self) -> Answer {
        let mut kept: Vec<Option<u32>> = vec![None; self.reasons.len()];
        let mut reasons = Vec::new();
        let mut changes: Vec<Change> = self.by_piece.into_values().collect();
        for change in &mut changes {
            let from = change.reason as usize;
            change.reason = *kept[from].get_or_insert_with(|| {
                reasons.push(self.reasons[from].clone());
                reasons.len() as u32 - 1
            });
        }
        Answer { changes, reasons }
    }

    fn reason(&mut self, rule: &str, text: &str) -> u32 {
        let (rule, text) = (within(rule, RULE_CHARS), within(text, TEXT_CHARS));
        if let Some(&number) = self.known.get(rule).and_then(|texts| texts.get(text)) {
            return number;
        }
        let number = self.reasons.len() as u32;
        self.known.entry(rule.into()).or_default().insert(text.into(), number);
        self.reasons.push(Reason { rule: rule.into(), text: text.into() });
        number
    }
}

impl Edit<'_> {
    /// Another movement.
    pub fn movement(mut self, movement: u32) -> Self {
        self.change.movement = movement;
        self
    }

    /// Another number of sets or rounds.
    pub fn times(mut self, times: u32) -> Self {
        self.change.times = times;
        self
    }

    /// Another amount each time.
    pub fn amount(mut self, low: u32, high: u32) -> Self {
        (self.change.amount_low, self.change.amount_high) = (low, high);
        self
    }

    /// Counted in something else.
    pub fn measure(mut self, measure: Measure) -> Self {
        self.change.measure = measure;
        self
    }

    /// Shared otherwise between the sides.
    pub fn sides(mut self, sides: Sides) -> Self {
        self.change.sides = sides;
        self
    }

    /// Another load, grams: on the first time and on the heaviest.
    pub fn load(mut self, first_g: u32, top_g: u32) -> Self {
        (self.change.load_first_g, self.change.load_top_g) = (first_g, top_g);
        self
    }

    /// A heaviest load, grams; the first is brought down to it where it was higher.
    pub fn load_top(mut self, top_g: u32) -> Self {
        self.change.load_top_g = top_g;
        self.change.load_first_g = self.change.load_first_g.min(top_g);
        self
    }

    /// So many thousandths of the loads that stand, rounded down to whole grams.
    pub fn load_share(mut self, permille: u32) -> Self {
        let share = |grams: u32| (u64::from(grams) * u64::from(permille) / 1000).min(u64::from(u32::MAX)) as u32;
        self.change.load_first_g = share(self.change.load_first_g);
        self.change.load_top_g = share(self.change.load_top_g);
        self
    }

    /// Another effort aimed at, in tenths.
    pub fn effort(mut self, tenths: u32) -> Self {
        self.change.effort_tenths = tenths;
        self
    }

    /// Another range of movement, percent.
    pub fn range(mut self, percent: u32) -> Self {
        self.change.range_percent = percent;
        self
    }

    /// Makes the change, for this reason; a reason given earlier for the same piece is replaced. Where nothing
    /// differs from the question, no change is made.
    pub fn because(mut self, rule: &str, text: &str) {
        let number = self.change.piece;
        if self.change.off == 0 && applied(&self.from, &self.change) == self.from {
            self.changes.by_piece.remove(&number);
            return;
        }
        self.change.reason = self.changes.reason(rule, text);
        self.changes.by_piece.insert(number, self.change);
    }
}

/// The change that changes nothing.
fn unchanged(number: u32, piece: &Piece) -> Change {
    Change {
        piece: number,
        off: 0,
        movement: piece.movement,
        times: piece.times,
        measure: piece.measure,
        sides: piece.sides,
        amount_low: piece.amount_low,
        amount_high: piece.amount_high,
        load_first_g: piece.load_first_g,
        load_top_g: piece.load_top_g,
        effort_tenths: piece.effort_tenths,
        range_percent: piece.range_percent,
        reason: 0,
    }
}

/// A piece as a change leaves it.
fn applied(piece: &Piece, change: &Change) -> Piece {
    Piece {
        movement: change.movement,
        times: change.times,
        measure: change.measure,
        sides: change.sides,
        amount_low: change.amount_low,
        amount_high: change.amount_high,
        load_first_g: change.load_first_g,
        load_top_g: change.load_top_g,
        effort_tenths: change.effort_tenths,
        range_percent: change.range_percent,
        ..*piece
    }
}

/// A text within so many characters, and never empty.
fn within(text: &str, chars: usize) -> &str {
    let text = text.trim();
    if text.is_empty() {
        return "unnamed";
    }
    // A text has no more characters than bytes; most are told by that alone.
    let end = if text.len() <= chars { None } else { text.char_indices().nth(chars) };
    end.map_or(text, |(end, _)| &text[..end])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wire::common::classwright::policy::cards::{ClassFacts, Question};
    use crate::{Class, NONE};

    fn question() -> Question {
        let piece = Piece {
            athlete: 0,
            part: 0,
            item: 0,
            step: 0,
            movement: 7,
            times: 5,
            measure: Measure::Repetitions,
            sides: Sides::Both,
            amount_low: 5,
            amount_high: 5,
            load_first_g: 30_001,
            load_top_g: 40_000,
            best_permille: 0,
            effort_tenths: 0,
            range_percent: 100,
            rep_ms: 0,
        };
        Question {
            texts: Vec::new(),
            settings: String::new(),
            facts: ClassFacts { length_s: NONE, may_raise_load: 0, may_raise_volume: 0, may_raise_demand: 0 },
            athletes: Vec::new(),
            limitations: Vec::new(),
            bests: Vec::new(),
            tags: Vec::new(),
            parts: Vec::new(),
            pieces: vec![piece; 3],
            kit: Vec::new(),
        }
    }

    #[test]
    fn a_piece_is_changed_once_and_the_last_reason_stands() {
        let question = question();
        let class = Class::new(&question);
        let mut changes = Changes::new();
        changes.of(class.piece(1)).load_share(500).because("half", "Half the load.");
        changes.of(class.piece(1)).times(4).because("less", "And a set less.");
        let answer = changes.into_answer();
        let [change] = answer.changes[..] else { panic!("{:?}", answer.changes) };
        assert_eq!((change.piece, change.times), (1, 4));
        assert_eq!((change.load_first_g, change.load_top_g), (15_000, 20_000));
        assert_eq!(answer.reasons.len(), 1);
        assert_eq!(answer.reasons[0].rule, "less");
    }

    #[test]
    fn equal_reasons_are_one_and_no_difference_is_no_change() {
        let question = question();
        let class = Class::new(&question);
        let mut changes = Changes::new();
        changes.take_off(class.piece(2), "rest", "Rest today.");
        changes.take_off(class.piece(0), "rest", "Rest today.");
        changes.of(class.piece(1)).range(80).because("short", "Shorter.");
        changes.of(class.piece(1)).range(100).because("full", "Full again.");
        assert_eq!(changes.current(class.piece(0)), None);
        assert_eq!(changes.current(class.piece(1)), Some(question.pieces[1]));
        let answer = changes.into_answer();
        assert_eq!(
            answer.changes.iter().map(|change| (change.piece, change.reason)).collect::<Vec<_>>(),
            [(0, 0), (2, 0)]
        );
        assert_eq!(answer.reasons.len(), 1);
    }

    #[test]
    fn reasons_stay_within_the_contracts_bounds() {
        let question = question();
        let mut changes = Changes::new();
        changes.take_off(Class::new(&question).piece(0), &"r".repeat(100), &"ä".repeat(400));
        changes.take_off(Class::new(&question).piece(1), "", " ");
        let reasons = changes.into_answer().reasons;
        assert_eq!((reasons[0].rule.chars().count(), reasons[0].text.chars().count()), (64, 300));
        assert_eq!((reasons[1].rule.as_str(), reasons[1].text.as_str()), ("unnamed", "unnamed"));
    }
}
