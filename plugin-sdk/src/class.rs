//! A class as a policy reads it: athletes with their pieces, limitations and kit, over the flat question.
//!
//! Nothing of the long lists is copied: a [`Class`] holds small indexes, and its views borrow the question. The host
//! vouches for every position in a question; a position that is out of range all the same stops the policy.

use std::ops::Deref;

use crate::wire::common::classwright::policy::cards::{
    Athlete, Best, ClassFacts, KitRow, Limitation, Part, Piece, Question,
};

/// One class.
#[derive(Debug)]
pub struct Class<'q> {
    question: &'q Question,
    limitations: Index,
    bests: Index,
    tags: Index,
    kit: Index,
    counts: Counts,
}

impl<'q> Class<'q> {
    /// Reads a question.
    pub fn new(question: &'q Question) -> Self {
        Class {
            question,
            limitations: Index::new(question.limitations.iter().map(|row| row.athlete)),
            bests: Index::new(question.bests.iter().map(|row| row.athlete)),
            tags: Index::new(question.tags.iter().map(|row| row.athlete)),
            kit: Index::new(question.kit.iter().map(|row| row.place)),
            counts: Counts::new(&question.kit),
        }
    }

    /// The question as it came.
    pub fn question(&self) -> &'q Question {
        self.question
    }

    /// What holds for the whole class.
    pub fn facts(&self) -> &'q ClassFacts {
        &self.question.facts
    }

    /// The athletes, in order.
    pub fn athletes(&self) -> impl Iterator<Item = AthleteView<'_, 'q>> {
        (0..self.question.athletes.len() as u32).map(|number| self.athlete(number))
    }

    /// One athlete.
    pub fn athlete(&self, number: u32) -> AthleteView<'_, 'q> {
        AthleteView { class: self, number, athlete: &self.question.athletes[number as usize] }
    }

    /// All pieces, in the order of athletes, then of the session.
    pub fn pieces(&self) -> impl Iterator<Item = PieceView<'q>> {
        (0..self.question.pieces.len() as u32).map(|number| self.piece(number))
    }

    /// One piece.
    pub fn piece(&self, number: u32) -> PieceView<'q> {
        PieceView { question: self.question, number, piece: &self.question.pieces[number as usize] }
    }

    /// A text of the question.
    pub fn text(&self, position: u32) -> &'q str {
        &self.question.texts[position as usize]
    }

    /// The kit at a place; 0 is the gym floor.
    pub fn place(&self, place: u32) -> PlaceView<'_, 'q> {
        PlaceView { kit: &self.question.kit, rows: self.kit.of(place), counts: self.counts.of(place) }
    }
}

/// One athlete; also an [`Athlete`].
#[derive(Clone, Copy, Debug)]
pub struct AthleteView<'c, 'q> {
    class: &'c Class<'q>,
    /// Position in the question.
    pub number: u32,
    athlete: &'q Athlete,
}

impl Deref for AthleteView<'_, '_> {
    type Target = Athlete;
    fn deref(&self) -> &Athlete {
        self.athlete
    }
}

impl<'c, 'q> AthleteView<'c, 'q> {
    /// Their pieces, in the order of the session.
    pub fn pieces(&self) -> impl Iterator<Item = PieceView<'q>> + use<'c, 'q> {
        let (class, first) = (self.class, self.athlete.first_piece);
        (first..first + self.athlete.piece_count).map(move |number| class.piece(number))
    }

    /// What they report as sore or restricted.
    pub fn limitations(&self) -> impl Iterator<Item = &'q Limitation> + use<'c, 'q> {
        let question = self.class.question;
        self.class.limitations.of(self.number).iter().map(|&at| &question.limitations[at as usize])
    }

    /// Their one-repetition maxima.
    pub fn bests(&self) -> impl Iterator<Item = &'q Best> + use<'c, 'q> {
        let question = self.class.question;
        self.class.bests.of(self.number).iter().map(|&at| &question.bests[at as usize])
    }

    /// Their best for a movement.
    pub fn best(&self, movement: u32) -> Option<&'q Best> {
        self.bests().find(|best| best.movement == movement)
    }

    /// Whether the gym has put this word on them.
    pub fn has_tag(&self, word: &str) -> bool {
        let question = self.class.question;
        self.class.tags.of(self.number).iter().any(|&at| self.class.text(question.tags[at as usize].text) == word)
    }

    /// The kit where they train.
    pub fn kit(&self) -> PlaceView<'c, 'q> {
        self.class.place(self.athlete.place)
    }
}

/// One piece; also a [`Piece`]. Changes are made to views, so that a change always points inside its question.
#[derive(Clone, Copy, Debug)]
pub struct PieceView<'q> {
    question: &'q Question,
    number: u32,
    piece: &'q Piece,
}

impl Deref for PieceView<'_> {
    type Target = Piece;
    fn deref(&self) -> &Piece {
        self.piece
    }
}

impl<'q> PieceView<'q> {
    /// Position in the question.
    pub fn number(&self) -> u32 {
        self.number
    }

    /// Its part of the session.
    pub fn in_part(&self) -> &'q Part {
        &self.question.parts[self.piece.part as usize]
    }

    /// The kind of its part, for example `strength`.
    pub fn part_kind(&self) -> &'q str {
        &self.question.texts[self.in_part().kind as usize]
    }

    /// The scheme of its part, for example `for-time`.
    pub fn scheme(&self) -> &'q str {
        &self.question.texts[self.in_part().scheme as usize]
    }
}

/// The kit at one place.
#[derive(Clone, Copy, Debug)]
pub struct PlaceView<'c, 'q> {
    kit: &'q [KitRow],
    rows: &'c [u32],
    counts: &'c [(u32, u32)],
}

impl<'c, 'q> PlaceView<'c, 'q> {
    /// Its rows, in the order of the question.
    pub fn rows(&self) -> impl Iterator<Item = &'q KitRow> + use<'c, 'q> {
        let kit = self.kit;
        self.rows.iter().map(move |&at| &kit[at as usize])
    }

    /// How many of a kind there are, of whatever mass.
    pub fn count(&self, kit: u32) -> u32 {
        let at = self.counts.binary_search_by_key(&kit, |(kit, _)| *kit);
        at.map_or(0, |at| self.counts[at].1)
    }

    /// Grams in which a kind comes in at least `count` pieces, lightest first.
    pub fn loads(&self, kit: u32, count: u32) -> Vec<u32> {
        let mut loads: Vec<u32> =
            self.rows().filter(|row| row.kit == kit && row.count >= count).map(|row| row.load_g).collect();
        loads.sort_unstable();
        loads
    }
}

/// How many of each kind there are at each place; asked for far more often than there are rows of kit.
#[derive(Debug)]
struct Counts {
    /// Kind and count, by place and then by kind.
    rows: Vec<(u32, u32)>,
    /// Where each place starts in `rows`; one more for the end.
    starts: Vec<u32>,
}

impl Counts {
    fn new(kit: &[KitRow]) -> Counts {
        let mut all: Vec<(u32, u32, u32)> = kit.iter().map(|row| (row.place, row.kit, row.count)).collect();
        all.sort_unstable();
        all.dedup_by(|next, sum| {
            let same = (next.0, next.1) == (sum.0, sum.1);
            if same {
                sum.2 += next.2;
            }
            same
        });
        let places = all.last().map_or(0, |row| row.0 + 1);
        let starts = (0..=places).map(|place| all.partition_point(|row| row.0 < place) as u32).collect();
        Counts { rows: all.into_iter().map(|(_, kit, count)| (kit, count)).collect(), starts }
    }

    fn of(&self, place: u32) -> &[(u32, u32)] {
        of(&self.rows, &self.starts, place)
    }
}

/// The rows of one owner.
fn of<'a, T>(rows: &'a [T], starts: &[u32], owner: u32) -> &'a [T] {
    match (starts.get(owner as usize), starts.get(owner as usize + 1)) {
        (Some(&from), Some(&to)) => &rows[from as usize..to as usize],
        _ => &[],
    }
}

/// Positions of rows by what they belong to.
#[derive(Debug)]
struct Index {
    /// Row numbers, grouped by owner, in their order within a group.
    rows: Vec<u32>,
    /// Where each owner's group starts; one longer than there are owners.
    starts: Vec<u32>,
}

impl Index {
    fn new(owners: impl Iterator<Item = u32>) -> Index {
        let mut pairs: Vec<(u32, u32)> = owners.zip(0..).collect();
        pairs.sort_unstable();
        let owners = pairs.last().map_or(0, |&(owner, _)| owner + 1);
        let starts = (0..=owners).map(|owner| pairs.partition_point(|pair| pair.0 < owner) as u32).collect();
        Index { rows: pairs.into_iter().map(|(_, row)| row).collect(), starts }
    }

    fn of(&self, owner: u32) -> &[u32] {
        of(&self.rows, &self.starts, owner)
    }
}
