//! Which bar for which bout of a start.

mod scarce;

use crate::crew::BarBout;
use crate::model::{Model, NEVER};
use crate::profile::Profile;

const FAR: i32 = i32::MAX / 4;

/// Bars of one kind that are looked at for a start; a gym with more is planned with the first that are free.
pub(crate) const MOST_BARS: usize = 64;

#[derive(Clone, Debug, Default)]
pub(crate) struct Seats {
    /// A bar for each bout asked for.
    pub(crate) chosen: Vec<u32>,
    pub(crate) looks: u64,
    /// For each bout and bar of its kind, when it can be had.
    ready: Vec<u32>,
    /// And the pairs moved for it.
    moved: Vec<u32>,
    cost: Vec<i32>,
    left: Vec<usize>,
    masks: Vec<u64>,
    row_price: Vec<i32>,
    column_price: Vec<i32>,
    row_of: Vec<usize>,
    way: Vec<usize>,
    least: Vec<i32>,
    seen: Vec<bool>,
    plates: Vec<Profile>,
}

/// When a bar can be had by a bout with its loading on, and the pairs moved for it.
#[inline(always)]
fn ready(model: &Model, bars: &[(u32, u32)], bar: usize, want: &BarBout) -> (u32, u32) {
    let (free, on) = bars[bar];
    let (change, moved) = model.set_up(on as usize, want.loading as usize);
    if model.replan && change > 0 && model.bouts[want.bout as usize].bar_before != Some(bar) {
        // A change that nobody has begun cannot begin before now.
        return (free.max(model.change_from) + change, moved);
    }
    (free + change, moved)
}

impl Seats {
    /// The first second on the step, not before `second`, at which each of them could have some bar.
    pub(crate) fn first(&mut self, model: &Model, bars: &[(u32, u32)], wanted: &[BarBout], second: u32) -> u32 {
        let mut second = second;
        self.ready.clear();
        self.moved.clear();
        for want in wanted {
            let mut soonest = NEVER;
            for &bar in &model.bars_of[want.kind as usize] {
                let (ready, moved) = ready(model, bars, bar, want);
                soonest = soonest.min(ready);
                self.ready.push(ready);
                self.moved.push(moved);
            }
            second = second.max(soonest);
        }
        self.looks += self.ready.len() as u64;
        model.on_step(second)
    }

    /// The first second at which each row has a column of its own that is ready.
    fn each_has_one(&mut self, model: &Model, from: usize, rows: usize, columns: usize, mut second: u32) -> u32 {
        let mut row_of = [u8::MAX; MOST_BARS];
        let masks = |ready: &[u32], masks: &mut Vec<u64>, second: u32| {
            masks.clear();
            masks.extend(ready.chunks_exact(columns).map(|row| {
                row.iter().enumerate().fold(0u64, |mask, (at, ready)| mask | (u64::from(*ready <= second) << at))
            }));
        };
        masks(&self.ready[from..], &mut self.masks, second);
        let mut row = 0;
        while row < rows {
            let mut seen = 0u64;
            if augment(&self.masks, &mut row_of, row, &mut seen) {
                row += 1;
                continue;
            }
            // Those who compete for the columns seen have to wait for one more.
            let mut later = NEVER;
            let competes =
                |at: usize| at == row || (0..columns).any(|c| seen >> c & 1 == 1 && row_of[c] as usize == at);
            for at in (0..rows).filter(|at| competes(*at)) {
                for column in (0..columns).filter(|c| seen >> c & 1 == 0) {
                    let ready = self.ready[from + at * columns + column];
                    if ready > second {
                        later = later.min(ready);
                    }
                }
            }
            self.looks += (rows * columns) as u64;
            second = model.on_step(later);
            masks(&self.ready[from..], &mut self.masks, second);
        }
        second
    }

    /// Bars for those that `first` was asked for last, at that second, with the fewest plates moved; else the next second
    /// at which there is one for each.
    pub(crate) fn choose(
        &mut self,
        model: &Model,
        bars: &[(u32, u32)],
        wanted: &[BarBout],
        wish: &[u32],
        second: u32,
    ) -> Result<(), u32> {
        self.chosen.clear();
        let mut from = 0;
        for group in wanted.chunk_by(|a, b| a.kind == b.kind) {
            let there = &model.bars_of[group[0].kind as usize];
            let columns = there.len();
            self.cost.clear();
            let before = self.chosen.len();
            self.begin_assigning(group.len(), columns);
            for (row, want) in group.iter().enumerate() {
                let ready = &self.ready[from + row * columns..][..columns];
                let moved = &self.moved[from + row * columns..][..columns];
                let (mut least, mut best) = (FAR, 0);
                let wished = wish[want.bout as usize];
                let had = if model.replan { model.bouts[want.bout as usize].bar_before } else { None };
                for (column, &bar) in there.iter().enumerate() {
                    let mut cost = FAR;
                    if ready[column] <= second {
                        // Of equal bars the one that has just been put down: others may be free for sooner starts.
                        let idle = second.saturating_sub(bars[bar].0).min(4095) as i32;
                        cost = moved[column] as i32 * 4096 + idle;
                        if wished == bar as u32 {
                            cost -= 1 << 21;
                        }
                        if model.replan && had != Some(bar) {
                            cost += 1 << 22;
                        }
                    }
                    self.cost.push(cost);
                    if cost < least {
                        (least, best) = (cost, column);
                    }
                }
                self.chosen.push(there[best] as u32);
                self.row_price[row + 1] = least;
                if self.row_of[best + 1] == 0 {
                    self.row_of[best + 1] = row + 1;
                } else {
                    self.left.push(row + 1);
                }
            }
            if !self.left.is_empty() {
                if !self.assign(columns) {
                    return Err(self.each_has_one(model, from, group.len(), columns, second));
                }
                for column in 1..=columns {
                    if self.row_of[column] > 0 {
                        self.chosen[before + self.row_of[column] - 1] = there[column - 1] as u32;
                    }
                }
            }
            from += group.len() * columns;
        }
        Ok(())
    }

    fn begin_assigning(&mut self, rows: usize, columns: usize) {
        self.left.clear();
        self.row_price.clear();
        self.row_price.resize(rows + 1, 0);
        self.column_price.clear();
        self.column_price.resize(columns + 1, 0);
        self.row_of.clear();
        self.row_of.resize(columns + 1, 0);
        self.way.clear();
        self.way.resize(columns + 1, 0);
    }

    /// The cheapest assignment: the rows left over one by one with shortest augmenting paths (Jonker, Volgenant 1987).
    /// False where there is none.
    fn assign(&mut self, columns: usize) -> bool {
        for left in 0..self.left.len() {
            let row = self.left[left];
            self.row_of[0] = row;
            let mut at = 0;
            self.least.clear();
            self.least.resize(columns + 1, FAR);
            self.seen.clear();
            self.seen.resize(columns + 1, false);
            loop {
                self.seen[at] = true;
                let here = self.row_of[at];
                let mut step = FAR;
                let mut next = 0;
                self.looks += columns as u64 / 2;
                let costs = &self.cost[(here - 1) * columns..][..columns];
                let row_price = self.row_price[here];
                for column in 1..=columns {
                    if !self.seen[column] {
                        let price = costs[column - 1];
                        if price < FAR {
                            let gain = price - row_price - self.column_price[column];
                            if gain < self.least[column] {
                                self.least[column] = gain;
                                self.way[column] = at;
                            }
                        }
                        if self.least[column] < step {
                            step = self.least[column];
                            next = column;
                        }
                    }
                }
                if step >= FAR {
                    return false;
                }
                for column in 0..=columns {
                    if self.seen[column] {
                        self.row_price[self.row_of[column]] += step;
                        self.column_price[column] -= step;
                    } else if self.least[column] < FAR {
                        self.least[column] -= step;
                    }
                }
                at = next;
                if self.row_of[at] == 0 {
                    break;
                }
            }
            loop {
                let from = self.way[at];
                self.row_of[at] = self.row_of[from];
                at = from;
                if at == 0 {
                    break;
                }
            }
        }
        true
    }
}

/// Finds a column for a row, moving other rows on where need be (Kuhn 1955).
fn augment(masks: &[u64], row_of: &mut [u8; MOST_BARS], row: usize, seen: &mut u64) -> bool {
    loop {
        let open = masks[row] & !*seen;
        if open == 0 {
            return false;
        }
        let column = open.trailing_zeros() as usize;
        *seen |= 1 << column;
        let other = row_of[column];
        if other == u8::MAX || augment(masks, row_of, other as usize, seen) {
            row_of[column] = row as u8;
            return true;
        }
    }
}
