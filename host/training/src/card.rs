//! What one athlete does in one class.
//!
//! A card is a list of pieces in the order of the session: one for each movement of each written item. Policies see
//! and change pieces; a coach reads them grouped by item.

use crate::{Amount, AthleteIx, Mass, MovementIx};

/// What one athlete does.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Whose.
    pub athlete: AthleteIx,
    /// In the order of the session. Never loses a piece: what is taken off stays, marked.
    pub pieces: Vec<Piece>,
}

/// One movement of one written item, as one athlete is to do it.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Part of the session, from 0.
    pub part: u32,
    /// Written item, counted from 0 through the session.
    pub item: u32,
    /// Place within the item, from 0; above 0 only in a complex.
    pub step: u32,
    /// Which movement.
    pub movement: MovementIx,
    /// How many times in its part (sets or rounds); 0 where the clock decides.
    pub times: u32,
    /// How much each time.
    pub amount: Amount,
    /// With what.
    pub load: Load,
    /// Heaviest load as thousandths of a best, where it was written so; else 0.
    pub best_permille: u32,
    /// Effort aimed at, in tenths; 0 where none was written.
    pub effort_tenths: u32,
    /// Range of movement, percent.
    pub range_percent: u32,
    /// The coach's own milliseconds a repetition; holds for the written movement only.
    pub rep_ms: Option<u32>,
    /// True where it was taken off the card.
    pub off: bool,
}

/// The load of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Load {
    /// None, or the body only.
    None,
    /// Known: a mass each time it is done (the last holds for any further time), and how far the athlete may go.
    Known {
        /// Of a bar with its plates, or of each implement. Never empty.
        each_time: Vec<Mass>,
        /// Upper end of a written range.
        up_to: Option<Mass>,
    },
    /// Not known; the athlete is asked. The sentence says what for.
    Ask(String),
}

impl Load {
    /// The load of the first time.
    pub fn first(&self) -> Option<Mass> {
        match self {
            Load::Known { each_time, .. } => each_time.first().copied(),
            Load::None | Load::Ask(_) => None,
        }
    }

    /// The heaviest load.
    pub fn top(&self) -> Option<Mass> {
        match self {
            Load::Known { each_time, .. } => each_time.iter().max().copied(),
            Load::None | Load::Ask(_) => None,
        }
    }
}
