//! States that failed: what had the same to do still, and everything no later, need not be tried again.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use crate::crew::Crews;
use crate::exact::state::{MOST_BARS, MOST_KINDS, MOST_UNITS, State};
use crate::model::Model;

/// Enough for what a second finds, little enough for a component's memory.
const MOST_ENTRIES: usize = 200_000;

const KEY: usize = 3 + 3 * MOST_UNITS + MOST_BARS;
const TIMES: usize = 1 + MOST_KINDS + MOST_UNITS + MOST_BARS;

type Table = HashMap<Box<[u8]>, Vec<Box<[u32]>>, BuildHasherDefault<Plain>>;

/// What a state has to do still (key), and the times of all that it has to do it with.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sign {
    key: [u8; KEY],
    key_length: usize,
    times: [u32; TIMES],
    many: usize,
}

impl Sign {
    fn key(&self) -> &[u8] {
        &self.key[..self.key_length]
    }

    fn times(&self) -> &[u32] {
        &self.times[..self.many]
    }
}

#[derive(Debug)]
pub(super) struct Memory {
    failed: Table,
    fine: Table,
    entries: usize,
    /// The longest change from each loading.
    slowest: Vec<u32>,
    /// Whether plates moved so far make a difference.
    moves_count: bool,
}

impl Memory {
    pub(super) fn new(model: &Model) -> Self {
        let loadings = model.loadings.len();
        let slowest = |from| (0..loadings).map(|to| model.setup(from, to)).max().unwrap_or(0);
        Memory {
            failed: Table::default(),
            fine: Table::default(),
            entries: 0,
            slowest: (0..loadings).map(slowest).collect(),
            moves_count: false,
        }
    }

    pub(super) fn forget(&mut self, moves_count: bool) {
        self.failed.clear();
        self.fine.clear();
        self.entries = 0;
        self.moves_count = moves_count;
    }

    /// The sign of a state. What was so long ago that it makes no difference any more is told alike.
    pub(super) fn sign(&self, model: &Model, crews: &Crews, state: &State) -> Sign {
        let mut heats = [(0u32, 0u8, 0u32); MOST_UNITS];
        let mut live = 0;
        for (heat, it) in state.heats().iter().enumerate() {
            let nodes = &crews.nodes[heat * model.stages..][..model.stages];
            let last = match nodes.get(it.started as usize) {
                Some(next) => {
                    let rest = next.rests.first().map_or(0, |rest| rest.1);
                    it.last.max(state.now.saturating_sub(rest))
                }
                None if it.last + nodes[model.stages - 1].longest <= state.now => continue,
                None => it.last,
            };
            let members = crews.members[heat].iter().fold(0, |mask, unit| mask | 1 << unit);
            heats[live] = (members, it.started, last);
            live += 1;
        }
        let heats = &mut heats[..live];
        heats.sort_unstable();
        let mut bars = [(0u32, 0u32, 0u32); MOST_BARS];
        let bars = &mut bars[..model.bars.len()];
        for (bar, (&(free, on), it)) in bars.iter_mut().zip(state.bars.iter().zip(&model.bars)) {
            let from = state.now.saturating_sub(self.slowest[on as usize]);
            *bar = (it.kind as u32, on, free.max(from));
        }
        bars.sort_unstable();
        let mut sign = Sign { key: [0; KEY], key_length: 3, times: [0; TIMES], many: 1 };
        sign.key[..2].copy_from_slice(&(state.waiting as u16).to_le_bytes());
        sign.key[2] = state.heat_count as u8;
        sign.times[0] = state.now;
        if self.moves_count {
            for moves in &state.moves[..model.bars_of.len()] {
                sign.times[sign.many] = *moves;
                sign.many += 1;
            }
        }
        for &(members, started, last) in heats.iter() {
            let at = sign.key_length;
            sign.key[at..at + 2].copy_from_slice(&(members as u16).to_le_bytes());
            sign.key[at + 2] = started;
            sign.key_length += 3;
            sign.times[sign.many] = last;
            sign.many += 1;
        }
        for &(_, on, free) in bars.iter() {
            sign.key[sign.key_length] = on as u8;
            sign.key_length += 1;
            sign.times[sign.many] = free;
            sign.many += 1;
        }
        sign
    }

    /// Whether nothing came of a state that had all this no later.
    pub(super) fn failed(&self, sign: &Sign, work: &mut u64) -> bool {
        let Some(list) = self.failed.get(sign.key()) else { return false };
        *work += list.len() as u64 / 8;
        list.iter().any(|other| other.iter().zip(sign.times()).all(|(its, mine)| its <= mine))
    }

    pub(super) fn note(&mut self, sign: &Sign) {
        if self.entries >= MOST_ENTRIES {
            return;
        }
        self.entries += 1;
        match self.failed.get_mut(sign.key()) {
            Some(list) => {
                let before = list.len();
                list.retain(|other| !sign.times().iter().zip(other.iter()).all(|(mine, its)| mine <= its));
                self.entries -= before - list.len();
                list.push(sign.times().into());
            }
            None => {
                self.failed.insert(sign.key().into(), vec![sign.times().into()]);
            }
        }
    }

    /// Whether something came of a state that had all this no sooner, or it is not known what does.
    pub(super) fn fine(&self, sign: &Sign) -> bool {
        let later = |other: &[u32]| other.iter().zip(sign.times()).all(|(its, mine)| its >= mine);
        self.fine.get(sign.key()).is_some_and(|list| list.iter().any(|other| later(other)))
    }

    pub(super) fn note_fine(&mut self, sign: &Sign) {
        if self.entries < MOST_ENTRIES {
            self.entries += 1;
            self.fine.entry(sign.key().into()).or_default().push(sign.times().into());
        }
    }
}

/// A plain and fast hash (Fowler, Noll, Vo 1991), the same everywhere; keys are held whole, so a clash costs time only.
#[derive(Clone, Debug)]
struct Plain(u64);

impl Default for Plain {
    fn default() -> Self {
        Plain(0xCBF2_9CE4_8422_2325)
    }
}

impl Hasher for Plain {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01B3);
        }
    }
}
