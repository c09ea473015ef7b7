//! The floor as an order has left it so far.

use crate::profile::Profile;

/// The floor after some starts.
#[derive(Clone, Debug, Default)]
pub(super) struct Front {
    /// The last start: where others take kit for a while, starts come in the order of time.
    pub(super) now: u32,
    /// When each bar is free, and its loading.
    pub(super) bars: Vec<(u32, u32)>,
    /// When each place of each thing is free; those of one thing beside each other, the soonest first.
    pub(super) places: Vec<u32>,
    pub(super) moves: u32,
    pub(super) over: u32,
    pub(super) plates: Vec<Profile>,
}

impl Front {
    pub(super) fn copy(&mut self, other: &Front, plates: bool) {
        self.now = other.now;
        self.moves = other.moves;
        self.over = other.over;
        self.bars.clone_from(&other.bars);
        self.places.clone_from(&other.places);
        if plates {
            for (mine, its) in self.plates.iter_mut().zip(&other.plates) {
                mine.reset(its);
            }
        }
    }
}
